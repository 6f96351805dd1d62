"""A law of chance, drawn small beside its figures."""

from __future__ import annotations

from typing import Any

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

import linesim
from gui.look import palette_of


class LawPicture(QWidget):
    """How likely each value is, with a line at the mean; the words beside it say the same."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._curve: linesim.scenario.LawCurve | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMaximumWidth(30 * self.fontMetrics().averageCharWidth())

    def sizeHint(self) -> QSize:
        return QSize(120, 2 * self.fontMetrics().height())

    def show_law(self, value: Any, unit: str) -> str:
        """Draw the law *value*; returns what it says in words, empty where it is no law."""
        self._curve = linesim.scenario.law_curve(value) if value is not None else None
        # Of a constant the figure itself says everything.
        self.setVisible(self._curve is not None and len(self._curve.values) > 1)
        self.update()
        words = _in_words(self._curve, unit)
        self.setAccessibleName(words)
        self.setToolTip(words)
        return words

    def paintEvent(self, event: QPaintEvent) -> None:
        curve = self._curve
        if curve is None:
            return
        look = palette_of(self)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        area = QRectF(self.rect()).adjusted(2, 2, -2, -2)
        # From zero, so that a wide law looks wide and a narrow one narrow.
        right = max(float(np.max(curve.values)), curve.mean) * 1.08 or 1.0
        painter.setPen(QPen(QColor(look.grid), 1))
        painter.drawLine(area.bottomLeft(), area.bottomRight())
        top = float(np.max(curve.density))
        if top > 0:
            xs = area.left() + curve.values / right * area.width()
            ys = area.bottom() - curve.density / top * area.height()
            points = [QPointF(x, y) for x, y in zip(xs.tolist(), ys.tolist(), strict=True)]
            ends = [QPointF(xs[-1], area.bottom()), QPointF(xs[0], area.bottom())]
            fill = QColor(look.curve)
            fill.setAlphaF(0.25)
            painter.setBrush(fill)
            painter.setPen(QPen(QColor(look.curve), 1))
            painter.drawPolygon(QPolygonF([*points, *ends]))
        mean = area.left() + curve.mean / right * area.width()
        painter.setPen(QPen(QColor(look.text), 1.5))
        painter.drawLine(QPointF(mean, area.top()), QPointF(mean, area.bottom()))


def _in_words(curve: linesim.scenario.LawCurve | None, unit: str) -> str:
    if curve is None:
        return ""
    low, high = curve.middle
    if low == high:
        return f"always {_figure(curve.mean)} {unit}".rstrip()
    middle = f"four of five from {_figure(low)} to {_figure(high)} {unit}".rstrip()
    return f"mean {_figure(curve.mean)}; {middle}"


def _figure(value: float) -> str:
    """To three figures, written out."""
    return f"{float(f'{value:.3g}'):.10g}"
