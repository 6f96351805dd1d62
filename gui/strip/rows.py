"""Where everything on the strip stands: lanes, the bridge's curve, the reams, top to bottom."""

from __future__ import annotations

from dataclasses import dataclass

from gui.strip.lanes import BRIDGE, Lane

AXIS_PX = 24
LEGEND_PX = 24
TITLE_PX = 104
_READOUT_PX = (222, 270)
_WIDE_PX = 1000
_GAP_PX = 3
_LEAST_LANE_PX = 16
_LEAST_CURVE_PX = 60
_READING_LINES = 6
"""What the row of reams says at the cursor: good, the gap, and four losses."""


def readout_px(width: int) -> int:
    """Width of the column of words at the right, px, in a strip so wide."""
    return _READOUT_PX[width >= _WIDE_PX]


@dataclass(frozen=True)
class Row:
    """A band of the picture; ``what`` is "lane", "level" or "reams"."""

    what: str
    top: int
    height: int
    lane: Lane | None = None

    @property
    def bottom(self) -> int:
        """First pixel below."""
        return self.top + self.height


def rows_of(lanes: list[Lane], height: int, line: int) -> list[Row]:
    """Lanes as paper moves, the bridge's level in its place among them, the reams last.

    ``height`` is without the legend, ``line`` that of a line of text, px.
    """
    shown = [("level" if lane.name == BRIDGE else "lane", lane) for lane in lanes]
    has_bridge = any(what == "level" for what, _ in shown)
    # The bridge has a lane too: its own stops are there, its level is below it.
    count = len(shown)
    free = height - AXIS_PX - _GAP_PX * (count + 2)
    curves = 2 if has_bridge else 1
    least = _least_reams(line)
    for_lanes = min(free // 2, free - least - _LEAST_CURVE_PX * (curves - 1))
    tall = min(40, max(_LEAST_LANE_PX, for_lanes // max(1, count)))
    rest = free - tall * count
    reams = max(least, rest // curves)
    level = max(_LEAST_CURVE_PX, rest - reams)
    rows: list[Row] = []
    top = AXIS_PX
    for what, lane in shown:
        rows.append(Row("lane", top, tall, lane))
        top += tall + _GAP_PX
        if what == "level":
            rows.append(Row("level", top, level, lane))
            top += level + _GAP_PX
    rows.append(Row("reams", top, reams))
    return rows


def least_height(lanes: int, line: int) -> int:
    """Below this the rows would not fit, px; without the legend."""
    curves = _LEAST_CURVE_PX + _least_reams(line) + 2 * _GAP_PX
    return AXIS_PX + (_LEAST_LANE_PX + _GAP_PX) * lanes + curves


def _least_reams(line: int) -> int:
    """The reading may go on beside the legend."""
    return max(_LEAST_CURVE_PX, _READING_LINES * line - LEGEND_PX)
