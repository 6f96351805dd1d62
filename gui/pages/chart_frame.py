"""What all charts share: pens from the palette, a frame with round numbers, a legend."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen

import linesim
from gui.look import Palette
from linesim.report import Scale, tick_text

FAINT = 60
_GAP = 6.0


class ChartMark(NamedTuple):
    """A place on a curve, what is written there, and the points that speak for it."""

    x: float
    words: str
    rests_on: tuple[int, ...]


@dataclass(frozen=True)
class Paper:
    """Where a chart is drawn, in which colours; ``level`` is that of its intervals."""

    painter: QPainter
    room: QRectF
    look: Palette
    level: float = 0.95

    @property
    def metrics(self) -> QFontMetricsF:
        """Sizes of text as drawn."""
        return QFontMetricsF(self.painter.font())

    def pen(
        self, colour: str, width: float = 1.0, style: Qt.PenStyle = Qt.PenStyle.SolidLine
    ) -> None:
        """Draw lines so from now on."""
        self.painter.setPen(QPen(QColor(colour), width, style))

    def faint(self, colour: str) -> QBrush:
        """A see-through fill."""
        shade = QColor(colour)
        shade.setAlpha(FAINT)
        return QBrush(shade)

    def text(self, box: QRectF, flags: Qt.AlignmentFlag, words: str, colour: str = "") -> None:
        """Words in a box, shortened where they do not fit."""
        self.pen(colour or self.look.text)
        fitting = self.metrics.elidedText(words, Qt.TextElideMode.ElideRight, box.width())
        self.painter.drawText(box, int(flags), fitting)

    def title(self, words: str) -> float:
        """The chart's title on top; gives the height it took."""
        font = QFont(self.painter.font())
        self.painter.setFont(_bold(font))
        height = title_height(font)
        box = QRectF(self.room.left(), self.room.top(), self.room.width(), height)
        self.text(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop, words)
        self.painter.setFont(font)
        return height


def title_height(font: QFont) -> float:
    """What a chart's title takes on top."""
    return QFontMetricsF(_bold(font)).height() + _GAP


def _bold(font: QFont) -> QFont:
    bold = QFont(font)
    bold.setBold(True)
    return bold


def x_axis(paper: Paper, plot: QRectF, scale: Scale, words: str, *, above: bool = False) -> None:
    """Round numbers below (or above) the plot, faint lines from them, and what they are."""
    metrics, look = paper.metrics, paper.look
    wide = metrics.horizontalAdvance("00,000  ")
    height = metrics.height()
    numbers = plot.top() - height - 3 if above else plot.bottom() + 3
    names = numbers - height - 1 if above else numbers + height + 1
    ticks = scale.ticks(max(2, int(plot.width() / wide)))
    texts = [tick_text(tick, ticks) for tick in ticks]
    wide = max((metrics.horizontalAdvance(text) for text in texts), default=wide) + 4
    for tick, text in zip(ticks, texts, strict=True):
        x = scale.at(tick)
        paper.pen(look.grid)
        paper.painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.bottom()))
        box = QRectF(x - wide / 2, numbers, wide, height)
        paper.text(box, Qt.AlignmentFlag.AlignCenter, text)
    box = QRectF(plot.left(), names, plot.width(), height)
    paper.text(box, Qt.AlignmentFlag.AlignCenter, words)


def y_axis(paper: Paper, plot: QRectF, scale: Scale) -> None:
    """Round numbers left of the plot, faint lines across."""
    metrics, look = paper.metrics, paper.look
    ticks = scale.ticks(max(2, int(plot.height() / (2.2 * metrics.height()))))
    for tick in ticks:
        y = scale.at(tick)
        paper.pen(look.grid)
        paper.painter.drawLine(QPointF(plot.left(), y), QPointF(plot.right(), y))
        box = QRectF(paper.room.left(), y - metrics.height() / 2, 0, metrics.height())
        box.setRight(plot.left() - _GAP)
        paper.text(
            box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, tick_text(tick, ticks)
        )


def y_room(paper: Paper, scale: Scale, height: float) -> float:
    """How wide the numbers of a y axis are."""
    ticks = scale.ticks(max(2, int(height / (2.2 * paper.metrics.height()))))
    texts = [tick_text(tick, ticks) for tick in ticks]
    widest = max((paper.metrics.horizontalAdvance(text) for text in texts), default=0.0)
    return float(widest) + 2 * _GAP


def spoken(figure: linesim.report.Figure, unit: str) -> str:
    """A figure with its interval and unit."""
    text = linesim.report.cell_text(figure)
    return f"{text} {unit}".rstrip()
