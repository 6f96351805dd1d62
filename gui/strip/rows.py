"""Where everything on the strip stands: lanes, the bridge's curve, the reams, top to bottom."""

from __future__ import annotations

from dataclasses import dataclass, replace

import linesim
from gui.strip.lanes import BRIDGE, Lane

LEGEND_PX = 24
_LEAST_AXIS_PX, _TICK_PX = 24, 10
_LEAST_TITLE_PX, _ROUND_TITLE_PX = 104, 14
_ROUND_READING_PX = 32
_WIDE_PX, _WIDER = 1000, 1.16
"""From here there is room for longer causes, so many times as much."""
_GAP_PX = 3
_LEAST_LANE_PX = 16
_LEAST_CURVE_PX = 60
_LEVEL_LINES = 5
"""Of words beside the level of the bridge: its places, and four levels at which something happens.
"""
_LEAST_HEAD_PX, BAND_PX = 16, 6
_READING_LINES = 6
"""What the row of reams says at the cursor: good, the gap, and four losses."""


TITLES = {"orders": "orders", "reams": "good reams"}
"""Of the rows that are no lane."""
USUAL_READING = "starved by wrapper: wrapper jam"
"""Has its room beside the strip in letters of any size."""


def level_marks(scenario: linesim.Scenario) -> list[tuple[int, str]]:
    """Levels of the bridge that have a line of their own, in reams, and what each is."""
    room = scenario.bridge_places
    return [*linesim.report.bridge_levels(scenario), (room, f"room for {room}")]


def columns_px(width: int, widest: int, reading: int) -> tuple[int, int]:
    """Widths of the columns of titles, left, and of readings, right, px, in a strip so wide.

    ``widest`` is the longest title, ``reading`` ``USUAL_READING``. Between them the run has as much
    room as readings at least.
    """
    titles = max(_LEAST_TITLE_PX, min(widest + _ROUND_TITLE_PX, width // 3))
    words = round((reading + _ROUND_READING_PX) * (_WIDER if width >= _WIDE_PX else 1))
    return titles, max(0, min(words, (width - titles) // 2))


def axis_px(line: int) -> int:
    """Height of the axis of time with its words, px."""
    return max(_LEAST_AXIS_PX, line + _TICK_PX)


@dataclass(frozen=True)
class Row:
    """A band of the picture; ``what`` is "orders", "lane", "level" or "reams".

    The level is that of the bridge, whose own states are a thin band above it.
    """

    what: str
    top: int
    height: int
    lane: Lane | None = None
    head_px: int = _LEAST_HEAD_PX

    @property
    def bottom(self) -> int:
        """First pixel below."""
        return self.top + self.height

    @property
    def band(self) -> Row:
        """Where the states of the bridge stand, above its level."""
        return replace(self, top=self.top + self.head_px - BAND_PX, height=BAND_PX)

    @property
    def curve(self) -> Row | None:
        """Where its curve stands; a lane has none."""
        if self.what != "level":
            return None if self.what == "lane" else self
        return replace(self, top=self.top + self.head_px, height=self.height - self.head_px)

    @property
    def head(self) -> Row:
        """Where its name stands."""
        return replace(self, height=self.head_px)


def rows_of(lanes: list[Lane], height: int, line: int, *, orders: bool = False) -> list[Row]:
    """Lanes as paper moves, the bridge as its level in its place among them, the reams last.

    Above them the orders, where the line has some. ``height`` is without the legend, ``line`` that
    of a line of text, px.
    """
    if orders:
        high = _orders_px(line)
        below = rows_of(lanes, height - high - _GAP_PX, line)
        moved = [replace(row, top=row.top + high + _GAP_PX) for row in below]
        return [Row("orders", axis_px(line), high), *moved]
    stations = sum(lane.name != BRIDGE for lane in lanes)
    bridges = len(lanes) - stations
    free = height - axis_px(line) - _GAP_PX * len(lanes)
    least, least_level = _least_reams(line), _least_level(line)
    for_lanes = min(free // 2, free - least - least_level * bridges)
    tall = min(40, max(_least_lane(line), for_lanes // max(1, stations)))
    rest = free - tall * stations
    reams = max(least, min(rest // (1 + bridges), rest - least_level * bridges))
    level = max(least_level, rest - reams)
    rows: list[Row] = []
    top = axis_px(line)
    for lane in lanes:
        what, high = ("level", level) if lane.name == BRIDGE else ("lane", tall)
        rows.append(Row(what, top, high, lane, _head(line)))
        top += high + _GAP_PX
    rows.append(Row("reams", top, reams))
    return rows


def least_height(lanes: list[Lane], line: int, *, orders: bool = False) -> int:
    """Below this the rows would not fit, px; without the legend."""
    if orders:
        return least_height(lanes, line) + _orders_px(line) + _GAP_PX
    rows = (_least_level(line) if lane.name == BRIDGE else _least_lane(line) for lane in lanes)
    return axis_px(line) + sum(rows) + _GAP_PX * len(lanes) + _least_reams(line)


def _least_lane(line: int) -> int:
    return max(_LEAST_LANE_PX, line - 1)


def _head(line: int) -> int:
    return max(_LEAST_HEAD_PX, line - 1)


def _least_level(line: int) -> int:
    return _head(line) + max(_LEAST_CURVE_PX, _LEVEL_LINES * (line + 1))


def _least_reams(line: int) -> int:
    """The reading may go on beside the legend."""
    return max(_LEAST_CURVE_PX, _READING_LINES * line - LEGEND_PX)


def _orders_px(line: int) -> int:
    """What is due, above what is made, each in its frame."""
    return 2 * (line + 2)
