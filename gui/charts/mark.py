"""A line up a plot that can be taken hold of, and the points that it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import pyqtgraph as pg
from PySide6.QtCore import QObject, QPointF, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QFont
from PySide6.QtWidgets import QGraphicsItem

from gui.charts.items import line_item, upright_item
from gui.charts.pens import pen
from gui.look import Palette

_HEIGHT, _HIGH = 0.14, 0.72
"""Of its words: above what is hatched along the foot; below "now" where the curve is down there."""
_LOW = 0.4


class Stroke(NamedTuple):
    """A figure from end to end, as places of the plot."""

    low: QPointF
    high: QPointF


class Mark(QObject):
    """One line for good: another chart may come while it is under the hand."""

    dragged = Signal(float)
    """Under the hand, here: 0 to 1 across."""

    def __init__(self, box: pg.ViewBox, parent: QObject) -> None:
        super().__init__(parent)
        self._box = box
        self._line: pg.InfiniteLine | None = None
        self._rests: list[QGraphicsItem] = []

    @property
    def shown(self) -> bool:
        """Whether it is there."""
        return self._line is not None and self._line.isVisible()

    def show(
        self, at: float, words: str, rests_on: Sequence[Stroke], look: Palette, font: QFont
    ) -> None:
        """Have it here, with what it rests on standing out."""
        self.hide()
        line = self._line = self._line or self._new_line(at, words, look, font)
        line.setVisible(True)
        line.setPen(pen(look.text, 1.5))
        line.setHoverPen(pen(look.curve, 3))
        line.label.setColor(look.text)
        line.label.setFont(font)
        line.label.fill = QBrush(QColor(look.ground))
        line.label.setFormat(words)
        line.setValue(at)
        low_there = any((low + high).y() / 2 < _LOW for low, high in rests_on)
        line.label.setPosition(_HIGH if low_there else _HEIGHT)
        for low, high in rests_on:
            item = line_item([low, high], pen(look.curve, 5))
            self._box.addItem(item, ignoreBounds=True)
            self._rests.append(item)

    def hide(self) -> None:
        """No mark."""
        self.drop_rests()
        if self._line is not None:
            self._line.setVisible(False)

    def drop_rests(self) -> None:
        """What it rested on is there no more."""
        for item in self._rests:
            item.setParentItem(None)
            self._box.scene().removeItem(item)
        self._rests = []

    def _new_line(self, at: float, words: str, look: Palette, font: QFont) -> pg.InfiniteLine:
        made = upright_item(at, words, _HEIGHT, pen(look.text), look, font)
        made.setMovable(True)
        made.setCursor(Qt.CursorShape.SizeHorCursor)
        made.setZValue(5)
        made.sigDragged.connect(self._drag)
        self._box.addItem(made, ignoreBounds=True)
        return made

    def _drag(self, line: pg.InfiniteLine) -> None:
        self.dragged.emit(line.value())
