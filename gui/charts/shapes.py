"""Bars, whiskers and strokes of a chart: hatches and ends stay as they are when it is zoomed.

What pyqtgraph has of these is stretched with the plot, hatches and all. These are placed by the
plot and painted in pixels of its scene.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen, QTransform

_END = 4.0
_CENTRED = int(Qt.AlignmentFlag.AlignCenter)
_CORNER = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)


@dataclass(frozen=True)
class Box:
    """A box from corner to corner, 0 to 1 on the plot; no wider or higher than ``most_px``.

    ``words`` stand in its middle, the longest version that fits; ``corner`` in its corner,
    or before a shorter one where that has no room.
    """

    area: QRectF
    fill: QBrush | None = None
    line: QPen | None = None
    most_px: tuple[float, float] = (1e6, 1e6)
    words: tuple[str, ...] = ()
    corner: str = ""
    ink: str = ""
    beyond_px: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True)
class Stroke:
    """A line between two places, with an end of ``end_px`` across at both, or none."""

    x1: float
    y1: float
    x2: float
    y2: float
    line: QPen
    end_px: float = _END


@dataclass(frozen=True)
class Notch:
    """A line across, ``half_px`` to both sides of a place."""

    x: float
    y: float
    half_px: float
    line: QPen
    upright: bool = True


Shape = Box | Stroke | Notch


@dataclass
class _Paper:
    p: QPainter
    to_px: QTransform
    font: QFont = field(default_factory=QFont)


class Shapes(pg.GraphicsObject):  # type: ignore[misc]
    """Some of these, in the order given."""

    def __init__(self, shapes: Sequence[Shape], font: QFont) -> None:
        super().__init__()
        self.shapes = tuple(shapes)
        self._font = font

    def boundingRect(self) -> QRectF:
        """All of the plot, however it is moved."""
        return QRectF(-4, -4, 9, 9)

    def paint(self, p: QPainter, *_: Any) -> None:
        """In pixels of the scene."""
        to_px = self.sceneTransform()
        p.save()
        p.setTransform(pg.functions.invertQTransform(to_px), True)
        p.setFont(self._font)
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        paper = _Paper(p, to_px, self._font)
        for shape in self.shapes:
            if isinstance(shape, Box):
                _box(paper, shape)
            elif isinstance(shape, Stroke):
                _stroke(paper, shape)
            else:
                _notch(paper, shape)
        p.restore()


def box_px(box: Box, to_px: QTransform) -> QRectF:
    """Where a box stands in the scene."""
    area = to_px.mapRect(box.area)
    middle, (wide, high), (more_x, more_y) = area.center(), box.most_px, box.beyond_px
    area.setWidth(min(area.width(), wide))
    area.setHeight(min(area.height(), high))
    area.moveCenter(middle)
    return area.adjusted(-more_x, -more_y, more_x, more_y)


def _box(paper: _Paper, box: Box) -> None:
    area = box_px(box, paper.to_px)
    p = paper.p
    if box.fill is not None:
        p.fillRect(area, box.fill)
    if box.line is not None:
        inside = box.line.widthF() / 2
        p.setPen(box.line)
        p.setBrush(Qt.BrushStyle.NoBrush)
        p.drawRect(area.adjusted(inside, inside, -inside, -inside) if box.words else area)
    if not box.words and not box.corner:
        return
    metrics = QFontMetricsF(paper.font)
    p.setPen(QColor(box.ink))
    said, corner = words_in(box, area, metrics)
    p.drawText(area, _CENTRED, said)
    p.drawText(area.adjusted(5, 2, -5, -2), _CORNER, corner)


def words_in(box: Box, area: QRectF, metrics: QFontMetricsF) -> tuple[str, str]:
    """What stands in its middle and in its corner; in a low box both stand in the middle."""
    said = next((words for words in box.words if _fits(metrics, words, area)), "")
    if not box.corner or _corner_fits(metrics, box.corner, said, area):
        return said, box.corner
    both = (f"{box.corner}: {words}" for words in box.words)
    return next((words for words in both if _fits(metrics, words, area)), said), ""


def _fits(metrics: QFontMetricsF, words: str, area: QRectF) -> bool:
    size = metrics.size(0, words)
    return bool(size.width() <= area.width() - 4 and size.height() <= area.height())


def _corner_fits(metrics: QFontMetricsF, corner: str, said: str, area: QRectF) -> bool:
    """Whether words in the corner of a box leave those in its middle alone."""
    words, middle = metrics.size(0, corner), metrics.size(0, said)
    if words.width() > area.width() - 10 or words.height() > area.height():
        return False
    above = (area.height() - middle.height()) / 2 - 2
    beside = (area.width() - middle.width()) / 2 - 8
    return bool(words.height() <= above or words.width() <= beside)


def _stroke(paper: _Paper, stroke: Stroke) -> None:
    line = paper.to_px.map(QLineF(stroke.x1, stroke.y1, stroke.x2, stroke.y2))
    paper.p.setPen(stroke.line)
    paper.p.drawLine(line)
    if stroke.end_px:
        level = abs(line.dx()) >= abs(line.dy())
        for end in (line.p1(), line.p2()):
            x, y, half = end.x(), end.y(), stroke.end_px
            across = QLineF(x, y - half, x, y + half) if level else QLineF(x - half, y, x + half, y)
            paper.p.drawLine(across)


def _notch(paper: _Paper, notch: Notch) -> None:
    x, y = paper.to_px.map(notch.x, notch.y)
    half = notch.half_px
    paper.p.setPen(notch.line)
    upright = QLineF(x, y - half, x, y + half)
    paper.p.drawLine(upright if notch.upright else QLineF(x - half, y, x + half, y))
