"""Slitter, knives, gate and overlap belt from the side; pockets and transfer from above."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPen, QPolygonF

from gui.plan.brushes import body, faint, fill_state, outline
from gui.plan.scene import Scene
from linesim.record import SetPlace, State
from linesim.scenario import WEB_STATIONS

_CARRIAGE_PX = 9.0
_OF_ITS_OWN_KIND = ("unwind", "web_path", "overlap_belt", "pockets")
"""Stations on the webs that are no plain machine: each has a picture of its own."""


def draw_sheeting(scene: Scene) -> None:
    """Everything between the webs and the pockets."""
    for station in WEB_STATIONS:
        if station not in _OF_ITS_OWN_KIND:
            _machine(scene, station)
    _paper_through(scene)
    _slitter(scene)
    _cutter(scene)
    _gate(scene)
    _belt(scene)


def _frame(scene: Scene, station: str) -> QRectF:
    area = scene.layout.of(station)
    tall = 0.44 * area.height()
    return QRectF(area.left() + 3, scene.flow_y - tall / 2, area.width() - 6, tall)


def _machine(scene: Scene, station: str) -> None:
    body(scene.painter, _frame(scene, station), scene.moment.station(station), scene.palette)


def _paper_through(scene: Scene) -> None:
    left = scene.layout.of("slitter").left()
    right = scene.layout.of("gate").right()
    scene.painter.setPen(QPen(QColor(scene.palette.curve), 2.2))
    scene.line(left, scene.flow_y, right, scene.flow_y)


def _slitter(scene: Scene) -> None:
    """A round knife for every edge of a lane, seen along the web."""
    frame, painter = _frame(scene, "slitter"), scene.painter
    lanes = scene.moment.lanes
    inner = frame.adjusted(5, 5, -5, -5)
    painter.setPen(outline(scene.palette))
    y = inner.top() + 0.2 * inner.height()
    scene.line(inner.left(), y, inner.right(), y)
    for knife in range(lanes + 1):
        x = inner.left() + inner.width() * knife / lanes
        scene.line(x, y - 0.14 * inner.height(), x, y + 0.14 * inner.height())
    place = QRectF(frame.left(), scene.flow_y + 4, frame.width(), frame.bottom() - scene.flow_y - 4)
    _on_plate(scene, place, f"{lanes} lanes")


def _on_plate(scene: Scene, place: QRectF, text: str) -> None:
    """Text on a machine, on a ground of its own: a hatch behind it would be hard to read."""
    wide = scene.width_of(text, smaller=2)
    if wide > place.width() - 2:
        return
    tall = 1.3 * scene.layout.text_px
    plate = QRectF(place.center().x() - wide / 2 - 2, place.center().y() - tall / 2, wide + 4, tall)
    scene.painter.fillRect(plate, QColor(scene.palette.ground))
    scene.write(plate, text, smaller=2)


def _cutter(scene: Scene) -> None:
    """Two knife drums; they turn with the web."""
    frame, painter = _frame(scene, "cutter"), scene.painter
    radius = min(0.3 * frame.width(), 0.2 * frame.height())
    angle = scene.moment.web_m * 1000 / 400
    painter.setBrush(QBrush(QColor(scene.palette.ground)))
    for sign in (-1, 1):
        centre = QPointF(frame.center().x(), scene.flow_y + sign * (radius + 2))
        painter.setPen(outline(scene.palette))
        painter.drawEllipse(centre, radius, radius)
        painter.setPen(outline(scene.palette, 2.4))
        tip = QPointF(
            centre.x() + radius * math.cos(sign * angle), centre.y() - radius * math.sin(angle)
        )
        painter.drawLine(centre, tip)


def _gate(scene: Scene) -> None:
    """A flap, and the chute for what is rejected."""
    frame, painter = _frame(scene, "gate"), scene.painter
    painter.setPen(outline(scene.palette))
    painter.setBrush(QBrush(QColor(scene.palette.ground)))
    hinge = QPointF(frame.left() + 0.25 * frame.width(), scene.flow_y + 3)
    painter.drawPolygon(
        QPolygonF(
            [
                hinge,
                QPointF(frame.right() - 5, scene.flow_y + 3),
                QPointF(frame.right() - 5, scene.flow_y + 9),
            ]
        )
    )
    painter.setPen(faint(scene.palette, 1.4))
    bottom = frame.bottom() + 0.12 * scene.layout.deck.height()
    scene.line(hinge.x() - 4, frame.bottom(), hinge.x() - 4, bottom)
    scene.line(hinge.x() + 12, frame.bottom(), hinge.x() + 12, bottom)
    area = scene.layout.of("gate")
    wide = scene.width_of("rejects", smaller=2) + 4
    place = QRectF(area.center().x() - wide / 2, bottom + 1, wide, 1.4 * scene.layout.text_px)
    scene.write(place, "rejects", quiet=True, smaller=2)


def _belt(scene: Scene) -> None:
    """Sheets that lie on each other like roof tiles, moving on with the web."""
    area, painter, moment = scene.layout.of("overlap_belt"), scene.painter, scene.moment
    belt = QRectF(area.left() + 2, scene.flow_y + 3, area.width() - 4, 8)
    body(painter, belt, moment.station("overlap_belt"), scene.palette)
    painter.setPen(outline(scene.palette, 1.6))
    spacing = 9.0
    shift = moment.web_m * 1000 / scene.scenario.product.sheet_length_mm % 1 * spacing
    hold = max(1, scene.scenario.overlap_belt.hold_cuts)
    dense = belt.right() - belt.width() * min(1.0, moment.belt_cuts / hold)
    x = belt.left() + shift
    while x + spacing * 1.6 < dense:
        scene.line(x, scene.flow_y + 2, x + 1.5 * spacing, scene.flow_y - 3)
        x += spacing
    x = dense
    while x + spacing < belt.right():
        scene.line(x, scene.flow_y + 2, x + spacing, scene.flow_y - 7)
        x += spacing / 3
    place = QRectF(area.left(), belt.bottom() + 4, area.width(), 2.8 * scene.layout.text_px)
    scene.write(place, scene.labels.belt, smaller=1)


def draw_pockets(scene: Scene) -> None:
    """A pocket for every lane, filling; a full set stands out."""
    area, painter, moment = scene.layout.of("pockets"), scene.painter, scene.moment
    frame = pocket_rows(scene)
    body(painter, frame, moment.station("pockets"), scene.palette)
    part = min(1.0, moment.pocket_cuts / moment.cuts_per_ream)
    for lane in range(moment.lanes):
        pocket = _lane(frame, lane, moment.lanes).adjusted(4, 2, -4, -2)
        painter.fillRect(pocket, QColor(scene.palette.ground))
        filled = QRectF(pocket.left(), pocket.top(), pocket.width() * part, pocket.height())
        painter.fillRect(filled, QColor(scene.palette.paper))
        painter.setPen(outline(scene.palette, 2.2 if moment.full_set_waits else 1.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(pocket)
        if 0 < part < 1:
            scene.line(filled.right(), pocket.top(), filled.right(), pocket.bottom())
    text = 1.4 * scene.layout.text_px
    # In one line even where it is wider than the pockets: two would reach into the head.
    wide = max(area.width() + 8, scene.width_of(scene.labels.pockets, smaller=1) + 4)
    place = QRectF(area.center().x() - wide / 2, frame.top() - 12 - text, wide, text)
    align = int(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom)
    scene.write(place, scene.labels.pockets, align=align, smaller=1)


def pocket_rows(scene: Scene) -> QRectF:
    """The frame around all pockets."""
    area = scene.layout.of("pockets")
    tall = min(0.66 * area.height(), 30.0 * scene.moment.lanes + 8)
    return QRectF(area.left() + 5, scene.flow_y - tall / 2, area.width() - 10, tall)


def _lane(frame: QRectF, lane: int, lanes: int) -> QRectF:
    each = frame.height() / lanes
    return QRectF(frame.left(), frame.top() + lane * each, frame.width(), each)


def draw_transfer(scene: Scene) -> None:
    """Rails from pockets to bridge, and the carriage with the reams in its grip."""
    painter, moment = scene.painter, scene.moment
    frame, area = pocket_rows(scene), scene.layout.of("transfer")
    wide = min(0.7 * frame.width(), 0.4 * area.width() + 8, 34.0)
    home, end = frame.right() + 2, area.right() - wide / 2 - 3
    start = frame.right() - wide / 2 - 4
    painter.setPen(faint(scene.palette, 1.6))
    for y in (frame.top() - 4, frame.bottom() + 4):
        scene.line(start, y, area.right() - 2, y)
    station = moment.station("transfer")
    crossing = [each for each in moment.sets if each.place is not SetPlace.IN_POCKETS]
    part, reams = 0.0, 0
    if crossing:
        part = {SetPlace.LIFTED: 0.0, SetPlace.CARRIED: crossing[0].part}.get(
            crossing[0].place, 1.0
        )
        reams = crossing[0].reams
    elif station.state in (State.RUNNING, State.SLOWED):
        part = 0.5  # on its way back, empty: how far is not recorded
    x = start + part * (end - start) if crossing or part else home
    beam = QRectF(x - _CARRIAGE_PX / 2, frame.top() - 9, _CARRIAGE_PX, frame.height() + 18)
    fill_state(painter, beam, station, scene.palette)
    painter.setPen(outline(scene.palette))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(beam)
    for lane in range(reams):
        row = _lane(frame, lane, max(reams, moment.lanes))
        ream = QRectF(x - wide / 2, row.top() + 3, wide, row.height() - 6)
        painter.fillRect(ream, QColor(scene.palette.paper))
        painter.drawRect(ream)
    text = scene.layout.text_px
    top = frame.bottom() + 12
    tall = min(4.2 * text, area.bottom() - top)
    if tall >= 1.3 * text:
        place = QRectF(frame.left(), top, area.right() - frame.left(), tall)
        scene.write(place, scene.labels.sets, smaller=1)
