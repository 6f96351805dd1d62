"""The whole drawing of a moment, for the screen, a picture file or paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from gui.plan.beside import draw_beside
from gui.plan.layout import PlanLayout
from gui.plan.packing import draw_bridge, draw_end_of_line, draw_wrappers
from gui.plan.scene import Scene
from gui.plan.sheeting import draw_pockets, draw_sheeting, draw_transfer
from gui.plan.stating import draw_states
from gui.plan.unwinding import draw_unwinding
from linesim.report import beside_labels, moment_labels

if TYPE_CHECKING:
    from gui.look import Palette
    from linesim import Scenario
    from linesim.record import Moment

_LEFT = int(Qt.AlignmentFlag.AlignLeft)
_RIGHT = int(Qt.AlignmentFlag.AlignRight)


def draw_plan(
    painter: QPainter,
    size: tuple[float, float],
    scenario: Scenario,
    moment: Moment,
    palette: Palette,
    other: Moment | None = None,
    title: str = "before the change",
    letters_px: int = 0,
) -> None:
    """Draw the line at a moment into an area of ``size`` px with its corner at (0, 0).

    ``other`` is the same moment of the run it is compared with, and ``title`` says which that is.
    ``letters_px`` is the size of the letters around the picture.
    """
    layout = PlanLayout.for_line(scenario, *size, letters_px)
    beside = None if other is None else beside_labels(moment, other, title)
    labels = moment_labels(moment, scenario.calendar.start)
    scene = Scene(painter, layout, palette, scenario, moment, labels, other, beside)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.fillRect(QRectF(0, 0, *size), QColor(palette.ground))
    _head(scene)
    draw_unwinding(scene)
    draw_sheeting(scene)
    draw_pockets(scene)
    draw_bridge(scene)
    draw_transfer(scene)
    draw_wrappers(scene)
    draw_end_of_line(scene)
    draw_states(scene)
    if other is not None:
        draw_beside(scene, other)


def _head(scene: Scene) -> None:
    labels, layout = scene.labels, scene.layout
    left = "   ".join(part for part in (labels.time, labels.order, labels.speed) if part)
    whole = QRectF(layout.deck.left(), 4, layout.deck.width(), 1.6 * layout.text_px)
    scene.write(whole, left, align=_LEFT, bold=True)
    right = labels.wrapped
    if scene.beside is not None:
        room = whole.width() - scene.width_of(left, bold=True) - 24
        for said in (scene.beside.wrapped, scene.beside.short_wrapped):
            if scene.width_of(f"{labels.wrapped}; {said}") <= room:
                right = f"{labels.wrapped}; {said}"
                break
    scene.write(whole, right, align=_RIGHT)
