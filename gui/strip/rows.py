"""Where everything on the strip stands: lanes, the bridge's curve, the reams, top to bottom."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gui.strip.lanes import BRIDGE, Lane

AXIS_PX = 24
LEGEND_PX = 24
TITLE_PX = 104
_READOUT_PX = (222, 270)
_WIDE_PX = 1000
_GAP_PX = 3
_LEAST_LANE_PX = 16
_LEAST_CURVE_PX = 60
_HEAD_PX, BAND_PX = 16, 6
_LEAST_LEVEL_PX = _HEAD_PX + _LEAST_CURVE_PX
_READING_LINES = 6
"""What the row of reams says at the cursor: good, the gap, and four losses."""


TITLES = {"time": "time, h:min", "orders": "orders", "reams": "good reams"}
"""Of the rows that are no lane."""


def readout_px(width: int) -> int:
    """Width of the column of words at the right, px, in a strip so wide."""
    return _READOUT_PX[width >= _WIDE_PX]


@dataclass(frozen=True)
class Row:
    """A band of the picture; ``what`` is "orders", "lane", "level" or "reams".

    The level is that of the bridge, whose own states are a thin band above it.
    """

    what: str
    top: int
    height: int
    lane: Lane | None = None

    @property
    def bottom(self) -> int:
        """First pixel below."""
        return self.top + self.height

    @property
    def band(self) -> Row:
        """Where the states of the bridge stand, above its level."""
        return replace(self, top=self.top + _HEAD_PX - BAND_PX, height=BAND_PX)

    @property
    def curve(self) -> Row | None:
        """Where its curve stands; a lane has none."""
        if self.what != "level":
            return None if self.what == "lane" else self
        return replace(self, top=self.top + _HEAD_PX, height=self.height - _HEAD_PX)

    @property
    def head(self) -> Row:
        """Where its name stands."""
        return replace(self, height=_HEAD_PX)


def rows_of(lanes: list[Lane], height: int, line: int, *, orders: bool = False) -> list[Row]:
    """Lanes as paper moves, the bridge as its level in its place among them, the reams last.

    Above them the orders, where the line has some. ``height`` is without the legend, ``line`` that
    of a line of text, px.
    """
    if orders:
        high = _orders_px(line)
        below = rows_of(lanes, height - high - _GAP_PX, line)
        moved = [replace(row, top=row.top + high + _GAP_PX) for row in below]
        return [Row("orders", AXIS_PX, high), *moved]
    stations = sum(lane.name != BRIDGE for lane in lanes)
    bridges = len(lanes) - stations
    free = height - AXIS_PX - _GAP_PX * len(lanes)
    least = _least_reams(line)
    for_lanes = min(free // 2, free - least - _LEAST_LEVEL_PX * bridges)
    tall = min(40, max(_LEAST_LANE_PX, for_lanes // max(1, stations)))
    rest = free - tall * stations
    reams = max(least, min(rest // (1 + bridges), rest - _LEAST_LEVEL_PX * bridges))
    level = max(_LEAST_LEVEL_PX, rest - reams)
    rows: list[Row] = []
    top = AXIS_PX
    for lane in lanes:
        what, high = ("level", level) if lane.name == BRIDGE else ("lane", tall)
        rows.append(Row(what, top, high, lane))
        top += high + _GAP_PX
    rows.append(Row("reams", top, reams))
    return rows


def least_height(lanes: list[Lane], line: int, *, orders: bool = False) -> int:
    """Below this the rows would not fit, px; without the legend."""
    if orders:
        return least_height(lanes, line) + _orders_px(line) + _GAP_PX
    rows = (_LEAST_LEVEL_PX if lane.name == BRIDGE else _LEAST_LANE_PX for lane in lanes)
    return AXIS_PX + sum(rows) + _GAP_PX * len(lanes) + _least_reams(line)


def _least_reams(line: int) -> int:
    """The reading may go on beside the legend."""
    return max(_LEAST_CURVE_PX, _READING_LINES * line - LEGEND_PX)


def _orders_px(line: int) -> int:
    """What is due, above what is made, each in its frame."""
    return 2 * (line + 2)
