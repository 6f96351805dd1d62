"""Where everything on the strip stands: lanes, the bridge's curve, the reams, top to bottom."""

from __future__ import annotations

from dataclasses import dataclass

from gui.strip.lanes import BRIDGE, Lane

AXIS_PX = 24
LEGEND_PX = 24
TITLE_PX = 104
READOUT_PX = 264
_GAP_PX = 3


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
    """Lanes as paper moves, the bridge's level in its place among them, the reams last."""
    shown = [("level" if lane.name == BRIDGE else "lane", lane) for lane in lanes]
    has_bridge = any(what == "level" for what, _ in shown)
    # The bridge has a lane too: its own stops are there, its level is below it.
    count = len(shown)
    free = height - AXIS_PX - LEGEND_PX - _GAP_PX * (count + 2)
    curves = 2 if has_bridge else 1
    tall = min(40, max(16, int(free * 0.5 / max(1, count))))
    curve = max(60, (free - tall * count) // curves)
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
    """Below this the rows would not fit, px."""
    return AXIS_PX + LEGEND_PX + (16 + _GAP_PX) * lanes + 2 * 60 + 3 * _GAP_PX
