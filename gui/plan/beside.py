"""The run before the change, drawn quietly beside the one that is shown.

A thin line of states under the swatches and a row of small reams over the bridge, of the same
moment, in the quiet colour that ghosts have everywhere.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor

from gui.look import mixed
from gui.plan.brushes import faint, station_look
from gui.plan.packing import BESIDE_PX, bridge_belt
from gui.plan.stating import SWATCH_PX, own_stations

if TYPE_CHECKING:
    from gui.plan.scene import Scene
    from linesim.record import Moment

_LINE_PX = 3.0


def draw_beside(scene: Scene, other: Moment) -> None:
    """Draw what of the other run has a place in this one's drawing."""
    _states(scene, other)
    _bridge(scene, other)


def _states(scene: Scene, other: Moment) -> None:
    """Under each swatch, a thin one of what the station did in the other run."""
    layout, known = scene.layout, {each.name: each for each in other.stations}
    top = layout.states.top() + SWATCH_PX + 1
    for name, column in layout.columns.items():
        own = own_stations(scene, name)
        wide = column.width() / len(own)
        for number, station in enumerate(own):
            there = known.get(station)
            if there is None:
                continue
            fill = station_look(there, scene.palette).fill
            # Halfway to the ground: it stands behind what is now.
            colour = QColor(mixed(fill, scene.palette.ground, 0.25))
            left = column.left() + number * wide + 1
            scene.painter.fillRect(QRectF(left, top, wide - 2, _LINE_PX), colour)


def _bridge(scene: Scene, other: Moment) -> None:
    """The reams that were on the bridge, small, above where they would be."""
    belt = bridge_belt(scene)
    rows = max(1, -(-other.bridge_places // scene.scenario.bridge.tracks))
    pitch = belt.width() / rows
    top = belt.top() - BESIDE_PX
    painter = scene.painter
    painter.setPen(faint(scene.palette, 0.8))
    scene.line(belt.left(), belt.top() - 2, belt.right(), belt.top() - 2)
    painter.setBrush(QColor(scene.palette.ghost))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.drawRects(
        [
            QRectF(belt.right() - (row + 1) * pitch, top, max(1.0, 0.84 * pitch), 3.5)
            for row in other.bridge_rows
        ]
    )
