"""A curve with its band, the closed form beside it, and a mark where the line is now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QAction,
    QBrush,
    QColor,
    QFont,
    QFontInfo,
    QMouseEvent,
    QPainter,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QGraphicsItem, QGraphicsPolygonItem, QToolTip, QWidget

import linesim
from gui.look import Palette, plain_tip
from gui.look.plots import Keys, RoundAxis, faint, pen, place
from gui.look.scales import along, is_wide, upwards
from gui.pages.chart_frame import ChartMark, spoken

_DOT = 6.0
_RING = 11.0
_NEAR = 9.0
"""Pixels, across, from which a point is pointed at."""
_AROUND = 1.0
"""How far beyond the curve it can be moved or zoomed out, in its own width and height."""


class CurvePlot(pg.GraphicsView):  # type: ignore[misc]
    """Zoomed by the wheel, moved by hand; says the figure that is pointed at."""

    dragged = Signal(float)
    """The mark is under the hand, here: a value of ``x``."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAntialiasing(True)
        # The chart around it has the keyboard.
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        whole = QAction("Show all of the curve", self)
        whole.triggered.connect(self.show_all)
        self.addAction(whole)
        self._chart: linesim.report.Curve | None = None
        self._log = self._zoomed = False
        self._items: list[QGraphicsItem] = []
        self._rests: list[QGraphicsItem] = []
        self._held: pg.InfiniteLine | None = None
        self._across, self._up = RoundAxis("bottom"), RoundAxis("left")
        self._box = pg.ViewBox(enableMenu=False)
        self._box.disableAutoRange()
        self._box.sigRangeChangedManually.connect(self._by_hand)
        layout = pg.GraphicsLayout()
        layout.setContentsMargins(0, 0, 8, 4)
        layout.setSpacing(0)
        for item, row, column in ((self._box, 1, 1), (self._up, 1, 0), (self._across, 2, 1)):
            layout.addItem(item, row, column)
        for axis in (self._across, self._up):
            axis.linkToView(self._box)
        self.setCentralItem(layout)
        self._keys: Keys | None = None
        self._sharpness = 1.0
        self.scene().sigMouseClicked.connect(self._clicked)

    @property
    def known(self) -> list[tuple[float, linesim.report.Figure]]:
        """The points that were run."""
        points = () if self._chart is None else self._chart.points
        return [(p.x, p.figure) for p in points if p.figure is not None]

    def show_curve(
        self,
        chart: linesim.report.Curve,
        look: Palette,
        font: QFont,
        level: float,
        *,
        sharpness: float = 1.0,
    ) -> None:
        """Draw this one; the same curve with more points stays zoomed.

        ``sharpness`` is in dots of a picture for each of the screen's.
        """
        self._sharpness = sharpness
        before = self._chart and (self._chart.title, self._log)
        self._chart, self._look, self._font = chart, look, font
        self._clear(self._items)
        self._clear(self._rests)
        self.setAccessibleName(chart.title)
        self.setBackground(look.ground)
        xs = [p.x for p in chart.points] + ([] if chart.present is None else [chart.present])
        self._log = self._across.logarithmic = is_wide(xs)
        self._zoomed = self._zoomed and before == (chart.title, self._log)
        self._across.dress(look, font, chart.x.heading + (" (logarithmic)" if self._log else ""))
        self._up.dress(look, font)
        self._fit(xs)
        low, high = self._home.top(), self._home.bottom()
        if low < 0 < high:
            self._add(self._items, pg.InfiniteLine(0.0, 0, self._pen(look.text)))
        if chart.present is not None:
            # The mark has its words at the lower end.
            line = self._upright(chart.present, "now", 0.94, self._pen(look.text, 1, _DOTS))
            self._add(self._items, line)
        for stretch in _stretches(chart.points):
            self._draw_stretch(stretch)
        theory = [(p.x, p.theory) for p in chart.points if p.theory is not None]
        dashes = self._pen(look.ghost, 1.6, Qt.PenStyle.DashLine)
        self._add(self._items, self._line(theory, dashes))
        means = [(x, figure.mean) for x, figure in self.known]
        self._add(self._items, self._dots(means, _DOT, self._pen(look.curve), QColor(look.curve)))
        self._show_keys(level, dashes if theory and chart.theory_name else None)

    def show_mark(self, mark: ChartMark | None) -> None:
        """A line up the plot; the intervals it rests on stand out from the band."""
        self._clear(self._rests)
        if self._held is not None:
            self._held.setVisible(mark is not None)
        if mark is None or self._chart is None:
            return
        held = self._held = self._held or self._new_mark(mark)
        held.setPen(self._pen(self._look.text, 1.5))
        held.setHoverPen(self._pen(self._look.curve, 3))
        held.label.setColor(self._look.text)
        held.label.fill = QBrush(QColor(self._look.ground))
        held.label.setFormat(mark.words)
        held.setValue(place(mark.x, self._log))
        for x, figure in self.known:
            if x in mark.rests_on:
                ends = [(x, end) for end in figure.outer]
                self._add(self._rests, self._line(ends, self._pen(self._look.curve, 5)))
                ring = self._pen(self._look.curve, 2)
                ground = QColor(self._look.ground)
                self._add(self._rests, self._dots([(x, figure.mean)], _RING, ring, ground))

    def show_all(self) -> None:
        """Neither zoomed nor moved."""
        self._zoomed = False
        self._box.setRange(self._home, padding=0)

    def zoom(self, factor: float) -> None:
        """Show this share of what is shown, around its middle."""
        self._zoomed = True
        self._box.scaleBy((factor, factor))

    def move_by(self, across: float, up: float) -> None:
        """Move by these shares of what is shown."""
        self._zoomed = True
        shown = self._box.viewRect()
        self._box.translateBy((across * shown.width(), up * shown.height()))

    def at(self, x: float, y: float) -> QPointF:
        """Where a value stands on this widget."""
        there = self._box.mapViewToScene(QPointF(place(x, self._log), y))
        return QPointF(self.mapFromScene(there))

    def words_at(self, spot: QPointF) -> str:
        """What is to be said of the point that is pointed at."""
        chart = self._chart
        if chart is None or not self._box.sceneBoundingRect().contains(spot):
            return ""
        near = [
            (abs(self.at(p.x, p.figure.mean).x() - spot.x()), p)
            for p in chart.points
            if p.figure is not None
        ]
        away, point = min(near, key=lambda each: each[0], default=(_NEAR + 1, None))
        if away > _NEAR or point is None or point.figure is None:
            return ""
        said = f"{chart.x.name} {point.x:g}: {spoken(point.figure, chart.y.unit)}"
        if point.theory is not None:
            said += (
                f"\n{chart.theory_name}: {linesim.report.cell_text(point.theory)} {chart.y.unit}"
            )
        return said

    def print_into(self, painter: QPainter, room: QRectF) -> None:
        """Draw it there."""
        self.resize(room.size().toSize())
        self.resizeEvent(None)
        for axis in (self._up, self._across):
            # It takes room for its numbers when it has seen them.
            axis.generateDrawSpecs(painter)
        self.centralWidget.layout.activate()
        self.setBackground(None)
        # Lines up and across know their length when they have been drawn.
        self.grab()
        for item in self._items:
            if isinstance(item, pg.ScatterPlotItem):
                # As shapes, not as pictures of them.
                item.setExportMode(True, {"antialias": True, "resolutionScale": 1.0})
        self.render(painter, room, self.rect())

    # -- by hand ----------------------------------------------------------------------------

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        super().mouseMoveEvent(event)
        if not event.buttons():
            words = self.words_at(event.position())
            QToolTip.showText(event.globalPosition().toPoint(), plain_tip(words), self)

    def viewportEvent(self, event: QEvent) -> bool:
        # Said at once where the pointer is; Qt's own comes late and takes it away.
        return event.type() == QEvent.Type.ToolTip or bool(super().viewportEvent(event))

    def _by_hand(self) -> None:
        self._zoomed = True

    def _dragged(self, line: pg.InfiniteLine) -> None:
        self.dragged.emit(self._value(line.value()))

    def _clicked(self, event: object) -> None:
        """The mark comes to where the plot is clicked."""
        spot = event.scenePos()  # type: ignore[attr-defined]
        left = event.button() == Qt.MouseButton.LeftButton  # type: ignore[attr-defined]
        marked = self._held is not None and self._held.isVisible()
        if left and marked and self._box.sceneBoundingRect().contains(spot):
            self.dragged.emit(self._value(self._box.mapSceneToView(spot).x()))

    def _value(self, at: float) -> float:
        value = 10**at if self._log else at
        ends = [x for x, _ in self.known]
        return min(max(value, ends[0]), ends[-1]) if ends else value

    # -- drawing ----------------------------------------------------------------------------

    def _fit(self, xs: list[float]) -> None:
        assert self._chart is not None
        figures = [figure for _, figure in self.known]
        theories = [p.theory for p in self._chart.points if p.theory is not None]
        ends = [end for figure in figures for end in figure.outer]
        up = upwards([*(f.mean for f in figures), *theories], ends, 0, 1)
        across = along(xs, 0, 1)
        left, right = (place(end, self._log) for end in (across.low, across.high))
        self._home = QRectF(QPointF(left, up.low), QPointF(right, up.high))
        wide, high = self._home.width(), self._home.height()
        self._box.setLimits(
            xMin=left - _AROUND * wide,
            xMax=right + _AROUND * wide,
            yMin=up.low - _AROUND * high,
            yMax=up.high + _AROUND * high,
            minXRange=wide / 1000,
            minYRange=high / 1000,
        )
        if not self._zoomed:
            self.show_all()

    def _draw_stretch(self, stretch: list[tuple[float, linesim.report.Figure]]) -> None:
        self._draw_band([(x, figure.inner) for x, figure in stretch])
        if any(figure.doubt for _, figure in stretch):
            self._draw_band([(x, figure.outer) for x, figure in stretch])
            for side in (0, 1):
                edge = [(x, figure.outer[side]) for x, figure in stretch]
                self._add(self._items, self._line(edge, self._pen(self._look.curve, 1, _DOTS)))
        means = [(x, figure.mean) for x, figure in stretch]
        self._add(self._items, self._line(means, self._pen(self._look.curve, 2)))

    def _draw_band(self, ends: Sequence[tuple[float, tuple[float, float]]]) -> None:
        edge = [
            QPointF(place(x, self._log), pair[side])
            for side, row in ((1, ends), (0, ends[::-1]))
            for x, pair in row
        ]
        band = QGraphicsPolygonItem(QPolygonF(edge))
        band.setPen(QPen(Qt.PenStyle.NoPen))
        band.setBrush(faint(self._look.curve))
        self._add(self._items, band)

    def _line(self, points: Sequence[tuple[float, float]], drawn: QPen) -> pg.PlotCurveItem:
        xs, ys = [place(x, self._log) for x, _ in points], [y for _, y in points]
        return pg.PlotCurveItem(xs, ys, pen=drawn, antialias=True)

    def _dots(
        self, points: Sequence[tuple[float, float]], size: float, drawn: QPen, fill: QColor
    ) -> pg.ScatterPlotItem:
        xs, ys = [place(x, self._log) for x, _ in points], [y for _, y in points]
        return pg.ScatterPlotItem(xs, ys, size=size, pen=drawn, brush=QBrush(fill))

    def _pen(
        self, colour: str, width: float = 1.0, style: Qt.PenStyle = Qt.PenStyle.SolidLine
    ) -> QPen:
        return pen(colour, width * self._sharpness, style)

    def _upright(self, x: float, words: str, height: float, drawn: QPen) -> pg.InfiniteLine:
        options = {"position": height, "color": self._look.text, "fill": self._look.ground}
        options["anchors"] = [(0.0, 0.5), (1.0, 0.5)]
        line = pg.InfiniteLine(place(x, self._log), 90, drawn, label=words, labelOpts=options)
        line.label.setFont(self._font)
        return line

    def _new_mark(self, mark: ChartMark) -> pg.InfiniteLine:
        """One for good: a curve may come while it is under the hand."""
        made = self._upright(mark.x, mark.words, 0.08, self._pen(self._look.text))
        made.setMovable(True)
        made.setCursor(Qt.CursorShape.SizeHorCursor)
        made.setZValue(5)
        made.sigDragged.connect(self._dragged)
        self._box.addItem(made, ignoreBounds=True)
        return made

    def _show_keys(self, level: float, dashes: QPen | None) -> None:
        assert self._chart is not None
        if self._keys is not None:
            self._clear([self._keys])
        keys = self._keys = Keys(self._look, self._font)
        band = faint(self._look.curve)
        two = any(figure.doubt for _, figure in self.known)
        told = "; inner band: chance" if two else f", with its {100 * level:.0f} % interval"
        keys.add(self._chart.of + told, self._pen(self._look.curve, 2), band)
        if two:
            # In a row of its own: beside the first it is cut off where letters are large.
            outer = "outer band: with what is not known"
            keys.add(outer, self._pen(self._look.curve, 1, _DOTS), band)
        if dashes is not None:
            keys.add(self._chart.theory_name, dashes)
        keys.setParentItem(self.centralWidget)
        rows = len(keys.items)
        layout = self.centralWidget.layout
        layout.setRowFixedHeight(0, rows * 1.5 * QFontInfo(self._font).pixelSize() + 6)

    def _add(self, items: list[QGraphicsItem], item: QGraphicsItem) -> None:
        self._box.addItem(item, ignoreBounds=True)
        items.append(item)

    def _clear(self, items: list[QGraphicsItem]) -> None:
        for item in items:
            item.setParentItem(None)
            self.scene().removeItem(item)
        items.clear()


_DOTS = Qt.PenStyle.DotLine


def _stretches(
    points: tuple[linesim.report.CurvePoint, ...],
) -> Iterator[list[tuple[float, linesim.report.Figure]]]:
    """Points without a gap between them."""
    stretch: list[tuple[float, linesim.report.Figure]] = []
    for point in points:
        if point.figure is not None:
            stretch.append((point.x, point.figure))
        elif stretch:
            yield stretch
            stretch = []
    if stretch:
        yield stretch
