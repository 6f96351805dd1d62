"""A slider whose lengths already run are marked on its groove, plain in light and in dark."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSlider, QStyle, QStyleOptionSlider, QWidget
from shiboken6 import isValid

from gui.charts.scales import Scale
from gui.look import palette_of
from linesim.report import spans_much

if TYPE_CHECKING:
    from gui.charts.plot import Plot

_MARK = 5.0
_HAND = 6.5


class PlacesSlider(QSlider):
    """Level; ``show_run`` says which values have been run.

    It lies along the axis of the curve above it: a value stands below its place on the curve,
    zoomed and moved as that is.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._run: tuple[int, ...] = ()
        self._plot: Plot | None = None

    def lie_along(self, plot: Plot | None) -> None:
        """Have the axis of this plot for a scale; None: one of its own."""
        if plot is self._plot:
            return
        if self._plot is not None and isValid(self._plot):
            self._plot.box.sigRangeChanged.disconnect(self._moved)
            self._plot.box.sigResized.disconnect(self._moved)
        self._plot = plot
        if plot is not None:
            plot.box.sigRangeChanged.connect(self._moved)
            plot.box.sigResized.connect(self._moved)
        self.update()

    def _moved(self, *_: object) -> None:
        self.update()

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
        start, end = self.x_of(self.minimum()), self.x_of(self.maximum())
        painter.setPen(QPen(QColor(look.ghost), 2))
        painter.drawLine(QPointF(start, middle), QPointF(end, middle))
        painter.setPen(QPen(QColor(ink), 1.5))
        for value in self._run:
            if self.minimum() <= value <= self.maximum():
                x = self.x_of(value)
                painter.drawLine(QPointF(x, middle - _MARK), QPointF(x, middle + _MARK))
        painter.setPen(QPen(QColor(look.text), 2 if self.hasFocus() else 1))
        painter.setBrush(QColor(ink if self.hasFocus() else look.ground))
        at = self.x_of(self.sliderPosition())
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

    def x_of(self, value: int) -> float:
        """Where the middle of the handle stands for a value; at the end where that is beyond."""
        scale = self._scale()
        if scale is None:
            return self._end(self.minimum())
        return min(max(scale.at(value), 0.0), float(self.width()))

    def _scale(self) -> Scale | None:
        """Values along the groove; None where there is only one."""
        low, high = self.minimum(), self.maximum()
        if low == high:
            return None
        plot = self._plot
        if plot is None or not isValid(plot) or not plot.isVisible():
            return Scale(low, high, self._end(low), self._end(high), spans_much((low, high)))
        start, end = (
            self.mapFromGlobal(plot.mapToGlobal(plot.on_widget(QPointF(plot.across.at(value), 0))))
            for value in (low, high)
        )
        return Scale(low, high, start.x(), end.x(), plot.across.logarithmic)

    def _end(self, value: int) -> float:
        """Where the style has the middle of the handle for the least or the largest value."""
        option = QStyleOptionSlider()
        self.initStyleOption(option)
        option.sliderPosition = value
        handle = self.style().subControlRect(
            QStyle.ComplexControl.CC_Slider, option, QStyle.SubControl.SC_SliderHandle, self
        )
        return QRectF(handle).center().x()
