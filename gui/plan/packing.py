"""Bridge, wrappers, rework table and what is behind them, seen from above."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPolygonF

import linesim
from gui.plan.brushes import body, faint, outline
from gui.plan.scene import Scene
from linesim.record import WrapperNow

_LEFT = int(Qt.AlignmentFlag.AlignLeft)
_BOTTOM = int(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom)
BESIDE_PX = 8.0
"""Height over the belt for the reams of another run."""
_FINEST_PX = 3.0
"""Below this a place is no longer drawn by itself."""


def bridge_belt(scene: Scene) -> QRectF:
    """The belt of the bridge: as long as its places, as wide as its tracks."""
    area = scene.layout.of("bridge")
    tracks = scene.scenario.bridge.tracks
    tall = min(0.5 * area.height(), 34.0 * tracks)
    return QRectF(area.left() + 4, scene.flow_y - tall / 2, area.width() - 12, tall)


def draw_bridge(scene: Scene) -> None:
    """The belt with every place, and the reams where they are."""
    painter, moment = scene.painter, scene.moment
    belt = bridge_belt(scene)
    body(painter, belt, moment.station("bridge"), scene.palette)
    tracks = scene.scenario.bridge.tracks
    rows = max(1, -(-moment.bridge_places // tracks))
    pitch, tall = belt.width() / rows, belt.height() / tracks
    painter.setPen(faint(scene.palette, 0.8))
    if pitch >= 2 * _FINEST_PX:
        marks = [belt.right() - row * pitch for row in range(1, rows)]
        painter.drawLines([QLineF(x, belt.top(), x, belt.bottom()) for x in marks])
    for track in range(1, tracks):
        scene.line(belt.left(), belt.top() + track * tall, belt.right(), belt.top() + track * tall)
    _reams(scene, belt, pitch, tall, tracks)
    text = scene.layout.text_px
    up = 0.0 if scene.other is None else BESIDE_PX
    place = QRectF(belt.left(), belt.top() - 2.9 * text - up, belt.width(), 2.7 * text)
    scene.write(place, scene.labels.bridge, align=_BOTTOM)
    _levels(scene, belt, pitch, tracks)


def _reams(scene: Scene, belt: QRectF, pitch: float, tall: float, tracks: int) -> None:
    painter = scene.painter
    light = QColor(scene.palette.paper)
    if pitch < _FINEST_PX:
        # Reams finer than this: fill the pixels that hold any.
        columns = {round(row * pitch) for row in scene.moment.bridge_rows}
        painter.setPen(outline(scene.palette))
        for column in columns:
            scene.line(
                belt.right() - column, belt.top() + 3, belt.right() - column, belt.bottom() - 3
            )
        return
    painter.setPen(outline(scene.palette))
    painter.setBrush(light)
    boxes = []
    for number, row in enumerate(scene.moment.bridge_rows):
        left = belt.right() - (row + 1) * pitch + 0.08 * pitch
        top = belt.top() + number % tracks * tall + 0.12 * tall
        boxes.append(QRectF(left, top, 0.84 * pitch, 0.76 * tall))
    painter.drawRects(boxes)


def _levels(scene: Scene, belt: QRectF, pitch: float, tracks: int) -> None:
    """Marks where the bridge tells others: counted in reams from the wrappers."""
    marks, text = linesim.report.bridge_levels(scene.scenario), scene.layout.text_px
    room = scene.layout.deck.bottom() - belt.bottom() - 5
    if len(marks) * 1.35 * text > room:
        _levels_in_a_line(scene, belt, pitch, tracks, marks)
        return
    for number, (level, words) in enumerate(marks):
        x = max(belt.left(), belt.right() - level / tracks * pitch)
        low = belt.bottom() + 5 + number * 1.35 * text
        scene.painter.setPen(outline(scene.palette))
        scene.line(x, belt.bottom(), x, low + 0.2 * text)
        wide = scene.width_of(words, smaller=1) + 6
        left = min(x + 4, belt.right() + 8 - wide)
        scene.write(QRectF(left, low, wide, 1.4 * text), words, align=_LEFT, smaller=1)


def _levels_in_a_line(
    scene: Scene, belt: QRectF, pitch: float, tracks: int, marks: list[tuple[int, str]]
) -> None:
    """The same where there is no room for a line each: ticks, and all levels below them."""
    scene.painter.setPen(outline(scene.palette))
    for level, _ in marks:
        x = max(belt.left(), belt.right() - level / tracks * pitch)
        scene.line(x, belt.bottom(), x, belt.bottom() + 5)
    place = QRectF(belt.left(), belt.bottom() + 5, belt.width(), 2.8 * scene.layout.text_px)
    scene.write(place, ", ".join(words for _, words in marks), smaller=1)


def draw_wrappers(scene: Scene) -> None:
    """Every wrapper with the ream in it, the way to it, and the rework table."""
    area, moment = scene.layout.of("wrappers"), scene.moment
    text, count = scene.layout.text_px, len(moment.wrappers)
    has_table = scene.scenario.rework.places > 0
    bottom = area.bottom() - (3.2 * text if has_table else 6)
    top = area.top() + 4
    if count == 1:
        half = min(0.5 * (bottom - scene.flow_y), 2.6 * text + 18)
        boxes = [QRectF(area.left() + 16, scene.flow_y - half, area.width() - 26, 2 * half)]
    else:
        each = (bottom - top) / count
        gap = min(1.5 * text, 0.35 * each)
        boxes = [
            QRectF(area.left() + 16, top + n * each + gap, area.width() - 26, each - gap - 3)
            for n in range(count)
        ]
    start = QPointF(bridge_belt(scene).right(), scene.flow_y)
    for box, wrapper, label in zip(boxes, moment.wrappers, scene.labels.wrappers, strict=True):
        scene.painter.setPen(outline(scene.palette))
        middle = start.x() + 0.5 * (box.left() - start.x())
        scene.line(start.x(), start.y(), middle, start.y())
        scene.line(middle, start.y(), middle, box.center().y())
        scene.line(middle, box.center().y(), box.left(), box.center().y())
        _wrapper(scene, box, wrapper, label, named=count > 1)
    if has_table:
        table = QRectF(area.left() + 4, area.bottom() - 2.6 * text, area.width() - 8, 2.5 * text)
        pen = faint(scene.palette, 1.2)
        pen.setStyle(Qt.PenStyle.DashLine)
        scene.painter.setPen(pen)
        scene.painter.setBrush(Qt.BrushStyle.NoBrush)
        scene.painter.drawRect(table)
        places = f"{scene.scenario.rework.places}\N{NO-BREAK SPACE}places"
        long = scene.width_of("rework table,", smaller=2) > table.width() - 4
        words = f"rework, {places}" if long else f"rework table, {places}"
        scene.write(table.adjusted(2, 0, -2, 0), words, quiet=True, smaller=2)


def _short(now: WrapperNow) -> str:
    return "empty" if now.part is None else f"{100 * now.part:.0f} %"


def _wrapper(scene: Scene, box: QRectF, now: WrapperNow, label: str, *, named: bool) -> None:
    painter, text = scene.painter, scene.layout.text_px
    body(painter, box, scene.moment.station(now.name), scene.palette)
    tall = min(0.42 * box.height(), 26.0)
    ream = QRectF(box.left() + 0.2 * box.width(), box.top() + 5, 0.6 * box.width(), tall)
    plate = QRectF(box.left() + 4, ream.bottom() + 3, box.width() - 8, 1.35 * text)
    roomy = plate.bottom() < box.bottom() - 1
    if not roomy:
        ream.moveCenter(box.center())
    painter.fillRect(ream, QColor(scene.palette.ground))
    if now.part is not None:
        painter.fillRect(ream, QColor(scene.palette.paper))
        wrapped = QRectF(ream.left(), ream.top(), ream.width() * now.part, ream.height())
        painter.fillRect(wrapped, QColor(scene.palette.curve))
        painter.setPen(outline(scene.palette))
    else:
        painter.setPen(faint(scene.palette))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(ream)
    if roomy:
        painter.fillRect(plate, QColor(scene.palette.ground))
        short = label if scene.width_of(label, smaller=1) <= plate.width() else _short(now)
        scene.write(plate, short, smaller=1)
    if named:
        name = QRectF(box.left() - 8, box.top() - 1.4 * text, box.width() + 16, 1.35 * text)
        if scene.layout.deck.height() / len(scene.moment.wrappers) > 2.6 * text:
            scene.write(name, now.name, smaller=1)


def draw_end_of_line(scene: Scene) -> None:
    """A box for every station behind the wrappers, those of one place one above the other, then
    an arrow out of the picture."""
    painter = scene.painter
    wrappers = scene.layout.of("wrappers")
    left, y = wrappers.right() - 10, scene.flow_y
    for place, names in scene.scenario.end_places.items():
        area = scene.layout.of(place)
        top, tall = y - 0.2 * area.height(), 0.4 * area.height() / len(names)
        gap = 0.0 if len(names) == 1 else min(3.0, 0.2 * tall)
        for number, name in enumerate(names):
            box = QRectF(area.left() + 10, top + number * tall, area.width() - 22, tall - gap)
            body(painter, box, scene.moment.station(name), scene.palette)
        scene.line(left, y, area.left() + 10, y)
        left = area.right() - 12
    painter.setPen(outline(scene.palette))
    tip = left + 10
    scene.line(left, y, tip, y)
    painter.setBrush(QColor(scene.palette.text))
    painter.drawPolygon(
        QPolygonF([QPointF(tip, y), QPointF(tip - 5, y - 4), QPointF(tip - 5, y + 4)])
    )
