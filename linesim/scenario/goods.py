"""What a line makes, in fine whole units: from [product] or from an order."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import Any

from linesim import paper
from linesim.scenario.order_tables import OF_PAPER, OF_SHEET, Grade, Order, Size
from linesim.scenario.scenario import Scenario
from linesim.scenario.units import MINUTE, SECOND, UM_PER_NS

USUAL_EDGE_TRIM_MM = 10.0
"""Where neither the trim nor the width of the web is said."""


@dataclass(frozen=True)
class Sizes:
    """Sheet and lanes of an order, as [product] and [slitter] say where it does not."""

    sheet_width_mm: float
    sheet_length_mm: float
    thickness_um: float
    grammage_g_per_m2: float
    lanes: int
    reel_width_mm: float | None
    """Of the web as bought; None: as lanes and trim make it."""
    edge_trim_mm: float

    @property
    def lanes_width_mm(self) -> float:
        return self.lanes * self.sheet_width_mm

    @property
    def web_width_mm(self) -> float:
        if self.reel_width_mm is not None:
            return self.reel_width_mm
        return paper.web_width_mm(self.lanes, self.sheet_width_mm, self.edge_trim_mm)


def named_by(scenario: Scenario, order: Order | None = None) -> tuple[Grade | None, Size | None]:
    """Grade and size of an order; without one, of the scenario's own product. None: no such name.

    An order that names none is of those of [product], unless it has figures of its own instead.
    """
    names: list[str | None] = []
    for kind, figures in (("grade", OF_PAPER), ("size", OF_SHEET)):
        name = getattr(scenario.product, kind)
        if order is not None and any(getattr(order, figure) is not None for figure in figures):
            name = None
        names.append(getattr(order, kind, None) or name)
    return scenario.named("grade", names[0]), scenario.named("size", names[1])


def sizes_of(scenario: Scenario, order: Order | None = None) -> Sizes:
    """Of an order; without one, of the scenario's own product."""
    slitter = scenario.slitter
    said: dict[str, Any] = scenario.product.model_dump() | {
        "lanes": slitter.lanes,
        "reel_width_mm": scenario.reels.width_mm,
        "edge_trim_mm": USUAL_EDGE_TRIM_MM
        if slitter.edge_trim_mm is None
        else slitter.edge_trim_mm,
    }
    for each in (*named_by(scenario, order), order) if order is not None else ():
        said |= each.model_dump(exclude_none=True) if each is not None else {}
    return Sizes(**{field.name: said[field.name] for field in fields(Sizes)})


def limit(scenario: Scenario, order: Order | None, of: str) -> float:
    """The lowest of what grade and size say of a speed, a field of ``Limits``; inf: nothing."""
    given = (getattr(each, of) for each in named_by(scenario, order) if each is not None)
    return min((speed for speed in given if speed is not None), default=math.inf)


def web_speed_m_per_min(scenario: Scenario, order: Order | None = None) -> float:
    """Rated speed of the webs: what cutter, grade and size allow, and the knives at most."""
    return paper.speed_within_cutter_m_per_min(
        min(scenario.cutter.web_speed_m_per_min, limit(scenario, order, "web_speed_m_per_min")),
        sizes_of(scenario, order).sheet_length_mm,
        scenario.cutter.max_cuts_per_min,
    )


def breaks_per_um(scenario: Scenario, order: Order | None = None) -> float:
    """Web breaks on a micrometre of one web at the reference speed."""
    grade, _ = named_by(scenario, order)
    if grade is None or grade.breaks_per_100_reels is None:
        return _breaks_per_um(scenario, scenario.web_path.breaks_per_100_reels)
    thickness_um = sizes_of(scenario, order).thickness_um
    return _breaks_per_um(scenario, grade.breaks_per_100_reels, thickness_um)


def usual_breaks_per_um(scenario: Scenario) -> float:
    """The same as [web_path] has it; where that is none, of the product that breaks most."""
    usual = _breaks_per_um(scenario, scenario.web_path.breaks_per_100_reels)
    return usual or max(breaks_per_um(scenario, order) for order in scenario.order or (None,))


def _breaks_per_um(scenario: Scenario, per_100: float, thickness_um: float | None = None) -> float:
    reels = scenario.reels
    length_m = paper.reel_length_m(
        reels.diameter_mm,
        reels.core_diameter_mm,
        thickness_um or scenario.product.thickness_um,
    )
    return per_100 / 100 / (length_m * 1e6)


@dataclass(slots=True, unsafe_hash=True)
class Goods:
    """Sheet, ream and rated speed of one order."""

    cut_um: int
    sheet_width_um: int
    lanes: int
    cuts_per_ream: int
    extra_sheets: int
    """Sheets above the ream count, given away with each ream."""
    web_width_um: int
    trim_um: int
    """Both edges together."""
    thickness_um: float
    grammage_mg_per_m2: int
    ream_height_mm: float
    speed: float
    """Rated speed, um/ns: web speed, or what the cutter's limit allows."""
    wrap_ns: int
    """Shortest time for a ream at a wrapper with a rated speed, ..."""
    carton_ns: int
    """... and for a carton at the packer."""
    wears: float
    """How many times as often as usual its web breaks on a metre."""
    grade: int
    """Its place among the grades, ..."""
    size: int
    """... and among the sizes; -1: it has no name."""
    pace: float
    """What the webs are driven at, um/ns: rated speed, or what the transfer can fetch."""


def grade_of(goods: Goods) -> tuple[int, float, int]:
    """What makes it another grade."""
    return (goods.grade, goods.thickness_um, goods.grammage_mg_per_m2)


def paper_of(goods: Goods) -> tuple[int, int, float, int]:
    """What makes its reels others."""
    return (goods.web_width_um, *grade_of(goods))


def goods_of(scenario: Scenario, order: Order | None = None) -> Goods:
    """Sheet, ream and speed of an order; without one, of the scenario's own product."""
    cutter, made = scenario.cutter, sizes_of(scenario, order)
    count = paper.cuts_per_ream(scenario.product.sheets_per_ream, scenario.unwind.webs)
    cut_um = round(made.sheet_length_mm * 1000)
    sheet_width_um = round(made.sheet_width_mm * 1000)
    web_width_um = round(made.web_width_mm * 1000)
    allowed = min(cutter.web_speed_m_per_min, limit(scenario, order, "web_speed_m_per_min"))
    speed = UM_PER_NS * min(allowed, cutter.max_cuts_per_min * cut_um / 1e6)
    grade, size = named_by(scenario, order)
    usual = usual_breaks_per_um(scenario)
    return Goods(
        cut_um=cut_um,
        sheet_width_um=sheet_width_um,
        lanes=made.lanes,
        cuts_per_ream=count.cuts,
        extra_sheets=count.extra_sheets,
        web_width_um=web_width_um,
        trim_um=web_width_um - made.lanes * sheet_width_um,
        thickness_um=made.thickness_um,
        grammage_mg_per_m2=round(made.grammage_g_per_m2 * 1000),
        ream_height_mm=paper.ream_height_mm(count.cuts * scenario.unwind.webs, made.thickness_um),
        speed=speed,
        wrap_ns=_shortest_ns(limit(scenario, order, "wrapper_rate_reams_per_min")),
        carton_ns=_shortest_ns(limit(scenario, order, "packer_rate_cartons_per_min")),
        wears=breaks_per_um(scenario, order) / usual if usual > 0 else 1.0,
        grade=scenario.grade.index(grade) if grade is not None else -1,
        size=scenario.size.index(size) if size is not None else -1,
        pace=min(speed, _transfer_pace(scenario, cut_um, count.cuts)),
    )


def _shortest_ns(rate_per_min: float) -> int:
    """0 where nothing is said: time for one, ns."""
    return round(MINUTE / rate_per_min)


def _transfer_pace(scenario: Scenario, cut_um: int, cuts: int) -> float:
    """Web speed (um/ns) at which the transfer is just back for every set, its moves at their means.

    Without fingers the pockets take nothing during the pick but what the overlap belt holds.
    """
    table = scenario.transfer
    moves = [table.pick_s, table.carry_s, table.place_s, table.return_s]
    pick, *rest = (law.average() * SECOND for law in moves)
    cycle = pick + sum(rest)
    if not table.paces_webs or cycle == 0:
        return math.inf
    held = scenario.overlap_belt.hold_cuts
    rate = cuts / cycle
    if not scenario.pockets.interim_fingers and rate * pick > held:
        rate = max(0, cuts - held) / (cycle - pick) if cycle > pick else math.inf
    # Rounded to the nanosecond the set must not be full before the transfer is home.
    return rate * cut_um * (1 - 1e-9)


def wrap_reams_per_roll(scenario: Scenario, wrapper: int, goods: Goods) -> int | None:
    """Reams wrapped from one roll; None where rolls are not modelled."""
    table = scenario.wrapper[wrapper]
    if table.roll_length_m is None:
        return None
    per_ream = table.wrap_length_mm or paper.wrap_length_mm(
        goods.sheet_width_um / 1000, goods.ream_height_mm, table.wrap_overlap_mm
    )
    return max(1, paper.reams_per_roll(table.roll_length_m, per_ream))
