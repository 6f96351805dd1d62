"""The whole drawing of a moment, for the screen, a picture file or paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from gui.plan.layout import PlanLayout
from gui.plan.packing import draw_bridge, draw_outfeed, draw_wrappers
from gui.plan.scene import Scene
from gui.plan.sheeting import draw_pockets, draw_sheeting, draw_transfer
from gui.plan.stating import draw_states
from gui.plan.unwinding import draw_unwinding
from linesim import moment_labels

if TYPE_CHECKING:
    from gui.look import Palette
    from linesim import Moment, Scenario

_LEFT = int(Qt.AlignmentFlag.AlignLeft)
_RIGHT = int(Qt.AlignmentFlag.AlignRight)


def draw_plan(
    painter: QPainter,
    size: tuple[float, float],
    scenario: Scenario,
    moment: Moment,
    palette: Palette,
) -> None:
    """Draw the line at a moment into an area of ``size`` px with its corner at (0, 0)."""
    layout = PlanLayout.for_line(scenario, *size)
    scene = Scene(painter, layout, palette, scenario, moment, moment_labels(moment))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.fillRect(QRectF(0, 0, *size), QColor(palette.ground))
    _head(scene)
    draw_unwinding(scene)
    draw_sheeting(scene)
    draw_pockets(scene)
    draw_bridge(scene)
    draw_transfer(scene)
    draw_wrappers(scene)
    draw_outfeed(scene)
    draw_states(scene)


def _head(scene: Scene) -> None:
    labels, layout = scene.labels, scene.layout
    left = "   ".join(part for part in (labels.time, labels.order, labels.speed) if part)
    whole = QRectF(layout.deck.left(), 4, layout.deck.width(), 1.6 * layout.text_px)
    scene.write(whole, left, align=_LEFT, bold=True)
    scene.write(whole, labels.wrapped, align=_RIGHT)
