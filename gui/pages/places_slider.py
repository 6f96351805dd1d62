"""A slider whose lengths already run are marked on its groove, plain in light and in dark."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSlider, QStyle, QStyleOptionSlider, QWidget

from gui.charts.scales import is_wide
from gui.look import palette_of
from linesim.report import Scale

_MARK = 5.0
_HAND = 6.5


class PlacesSlider(QSlider):
    """Level; ``show_run`` says which values have been run.

    It is as even, or as logarithmic, as the axis of the curve above it.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._run: tuple[int, ...] = ()

    def show_run(self, values: Sequence[int]) -> None:
        """Mark these values."""
        self._run = tuple(values)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = palette_of(self)
        ink = look.curve if self.isEnabled() else look.ghost
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        middle = self.rect().center().y() + 0.5
        start, end = self._x(self.minimum()), self._x(self.maximum())
        painter.setPen(QPen(QColor(look.ghost), 2))
        painter.drawLine(QPointF(start, middle), QPointF(end, middle))
        painter.setPen(QPen(QColor(ink), 1.5))
        for value in self._run:
            if self.minimum() <= value <= self.maximum():
                x = self._x(value)
                painter.drawLine(QPointF(x, middle - _MARK), QPointF(x, middle + _MARK))
        painter.setPen(QPen(QColor(look.text), 2 if self.hasFocus() else 1))
        painter.setBrush(QColor(ink if self.hasFocus() else look.ground))
        at = self._x(self.sliderPosition())
        painter.drawEllipse(QPointF(at, middle), _HAND, _HAND)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """The handle goes where the hand is."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.setSliderDown(True)
            self._follow(event)
        else:
            super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """The handle stays under the hand."""
        if self.isSliderDown():
            self._follow(event)
        else:
            super().mouseMoveEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """The hand lets go."""
        self.setSliderDown(False)
        super().mouseReleaseEvent(event)

    def _follow(self, event: QMouseEvent) -> None:
        scale = self._scale()
        if scale is not None:
            self.setValue(round(scale.value(event.position().x())))
        event.accept()

    def _x(self, value: int) -> float:
        """Where the middle of the handle stands for a value."""
        scale = self._scale()
        return self._end(self.minimum()) if scale is None else scale.at(value)

    def _scale(self) -> Scale | None:
        """Values along the groove; None where there is only one."""
        low, high = self.minimum(), self.maximum()
        if low == high:
            return None
        return Scale(low, high, self._end(low), self._end(high), is_wide((low, high)))

    def _end(self, value: int) -> float:
        """Where the style has the middle of the handle for the least or the largest value."""
        option = QStyleOptionSlider()
        self.initStyleOption(option)
        option.sliderPosition = value
        handle = self.style().subControlRect(
            QStyle.ComplexControl.CC_Slider, option, QStyle.SubControl.SC_SliderHandle, self
        )
        return QRectF(handle).center().x()
