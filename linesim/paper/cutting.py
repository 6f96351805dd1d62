"""From webs to counted sheets: lanes, cuts per ream, and the rate of the cross-cutter."""

from dataclasses import dataclass

from linesim.limits import above_zero, whole_from, zero_or_more


@dataclass(frozen=True)
class Count:
    """How a ream is counted when every cut drops one sheet of each web.

    ``even`` says that the cuts make the ream exactly; otherwise each ream carries
    ``extra_sheets`` more than were ordered: paper given away.
    """

    cuts: int
    even: bool
    extra_sheets: int


def web_width_mm(lanes: int, sheet_width_mm: float, edge_trim_mm: float) -> float:
    """Width in millimetres of the web that *lanes* sheets and a trim at both edges need.

    >>> web_width_mm(lanes=4, sheet_width_mm=210, edge_trim_mm=10)
    860
    """
    whole_from("lanes", lanes, 1)
    above_zero("sheet_width_mm", sheet_width_mm)
    zero_or_more("edge_trim_mm", edge_trim_mm)
    return lanes * sheet_width_mm + 2 * edge_trim_mm


def slitting_positions(lanes: int, *, edges_trimmed: bool = True) -> int:
    """Number of slitter knives across the web: between lanes, and at both edges if trimmed.

    >>> slitting_positions(4)
    5
    >>> slitting_positions(4, edges_trimmed=False)
    3
    """
    whole_from("lanes", lanes, 1)
    return lanes + 1 if edges_trimmed else lanes - 1


def cuts_per_ream(sheets: int, webs: int) -> Count:
    """Cuts that fill a ream of *sheets* when *webs* are cut on top of each other.

    Where the webs do not divide the sheets, the next whole number of cuts is taken.

    >>> cuts_per_ream(sheets=500, webs=5)
    Count(cuts=100, even=True, extra_sheets=0)
    """
    whole_from("sheets", sheets, 1)
    whole_from("webs", webs, 1)
    cuts = -(-sheets // webs)
    extra_sheets = cuts * webs - sheets
    return Count(cuts=cuts, even=extra_sheets == 0, extra_sheets=extra_sheets)


def cut_rate_per_min(
    web_speed_m_per_min: float, cut_length_mm: float, max_cuts_per_min: float | None = None
) -> float:
    """Cuts per minute at a web speed, never more than the cutter can make.

    ``None`` for *max_cuts_per_min* means a cutter that always keeps up.

    >>> cut_rate_per_min(297, 297)
    1000.0
    >>> cut_rate_per_min(297, 297, max_cuts_per_min=800)
    800.0
    """
    speed = speed_within_cutter_m_per_min(web_speed_m_per_min, cut_length_mm, max_cuts_per_min)
    return speed * 1000 / cut_length_mm


def speed_within_cutter_m_per_min(
    web_speed_m_per_min: float, cut_length_mm: float, max_cuts_per_min: float | None = None
) -> float:
    """The wished web speed, or the lower one at which the cutter just keeps up (m/min).

    >>> speed_within_cutter_m_per_min(300, 210, max_cuts_per_min=1000)
    210.0
    """
    zero_or_more("web_speed_m_per_min", web_speed_m_per_min)
    above_zero("cut_length_mm", cut_length_mm)
    if max_cuts_per_min is None:
        return web_speed_m_per_min
    above_zero("max_cuts_per_min", max_cuts_per_min)
    return min(web_speed_m_per_min, max_cuts_per_min * cut_length_mm / 1000)


def rated_reams_per_min(cuts_per_min: float, cuts_per_ream: int, lanes: int) -> float:
    """Reams per minute that *lanes* pockets fill while the cutter runs without a stop.

    >>> rated_reams_per_min(1000, cuts_per_ream=100, lanes=4)
    40.0
    """
    zero_or_more("cuts_per_min", cuts_per_min)
    whole_from("cuts_per_ream", cuts_per_ream, 1)
    whole_from("lanes", lanes, 1)
    return cuts_per_min / cuts_per_ream * lanes
