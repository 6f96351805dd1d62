"""A chart on screen, as a picture to paste and as an SVG file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import QWidget

import linesim
from gui.look import Palette, palette_of
from gui.look.drawn import Drawn, Spot
from gui.pages.chart_bars import bars_height, paint_bars
from gui.pages.chart_frame import ChartMark, Paper, title_height
from gui.pages.chart_map import paint_map
from gui.pages.chart_scatter import paint_scatter

if TYPE_CHECKING:
    from gui.pages.chart_curve import CurvePlot

_MARGIN = 10.0
_STEP = 0.8
_MOVES = {
    Qt.Key.Key_Left: (-0.1, 0.0),
    Qt.Key.Key_Right: (0.1, 0.0),
    Qt.Key.Key_Up: (0.0, 0.1),
    Qt.Key.Key_Down: (0.0, -0.1),
}


class ChartView(Drawn):
    """Draws a chart of an answer; what is pointed at says its figure in words."""

    dragged = Signal(float)
    """The user has the mark of a curve under the hand, here: a value of its ``x``."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._chart: linesim.report.Chart | None = None
        self._level = 0.95
        self._mark: ChartMark | None = None
        self.plot: CurvePlot | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    @property
    def chart(self) -> linesim.report.Chart | None:
        """The chart on screen."""
        return self._chart

    def show_chart(self, chart: linesim.report.Chart, answer: linesim.report.Answer) -> None:
        """Draw this one, of that answer."""
        self._chart = chart
        level = answer.facts.get("level")
        self._level = level if isinstance(level, float) else 0.95
        self.source = source_words(answer)
        least = 200
        if isinstance(chart, linesim.report.Bars):
            least = max(least, bars_height(len(chart.bars), self.fontMetrics().height()))
        self.setMinimumSize(320, least)
        self.setAccessibleName(chart.title)
        self.setAccessibleDescription("The same figures stand in the tables.")
        self._show_plot()
        self.update()

    @property
    def mark(self) -> ChartMark | None:
        """What is marked on the curve."""
        return self._mark

    def show_mark(self, mark: ChartMark | None) -> None:
        """Mark a place on the curve, where the chart is one. Pictures are made without."""
        if mark != self._mark:
            self._mark = mark
            if self.plot is not None:
                self.plot.show_mark(mark)

    def draw(
        self, painter: QPainter, room: QRectF, look: Palette, *, on_screen: bool
    ) -> list[Spot]:
        """The chart; a curve is drawn by its plot, below the title."""
        if self._chart is None:
            return []
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        inner = room.adjusted(_MARGIN, _MARGIN, -_MARGIN, -_MARGIN)
        paper = Paper(painter, inner, look, self._level)
        if not isinstance(self._chart, linesim.report.Curve):
            return paint_chart(paper, self._chart)
        unit = self._chart.y.unit
        below = paper.title(f"{self._chart.title}, {unit}" if unit else self._chart.title)
        if on_screen:
            return []
        plot = self._new_plot()
        plot.hide()
        sharpness = painter.deviceTransform().m11()
        plot.show_curve(self._chart, look, painter.font(), self._level, sharpness=sharpness)
        plot.print_into(painter, inner.adjusted(0, below, 0, 0))
        plot.deleteLater()
        return []

    def changeEvent(self, event: QEvent) -> None:
        """Light and dark, and the size of type."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._show_plot()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place_plot()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys for what the hand does to a plot."""
        if self.plot is None or not self._press(self.plot, event.key()):
            super().keyPressEvent(event)

    def _press(self, plot: CurvePlot, key: int) -> bool:
        if key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            plot.zoom(_STEP)
        elif key == Qt.Key.Key_Minus:
            plot.zoom(1 / _STEP)
        elif key in (Qt.Key.Key_0, Qt.Key.Key_Home):
            plot.show_all()
        elif key in _MOVES:
            plot.move_by(*_MOVES[Qt.Key(key)])
        else:
            return False
        return True

    def _new_plot(self) -> CurvePlot:
        # At the first curve, not at the start: pyqtgraph takes its time.
        from gui.pages.chart_curve import CurvePlot

        return CurvePlot(self)

    def _show_plot(self) -> None:
        if not isinstance(self._chart, linesim.report.Curve):
            if self.plot is not None:
                self.plot.hide()
                self.plot.deleteLater()
                self.plot = None
            return
        if self.plot is None:
            self.plot = self._new_plot()
            self.plot.dragged.connect(self.dragged)
        self.plot.show_curve(self._chart, palette_of(self), self.font(), self._level)
        self.plot.show_mark(self._mark)
        self._place_plot()
        self.plot.show()

    def _place_plot(self) -> None:
        if self.plot is not None:
            title = title_height(self.font())
            room = QRectF(self.rect()).adjusted(_MARGIN, _MARGIN + title, -_MARGIN, -_MARGIN)
            self.plot.setGeometry(room.toRect())


def paint_chart(
    paper: Paper, chart: linesim.report.Bars | linesim.report.Scatter | linesim.report.Map
) -> list[Spot]:
    """Draw it; gives the places that have something to say when pointed at."""
    if isinstance(chart, linesim.report.Bars):
        return paint_bars(paper, chart)
    if isinstance(chart, linesim.report.Scatter):
        return paint_scatter(paper, chart)
    return paint_map(paper, chart)


def source_words(answer: linesim.report.Answer) -> str:
    """Where the figures of an answer come from, in one line."""
    invented = " Invented data." if answer.facts.get("invented") else ""
    if "replications" not in answer.facts:
        return f"{answer.scenario}: from {answer.facts.get('log')}.{invented}"
    runs = f"{answer.facts.get('replications')} runs of each variant"
    return f"{answer.scenario}: {runs}; {answer.notes[-1]}{invented}"
