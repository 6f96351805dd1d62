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


def rows_of(lanes: list[Lane], height: int) -> list[Row]:
    """Lanes as paper moves, the bridge's level in its place among them, the reams last.

    ``height`` is without the legend, px.
    """
    shown = [("level" if lane.name == BRIDGE else "lane", lane) for lane in lanes]
    has_bridge = any(what == "level" for what, _ in shown)
    # The bridge has a lane too: its own stops are there, its level is below it.
    count = len(shown)
    free = height - AXIS_PX - _GAP_PX * (count + 2)
    curves = 2 if has_bridge else 1
    for_lanes = min(free // 2, free - _LEAST_CURVE_PX * curves)
    tall = min(40, max(_LEAST_LANE_PX, for_lanes // max(1, count)))
    curve = max(_LEAST_CURVE_PX, (free - tall * count) // curves)
    rows: list[Row] = []
    top = AXIS_PX
    for what, lane in shown:
        rows.append(Row("lane", top, tall, lane))
        top += tall + _GAP_PX
        if what == "level":
            rows.append(Row("level", top, curve, lane))
            top += curve + _GAP_PX
    rows.append(Row("reams", top, curve))
    return rows


def least_height(lanes: int) -> int:
    """Below this the rows would not fit, px; without the legend."""
    high = (_LEAST_LANE_PX + _GAP_PX) * lanes + 2 * (_LEAST_CURVE_PX + _GAP_PX)
    return AXIS_PX + high
