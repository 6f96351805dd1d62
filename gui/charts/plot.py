"""A plot that is looked at closely: zoomed, moved, pointed at, stepped through.

Everything stands between 0 and 1, across and up, while all of it is shown: the scales of the axes
say where a value stands there. So the numbers that pyqtgraph and Qt work with are never huge or
tiny, whatever the values are, and a logarithmic axis is no other case.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QFont,
    QFontMetricsF,
    QMouseEvent,
    QPainter,
    QPen,
    QPolygonF,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QGraphicsItem, QGraphicsPolygonItem, QGraphicsScene, QWidget

from gui.charts.axes import DateAxis, NamedAxis, RoundAxis
from gui.charts.items import dots_item, line_item, upright_item
from gui.charts.keys import Key, Keys
from gui.charts.mark import Mark, Stroke
from gui.charts.pens import SOLID, faint, pen
from gui.charts.reading import Reading
from gui.charts.scales import Scale
from gui.charts.shapes import Shape, Shapes
from gui.look import CLOSE, LIGHT, Palette

_AROUND = 1.0
"""How far beyond its edges a plot can be moved or zoomed out, in its own width and height."""
_NEAREST = 1 / 1000
_STEP = 0.8
_LONG_NUMBER = "000,000"
_UNIT = Scale(0, 1, 0, 1)
Draw = Callable[["Plot"], None]
"""Puts a chart onto a plot that has been cleared."""


class _Box(pg.ViewBox):  # type: ignore[misc]
    def mouseDragEvent(self, ev: Any, axis: Any = None) -> None:
        """The right button opens the menu and does nothing else."""
        if ev.button() == Qt.MouseButton.RightButton:
            ev.ignore()
        else:
            super().mouseDragEvent(ev, axis)


class Plot(pg.GraphicsView):  # type: ignore[misc]
    """One chart. The widget around it has the keyboard."""

    dragged = Signal(float)
    """The mark is under the hand, here: a value of ``x``."""
    chosen = Signal(int)
    """The spot of this number is clicked."""

    # pyqtgraph asks for these while it makes the view.
    keys: Keys | None = None
    _axes: Sequence[RoundAxis] = ()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAntialiasing(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        # Qt gives that of a view's inside, too.
        self.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setMouseTracking(True)
        # An axis is as large as the plot that it is linked to, and does not say when that changes:
        # an index by place would keep it after it has gone.
        self.scene().setItemIndexMethod(QGraphicsScene.ItemIndexMethod.NoIndex)
        self.look, self.chart_font = LIGHT, QFont()
        self.sharpness = 1.0
        """Dots of a picture for each of the screen's."""
        self.left_px = 0.0
        """What stands to the left of the plot is so wide; 0: as wide as it needs."""
        self.across = self.up = _UNIT
        self._kind: object = None
        self._zoomed = False
        self._items: list[QGraphicsItem] = []
        self.box = _Box(enableMenu=False)
        self.box.disableAutoRange()
        self.reading = Reading(self, self.box)
        self.reading.moved.connect(self._by_hand)
        self._mark = Mark(self.box, self)
        self._mark.dragged.connect(self._drag_to)
        ends = {"xMin": -_AROUND, "xMax": 1 + _AROUND, "yMin": -_AROUND, "yMax": 1 + _AROUND}
        self.box.setLimits(**ends, minXRange=_NEAREST, minYRange=_NEAREST)
        self.box.sigRangeChangedManually.connect(self._by_hand)
        self.box.sigRangeChanged.connect(self._follow)
        self.box.sigResized.connect(self._keep_words)
        self._grid = pg.GraphicsLayout()
        self._grid.setSpacing(0)
        self._grid.addItem(self.box, 3, 1)
        self.setCentralItem(self._grid)
        self.scene().sigMouseClicked.connect(self._clicked)

    def sizeHint(self) -> QSize:
        """A view asks for as much as it had last: a chart kept the height that large letters gave
        it, and a bar of its own."""
        return self.minimumSizeHint()

    def stand_in_line(self, left_px: float) -> None:
        """Stand between what is drawn above and below: nothing around, so much to the left."""
        self.left_px = left_px
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.layout.setColumnFixedWidth(0, left_px)

    # -- what is shown ------------------------------------------------------------------------

    def show_chart(
        self, kind: object, draw: Draw, look: Palette, font: QFont, *, sharpness: float = 1.0
    ) -> None:
        """Have a chart drawn; one of the same ``kind`` as before stays zoomed."""
        self.look, self.chart_font, self.sharpness = look, font, sharpness
        if not self.left_px:
            # The last number below the plot stands half beyond it.
            beyond = round(QFontMetricsF(font).horizontalAdvance(_LONG_NUMBER) / 2)
            self._grid.setContentsMargins(0, 0, beyond, CLOSE)
        values = self._values_shown() if self._zoomed and kind == self._kind else None
        before = self.across.logarithmic
        said = self.reading.out.words if kind == self._kind else ""
        self._clear()
        self.setBackground(look.ground)
        self.reading.out.dress(look, font)
        self._kind = kind
        draw(self)
        if values is None or before != self.across.logarithmic:
            self.show_all()
        else:
            x1, x2, y1, y2 = values
            left, right = self.across.at(x1), self.across.at(x2)
            low, high = self.up.at(y1), self.up.at(y2)
            self.box.setRange(QRectF(left, low, right - left, high - low), padding=0)
        self._fit()
        if not (said and self.reading.go_on()):
            self.reading.unread()

    def _clear(self) -> None:
        self._mark.drop_rests()
        self.reading.clear()
        for item in [*self._items, *([self.keys] if self.keys else [])]:
            item.setParentItem(None)
            self.scene().removeItem(item)
        for axis in self._axes:
            self._grid.removeItem(axis)
            axis.unlinkFromView()
        self._items, self._axes, self.keys = [], (), None
        self.across = self.up = _UNIT
        self._grid.layout.setRowFixedHeight(0, 0)
        self.box.setMouseEnabled(x=True, y=True)

    def _values_shown(self) -> tuple[float, float, float, float]:
        shown = self.box.viewRect()
        across, up = self.across.value, self.up.value
        return across(shown.left()), across(shown.right()), up(shown.top()), up(shown.bottom())

    # -- putting things onto it ---------------------------------------------------------------

    def put_scales(self, across: Scale, up: Scale, *, columns: bool = False) -> None:
        """Where values stand, from 0 to 1. In ``columns`` the nearest point is the nearest across.

        Raises ``ValueError`` where a scale is drawn to another size.
        """
        for scale in (across, up):
            if (scale.start, scale.end) != (0, 1):
                raise ValueError("a scale of a plot is drawn from 0 to 1")
        self.across, self.up, self.reading.columns = across, up, columns

    def only_across(self) -> None:
        """Zoomed and moved along the axis across alone; rows stay as high as they are."""
        self.box.setMouseEnabled(x=True, y=False)

    def put_axis(
        self, side: str, words: str = "", *, since: dt.datetime | None = None
    ) -> RoundAxis:
        """An axis with the round numbers of its scale; dates where that is hours ``since`` then."""
        scale = self.up if side in ("left", "right") else self.across
        axis = RoundAxis(side, scale) if since is None else DateAxis(side, scale, since)
        axis.dress(self.look, self.chart_font, words)
        self.put_beside(axis, side)
        return axis

    def put_names(
        self,
        side: str,
        names: Sequence[tuple[float, str]],
        words: str = "",
        *,
        share: float = 1.0,
        lines: bool = False,
    ) -> None:
        """An axis of words, shortened where they take more than a ``share`` of the width.

        Several to the right stand beside each other.
        """
        axis = NamedAxis(side)
        axis.name(names, self.look, self.chart_font, words, share=share, lines=lines)
        self.put_beside(axis, side)

    def put_beside(self, axis: RoundAxis, side: str) -> None:
        """An axis of one's own."""
        if side == "left" and self.left_px:
            axis.wide = self.left_px
        column = 2 + sum(each.orientation == "right" for each in self._axes)
        places = {"left": (3, 0), "right": (3, column), "top": (2, 1), "bottom": (4, 1)}
        axis.linkToView(self.box)
        self._grid.addItem(axis, *places[side])
        self._axes = (*self._axes, axis)

    def place(self, x: float, y: float) -> QPointF:
        """Where values stand; what has no end stands beyond what can be shown."""
        return QPointF(_within(self.across, x), _within(self.up, y))

    def put_line(
        self,
        points: Iterable[tuple[float, float]],
        colour: str,
        width: float = 1.0,
        style: Qt.PenStyle = SOLID,
    ) -> None:
        """A line through these values."""
        places = [self.place(x, y) for x, y in points]
        self.put(line_item(places, self.pen(colour, width, style)))

    def put_band(self, corners: Iterable[tuple[float, float]], fill: QBrush | None = None) -> None:
        """A see-through area with these corners."""
        band = QGraphicsPolygonItem(QPolygonF([self.place(x, y) for x, y in corners]))
        band.setPen(QPen(Qt.PenStyle.NoPen))
        band.setBrush(fill or faint(self.look.curve))
        self.put(band)

    def put_dots(
        self, points: Iterable[tuple[float, float]], size: float, line: QPen, fill: QBrush
    ) -> None:
        """A dot at each of these values, ``size`` pixels across."""
        self.put(dots_item([self.place(x, y) for x, y in points], size, line, fill))

    def put_upright(self, x: float, words: str, height: float, line: QPen) -> None:
        """A line up the plot with its words."""
        at = self.across.at(x)
        self.put(upright_item(at, words, height, line, self.look, self.chart_font))

    def put_level(self, y: float, line: QPen) -> None:
        """A line across the plot."""
        self.put(pg.InfiniteLine(self.up.at(y), 0, line))

    def put_shapes(self, shapes: Sequence[Shape]) -> None:
        """Bars, whiskers, strokes."""
        self.put(Shapes(shapes, self.chart_font))

    def put_keys(self, *keys: Key) -> None:
        """What is drawn."""
        self.keys = Keys(keys, self.look, self.chart_font)
        self.keys.setParentItem(self.centralWidget)

    def _fit(self) -> None:
        """Keys and names have as much room as the widget is wide."""
        if self.keys is not None:
            self.keys.setPos(self.left_px, 0)
            high = self.keys.fit(self.width() - self.left_px - 2.0)
            self._grid.layout.setRowFixedHeight(0, high)
        self._fit_axes()
        if self._axes:
            # What was asked for while the layout was at work has been lost, and a layout in which
            # something grew has grown with it, beyond the widget.
            self._grid.layout.invalidate()
            self._grid.layout.activate()
            self._grid.setGeometry(QRectF(self.viewport().rect()))

    def _fit_axes(self) -> None:
        if not self._axes:
            return
        flat = [axis for axis in self._axes if axis.orientation in ("top", "bottom")]
        for axis in flat:
            axis.fit(self.width())
        beside = self._grid.layout.rowMinimumHeight(0) + sum(axis.minimumHeight() for axis in flat)
        for axis in self._axes:
            if axis not in flat:
                axis.fit(self.width(), self.height() - beside - CLOSE)

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        super().resizeEvent(event)
        self._fit()

    def put_nothing(self, words: str) -> None:
        """There is nothing to draw: say so."""
        said = pg.TextItem(words, color=self.look.text, anchor=(0.5, 0.5))
        said.setFont(self.chart_font)
        said.setPos(0.5, 0.5)
        self.put(said)
        self.box.setMouseEnabled(x=False, y=False)

    def put(self, item: QGraphicsItem) -> None:
        """Anything that stands between 0 and 1."""
        self.box.addItem(item, ignoreBounds=True)
        self._items.append(item)

    def pen(self, colour: str, width: float = 1.0, style: Qt.PenStyle = SOLID) -> QPen:
        """A pen as wide as said, on a picture as well."""
        return pen(colour, width * self.sharpness, style)

    # -- the mark under the hand --------------------------------------------------------------

    def show_mark(
        self, x: float, words: str, rests_on: Sequence[tuple[float, float, float]]
    ) -> None:
        """A line up the plot to take hold of; the points it rests on (x, ends) stand out."""
        strokes = [Stroke(self.place(at, low), self.place(at, high)) for at, low, high in rests_on]
        self._mark.show(self.across.at(x), words, strokes, self.look, self.chart_font)

    def hide_mark(self) -> None:
        """No mark."""
        self._mark.hide()

    def _drag_to(self, at: float) -> None:
        places = [spot.place.x() for spot in self.reading.spots] or [0.0, 1.0]
        self.dragged.emit(self.across.value(min(max(at, min(places)), max(places))))

    # -- looking closer -----------------------------------------------------------------------

    def show_all(self) -> None:
        """Neither zoomed nor moved."""
        self._zoomed = False
        self.box.setRange(QRectF(0, 0, 1, 1), padding=0)

    def zoom(self, *, nearer: bool) -> None:
        """A step nearer, or further, around the middle."""
        self._zoomed = True
        factor = _STEP if nearer else 1 / _STEP
        free_x, free_y = self.box.state["mouseEnabled"]
        self.box.scaleBy((factor if free_x else 1, factor if free_y else 1))

    def move_by(self, across: float, up: float) -> None:
        """Move by these shares of what is shown."""
        self._zoomed = True
        shown = self.box.viewRect()
        free_x, free_y = self.box.state["mouseEnabled"]
        self.box.translateBy(
            (across * shown.width() * bool(free_x), up * shown.height() * bool(free_y))
        )

    def _by_hand(self, *_: object) -> None:
        self._zoomed = True

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom where the chart has the keyboard, or with Ctrl; else the page scrolls."""
        around = self.parentWidget()
        wanted = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if wanted or (around is not None and around.hasFocus()):
            super().wheelEvent(event)
            event.accept()
        else:
            event.ignore()

    # -- reading it ---------------------------------------------------------------------------

    def on_widget(self, place: QPointF) -> QPointF:
        """Where a place of the plot stands on this widget."""
        return QPointF(self.mapFromScene(self.box.mapViewToScene(place)))

    def at(self, x: float, y: float) -> QPointF:
        """Where values stand on this widget."""
        return self.on_widget(self.place(x, y))

    def _follow(self, *_: object) -> None:
        """Axes have room for the numbers of what is shown now."""
        self._fit_axes()
        self._keep_words()

    def _keep_words(self, *_: object) -> None:
        self.reading.keep_words()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        super().mouseMoveEvent(event)
        if not event.buttons():
            self.reading.read_spot(self.reading.spot_at(event.position()))

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        super().mouseDoubleClickEvent(event)
        if event.button() == Qt.MouseButton.LeftButton:
            self.show_all()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self.reading.read_spot(None)

    def _clicked(self, event: Any) -> None:
        """Hold the words; the mark comes to where the plot is clicked."""
        if event.button() != Qt.MouseButton.LeftButton or event.double():
            return
        where = event.scenePos()
        self.reading.read_spot(self.reading.spot_at(where), hold=True)
        if self.reading.held is not None:
            self.chosen.emit(self.reading.held)
        if self._mark.shown and self.box.sceneBoundingRect().contains(where):
            self._drag_to(self.box.mapSceneToView(where).x())

    # -- on paper -----------------------------------------------------------------------------

    def print_into(self, painter: QPainter, room: QRectF) -> None:
        """Draw it there."""
        self.resize(room.size().toSize())
        self.resizeEvent(None)
        self.centralWidget.layout.activate()
        self.setBackground(None)
        # Lines up and across know their length when they have been drawn.
        self.grab()
        for item in self._items:
            if isinstance(item, pg.ScatterPlotItem):
                # As shapes, not as pictures of them.
                item.setExportMode(True, {"antialias": True, "resolutionScale": 1.0})
        self.render(painter, room, self.rect())


def _within(scale: Scale, value: float) -> float:
    """Where a value stands, and no further away than can be looked at."""
    if math.isnan(value):
        return 0.5
    if math.isinf(value):
        return math.copysign(2 + _AROUND, value)
    return min(max(scale.at(value), -2 - _AROUND), 3 + _AROUND)
