"""Reading a plot: pointing at what has something to say, stepping through it."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QObject, QPointF, QRectF, Signal
from PySide6.QtGui import QPolygonF

from gui.charts.readout import ReadOut, Spot


class Reading(QObject):
    """What of a plot is read now: under the hand, or held until another is asked for."""

    read = Signal(str)
    """What the read-out says now; empty: it is gone."""
    moved = Signal()
    """What is read was out of sight and has been brought into view."""

    def __init__(self, view: pg.GraphicsView, box: pg.ViewBox) -> None:
        super().__init__(view)
        self._view, self._box = view, box
        self._at: int | None = None
        self._held: int | None = None
        self.spots: tuple[Spot, ...] = ()
        """What has something to say, in the order in which keys step through it."""
        self.columns = False
        """Whether the nearest spot is the nearest across."""
        self.out = ReadOut()
        view.scene().addItem(self.out)

    def clear(self) -> None:
        """Nothing has anything to say."""
        self.spots, self.columns = (), False

    @property
    def held(self) -> int | None:
        """The number of the spot that is read until another is asked for."""
        return self._held

    def go_on(self) -> bool:
        """What was read is said of the spots that have come since; False where it is not there."""
        there = self._at is not None and self._at < len(self.spots)
        self.keep_words()
        return there

    def spot_at(self, where: QPointF) -> int | None:
        """Which spot is pointed at there: the one whose box it is, or the nearest."""
        if not self.spots or not self._room().contains(where):
            return None
        there = self._box.mapSceneToView(where)
        boxed = [n for n, spot in enumerate(self.spots) if spot.box is not None]
        for n in boxed:
            box = self.spots[n].box
            if box is not None and box.contains(there):
                return n
        if boxed:
            return None
        shown, room = self._box.viewRect(), self._box.sceneBoundingRect()
        places = np.array([[spot.place.x(), spot.place.y()] for spot in self.spots])
        away = places - [there.x(), there.y()]
        away *= [room.width() / shown.width(), room.height() / shown.height()]
        far = np.abs(away[:, 0]) if self.columns else np.hypot(away[:, 0], away[:, 1])
        return int(np.argmin(far))

    def _room(self) -> QRectF:
        """Where spots can be pointed at: rows go on where their names and figures stand."""
        room: QRectF = self._box.sceneBoundingRect()
        if any(spot.box is not None and spot.box.width() > 2 for spot in self.spots):
            room.setLeft(0)
            room.setRight(self._view.width())
        return room

    def read_spot(self, number: int | None, *, hold: bool = False) -> None:
        """Say what a spot says; None: what is held. ``hold``: until another is asked for."""
        if hold:
            self._held = number
        number = self._held if number is None else number
        if number is None or number >= len(self.spots):
            self._at = self._held = None
            self.out.quiet()
            self.read.emit("")
            return
        before, self._at = self._at, number
        self.keep_words()
        if before != number:
            self.read.emit(self.spots[number].words)

    def unread(self) -> None:
        """Say nothing, hold nothing."""
        self._held = None
        self.read_spot(None)

    def step(self, way: int) -> None:
        """Read the next spot (1), the one before (-1); the first where none is read."""
        if not self.spots:
            return
        at = self._held if self._held is not None else (-1 if way > 0 else len(self.spots))
        self.read_end(min(max(0, at + way), len(self.spots) - 1))

    def read_end(self, number: int) -> None:
        """Read this spot, and have it in view; -1 is the last."""
        if not self.spots:
            return
        number %= len(self.spots)
        place, shown = self.spots[number].place, self._box.viewRect()
        free_x, free_y = self._box.state["mouseEnabled"]
        out_x = free_x and not shown.left() <= place.x() <= shown.right()
        out_y = free_y and not shown.top() <= place.y() <= shown.bottom()
        if out_x or out_y:
            middle = shown.center()
            shown.moveCenter(
                QPointF(place.x() if out_x else middle.x(), place.y() if out_y else middle.y())
            )
            self._box.setRange(shown, padding=0)
            self.moved.emit()
        self.read_spot(number, hold=True)

    def keep_words(self) -> None:
        """The words that are read stay at their point."""
        if self._at is None or self._at >= len(self.spots):
            return
        spot = self.spots[self._at]
        point = self._box.mapViewToScene(spot.place)
        room = QRectF(self._view.rect()).adjusted(2, 2, -2, -2)
        around = None
        if spot.box is not None:
            around = self._box.mapViewToScene(QPolygonF(spot.box)).boundingRect()
            around = around.intersected(self._room()).adjusted(1, 1, -1, -1)
        self.out.say(spot.words, point, room, around)
