"""How plots of pyqtgraph look here: type and colours, the numbers of an axis, keys.

Imported when the first plot is shown: pyqtgraph takes its time, and the first page has no plot.
"""

from __future__ import annotations

import math
from html import escape
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontInfo, QFontMetricsF, QPainter, QPen

from gui.look.palette import Palette
from linesim.report import Scale, tick_text

_FAINT = 60
_KEY = 20.0


def pen(colour: str, width: float = 1.0, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
    """A pen as wide as said, however far the plot is zoomed."""
    made = QPen(QColor(colour), width, style)
    made.setCosmetic(True)
    return made


def faint(colour: str) -> QBrush:
    """The see-through fill of a band."""
    shade = QColor(colour)
    shade.setAlpha(_FAINT)
    return QBrush(shade)


class RoundAxis(pg.AxisItem):  # type: ignore[misc]
    """An axis with the round numbers of all charts; ``logarithmic`` takes powers of ten."""

    def __init__(self, side: str) -> None:
        super().__init__(side)
        self.logarithmic = False
        self.enableAutoSIPrefix(False)
        # Its faint lines lie below what is plotted.
        self.setZValue(-1)
        self.setFlag(self.GraphicsItemFlag.ItemNegativeZStacksBehindParent)

    def dress(self, look: Palette, font: QFont, words: str = "") -> None:
        """Give it colours, type and what it is an axis of."""
        self.setPen(pen(look.grid))
        self.setTextPen(pen(look.text))
        self.setStyle(tickFont=font, tickLength=0, hideOverlappingLabels=False)
        self.setGrid(255)
        if words:
            self.label.setFont(font)
            self.setLabel(escape(words))

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """One level of ticks, as many as there is room for."""
        metrics = QFontMetricsF(self.style["tickFont"] or QFont())
        upright = self.orientation in ("left", "right")
        each = 2.2 * metrics.height() if upright else metrics.horizontalAdvance("00,000  ")
        return [
            (0.0, [self._on(tick) for tick in self._ticks(low, high, max(2, int(size / each)))])
        ]

    def _ticks(self, low: float, high: float, most: int) -> list[float]:
        if not self.logarithmic:
            return Scale(low, high, 0, 1).ticks(most)
        return Scale(10**low, 10**high, 0, 1, logarithmic=True).ticks(most)

    def _on(self, value: float) -> float:
        return place(value, self.logarithmic)

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        """As many decimals as the steps need."""
        ticks = [10**value if self.logarithmic else value for value in values]
        return [tick_text(tick, ticks) for tick in ticks]

    def paint(self, p: QPainter, opt: Any, widget: Any) -> None:
        """Drawn at once: a picture kept of it would be of the screen, and not fit the paper."""
        if self.style["tickFont"]:
            p.setFont(self.style["tickFont"])
        specs = self.generateDrawSpecs(p)
        if specs is not None:
            self.drawPicture(p, *specs)


def place(value: float, logarithmic: bool) -> float:
    """Where a value stands along an axis."""
    return math.log10(value) if logarithmic else value


class Keys(pg.LegendItem):  # type: ignore[misc]
    """What the lines are; it stays where it is put."""

    def __init__(self, look: Palette, font: QFont) -> None:
        size = f"{QFontInfo(font).pixelSize()}px"
        super().__init__(labelTextColor=look.text, labelTextSize=size, verSpacing=-4)
        self.layout.setContentsMargins(0, 0, 0, 0)

    def add(self, words: str, line: QPen, band: QBrush | None = None) -> None:
        """One more key."""
        self.addItem(_Key(line, band), escape(words))

    def mouseDragEvent(self, event: Any) -> None:
        """The plot has it."""
        event.ignore()

    def hoverEvent(self, event: Any) -> None:
        """The plot has it."""


class _Key(pg.ItemSample):  # type: ignore[misc]
    """A piece of the line, with its band."""

    def __init__(self, line: QPen, band: QBrush | None) -> None:
        super().__init__(None)
        self._line, self._band = line, band

    def paint(self, p: QPainter, *_: Any) -> None:
        """Line over band."""
        middle = self.boundingRect().center().y()
        if self._band is not None:
            p.fillRect(QRectF(0, middle - 5, _KEY, 10), self._band)
        p.setPen(self._line)
        p.drawLine(QLineF(0, middle, _KEY, middle))

    def mouseClickEvent(self, event: Any) -> None:
        """Nothing is hidden from here."""
        event.ignore()
