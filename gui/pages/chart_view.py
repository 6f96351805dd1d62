"""A chart on screen, as a picture to paste and as an SVG file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QEvent, QIODevice, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QHelpEvent, QImage, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtSvg import QSvgGenerator
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

import linesim
from gui.look import LIGHT, Palette, palette_of, plain_tip
from gui.pages.chart_bars import bars_height, paint_bars
from gui.pages.chart_curve import ChartMark, Spot, paint_curve
from gui.pages.chart_frame import Paper
from gui.pages.chart_map import paint_map
from gui.pages.chart_scatter import paint_scatter
from gui.pages.scales import Scale, is_wide

_PICTURE = QSize(960, 560)
_SHARPNESS = 2.0
_MARGIN = 10.0


class ChartView(QWidget):
    """Draws a chart of an answer; what is pointed at says its figure in words."""

    dragged = Signal(float)
    """The user has the mark of a curve under the hand, here: a value of its ``x``."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._chart: linesim.Chart | None = None
        self._level = 0.95
        self._source = ""
        self._spots: list[Spot] = []
        self._mark: ChartMark | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
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
        self._source = source_words(answer)
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

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        look = palette_of(self)
        painter.fillRect(self.rect(), QColor(look.ground))
        if self._chart is not None:
            self._spots = paint_chart(
                painter,
                QRectF(self.rect()),
                self._chart,
                look,
                level=self._level,
                mark=self._mark,
            )
        painter.end()

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            said = next((words for box, words in self._spots if box.contains(event.pos())), "")
            QToolTip.showText(event.globalPos(), plain_tip(said), self)
            return True
        return super().event(event)

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

    def picture(self) -> QImage:
        """The chart in light colours, with where its figures come from below it."""
        size = self._paper_size()
        image = QImage(size * _SHARPNESS, QImage.Format.Format_RGB32)
        image.setDevicePixelRatio(_SHARPNESS)
        image.fill(QColor(LIGHT.ground))
        painter = QPainter(image)
        self._print(painter, QRectF(0, 0, size.width(), size.height()))
        painter.end()
        return image

    def svg(self) -> bytes:
        """The chart as SVG."""
        size = self._paper_size()
        room = QBuffer()
        room.open(QIODevice.OpenModeFlag.WriteOnly)
        maker = QSvgGenerator()
        maker.setOutputDevice(room)
        maker.setSize(size)
        maker.setViewBox(QRectF(0, 0, size.width(), size.height()))
        if self._chart is not None:
            maker.setTitle(self._chart.title)
        maker.setDescription(self._source)
        painter = QPainter(maker)
        self._print(painter, QRectF(0, 0, size.width(), size.height()))
        painter.end()
        return bytes(room.data().data())

    def save_svg(self, path: Path) -> None:
        """Write the chart as SVG. Raises ``OSError`` where that is not possible."""
        linesim.write_bytes(path, self.svg())

    def _paper_size(self) -> QSize:
        return _PICTURE.expandedTo(QSize(0, self.minimumHeight() + 40))

    def _print(self, painter: QPainter, room: QRectF) -> None:
        painter.setFont(self.font())
        if self._chart is None:
            return
        height = painter.fontMetrics().height()
        foot = QRectF(_MARGIN, room.bottom() - height - 6, room.width() - 2 * _MARGIN, height + 4)
        paint_chart(
            painter, room.adjusted(0, 0, 0, -height - 4), self._chart, LIGHT, level=self._level
        )
        painter.setPen(QColor(LIGHT.text))
        painter.drawText(foot, int(Qt.AlignmentFlag.AlignLeft), self._source)


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
