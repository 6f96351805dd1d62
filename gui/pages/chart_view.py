"""A chart on screen, as a picture to paste and as an SVG file."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter
from PySide6.QtWidgets import QWidget

import linesim
from gui.look import Palette
from gui.look.drawn import Drawn, Spot
from gui.look.scales import Scale, is_wide
from gui.pages.chart_bars import bars_height, paint_bars
from gui.pages.chart_curve import ChartMark, paint_curve
from gui.pages.chart_frame import Paper
from gui.pages.chart_map import paint_map
from gui.pages.chart_scatter import paint_scatter

_MARGIN = 10.0


class ChartView(Drawn):
    """Draws a chart of an answer; what is pointed at says its figure in words."""

    dragged = Signal(float)
    """The user has the mark of a curve under the hand, here: a value of its ``x``."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._chart: linesim.Chart | None = None
        self._level = 0.95
        self._mark: ChartMark | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    @property
    def chart(self) -> linesim.Chart | None:
        """The chart on screen."""
        return self._chart

    def show_chart(self, chart: linesim.Chart, answer: linesim.Answer) -> None:
        """Draw this one, of that answer."""
        self._chart = chart
        level = answer.facts.get("level")
        self._level = level if isinstance(level, float) else 0.95
        self.source = source_words(answer)
        least = 200
        if isinstance(chart, linesim.Bars):
            least = max(least, bars_height(len(chart.bars), self.fontMetrics().height()))
        self.setMinimumSize(320, least)
        self.setAccessibleName(chart.title)
        self.setAccessibleDescription("The same figures stand in the tables.")
        self.update()

    @property
    def mark(self) -> ChartMark | None:
        """What is marked on the curve."""
        return self._mark

    def show_mark(self, mark: ChartMark | None) -> None:
        """Mark a place on the curve, where the chart is one. Pictures are made without."""
        if mark != self._mark:
            self._mark = mark
            movable = mark is not None and isinstance(self._chart, linesim.Curve)
            shape = Qt.CursorShape.SizeHorCursor if movable else Qt.CursorShape.ArrowCursor
            self.setCursor(shape)
            self.update()

    def draw(
        self, painter: QPainter, room: QRectF, look: Palette, *, on_screen: bool
    ) -> list[Spot]:
        """The chart; the mark is on screen only."""
        if self._chart is None:
            return []
        mark = self._mark if on_screen else None
        return paint_chart(painter, room, self._chart, look, level=self._level, mark=mark)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._drag(event)
        super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._drag(event)
        super().mouseMoveEvent(event)

    def _drag(self, event: QMouseEvent) -> None:
        held = event.buttons() & Qt.MouseButton.LeftButton
        if not held or self._mark is None or not isinstance(self._chart, linesim.Curve):
            return
        known = [point.x for point in self._chart.points if point.figure is not None]
        if len(known) > 1 and len(self._spots) == len(known):
            start, end = (self._spots[n][0].center().x() for n in (0, -1))
            scale = Scale(known[0], known[-1], start, end, logarithmic=is_wide(known))
            self.dragged.emit(scale.value(event.position().x()))


def paint_chart(
    painter: QPainter,
    room: QRectF,
    chart: linesim.Chart,
    look: Palette,
    *,
    level: float,
    mark: ChartMark | None = None,
) -> list[Spot]:
    """Draw any chart; gives the places that have something to say when pointed at."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    inner = room.adjusted(_MARGIN, _MARGIN, -_MARGIN, -_MARGIN)
    paper = Paper(painter, inner, look, level)
    if isinstance(chart, linesim.Curve):
        return paint_curve(paper, chart, mark)
    if isinstance(chart, linesim.Bars):
        return paint_bars(paper, chart)
    if isinstance(chart, linesim.Scatter):
        return paint_scatter(paper, chart)
    return paint_map(paper, chart)


def source_words(answer: linesim.Answer) -> str:
    """Where the figures of an answer come from, in one line."""
    invented = " Invented data." if answer.facts.get("invented") else ""
    if "replications" not in answer.facts:
        return f"{answer.scenario}: from {answer.facts.get('log')}.{invented}"
    runs = f"{answer.facts.get('replications')} runs of each variant"
    return f"{answer.scenario}: {runs}; {answer.notes[-1]}{invented}"
