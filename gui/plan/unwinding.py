"""Reels, shrinking as they run out, and the webs that meet on their way to the slitter."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPen

import linesim
from gui.plan.brushes import body, faint, fill_state, outline
from gui.plan.scene import Scene

_LEFT = int(Qt.AlignmentFlag.AlignLeft)
_UNBROKEN = "\N{NO-BREAK SPACE}"
_SPREAD = 3.0
"""Reels are cut at three times their spread."""


def draw_unwinding(scene: Scene) -> None:
    """The stands with their reels, the web path, and the webs from the first to the last."""
    area, painter, moment = scene.layout.of("unwind"), scene.painter, scene.moment
    text = scene.layout.text_px
    base = QRectF(area.left() + 4, area.bottom() - 12, area.width() - 10, 10)
    body(painter, base, moment.station("unwind"), scene.palette)

    count = len(moment.reels)
    spares = scene.scenario.unwind.spare_stands or 0
    brought = linesim.report.brought_words(scene.scenario)
    wide = max(scene.width_of(label, smaller=1) for label in scene.labels.reels) + 4
    pitch = (area.width() - 10) / (count + spares)
    every = pitch >= wide
    label_lines = 1.4 * text * (1 if every else 2)
    floor = base.top() - 2.8 * text * len(brought)
    over = area.top() + 0.1 * area.height()
    reels = scene.scenario.reels
    largest = reels.diameter_mm + _SPREAD * reels.diameter_sd_mm
    room = floor - label_lines - over - 5 * count - 8
    largest_px = max(8.0, min(0.92 * pitch, room))
    scale = largest_px / largest
    axis = floor - label_lines - largest_px / 2 - 2
    tops = []
    for reel, label in zip(moment.reels, scene.labels.reels, strict=True):
        x = area.left() + 6 + (reel.web - 0.5) * pitch
        _reel(scene, x, axis, reel.diameter_mm * scale, scale)
        if scene.other is not None and reel.web <= len(scene.other.reels):
            was = scene.other.reels[reel.web - 1].diameter_mm * scale
            _ring(scene, QPointF(x, axis), was, reel.diameter_mm * scale)
        tops.append((x - reel.diameter_mm * scale / 2, axis))
        if every:
            place = QRectF(x - pitch / 2, floor - label_lines, pitch, 1.4 * text)
            scene.write(place, label, smaller=1)
    if not every:
        small = min(moment.reels, key=lambda reel: reel.diameter_mm)
        across = scene.labels.reels[small.web - 1].replace(" ", _UNBROKEN)
        label = f"{count} reels; smallest: web{_UNBROKEN}{small.web}, {across}"
        if spares:
            label = f"{count} reels, {spares} spare; smallest: web{_UNBROKEN}{small.web}, {across}"
        place = QRectF(area.left() + 4, floor - label_lines, area.width() - 8, label_lines)
        scene.write(place, label, align=_LEFT, smaller=1)
    for number in range(count, count + spares):
        x = area.left() + 6 + (number + 0.5) * pitch
        _spare(scene, QPointF(x, axis), scale)
        if every:
            place = QRectF(x - pitch / 2, floor - label_lines, pitch, 1.4 * text)
            scene.write(place, "spare", smaller=1)
    for line in brought:
        place = QRectF(area.left() + 4, floor, area.width() - 8, 2.8 * text)
        scene.write(place, line, align=_LEFT, smaller=1, quiet=True)
    _webs(scene, tops, over)


def _spare(scene: Scene, middle: QPointF, scale: float) -> None:
    """A spare stand; whether its reel is prepared no record tells."""
    pen = faint(scene.palette)
    pen.setStyle(Qt.PenStyle.DotLine)
    scene.painter.setPen(pen)
    scene.painter.setBrush(Qt.BrushStyle.NoBrush)
    across = scene.scenario.reels.diameter_mm * scale
    scene.painter.drawEllipse(middle, across / 2, across / 2)


def _reel(scene: Scene, x: float, y: float, across: float, scale: float) -> None:
    painter, reels = scene.painter, scene.scenario.reels
    fresh = reels.diameter_mm * scale
    pen = faint(scene.palette)
    pen.setStyle(Qt.PenStyle.DotLine)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(QPointF(x, y), fresh / 2, fresh / 2)
    painter.setPen(outline(scene.palette))
    painter.setBrush(QBrush(QColor(scene.palette.paper)))
    painter.drawEllipse(QPointF(x, y), across / 2, across / 2)
    core = max(2.0, reels.core_diameter_mm * scale / 2)
    painter.setPen(faint(scene.palette, 0.8))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    rings = int((across / 2 - core) // 7)
    for ring in range(1, rings + 1):
        painter.drawEllipse(QPointF(x, y), core + 7 * ring, core + 7 * ring)
    painter.setPen(outline(scene.palette))
    painter.setBrush(QBrush(QColor(scene.palette.ghost)))
    painter.drawEllipse(QPointF(x, y), core, core)


def _ring(scene: Scene, middle: QPointF, was: float, now: float) -> None:
    """The size the reel had in the other run, where that can be told from its size now (px)."""
    if abs(was - now) < 2:
        return
    pen = faint(scene.palette, 1.4)
    pen.setStyle(Qt.PenStyle.DashLine)
    scene.painter.setPen(pen)
    scene.painter.setBrush(Qt.BrushStyle.NoBrush)
    scene.painter.drawEllipse(middle, was / 2, was / 2)


def _webs(scene: Scene, tops: list[tuple[float, float]], over: float) -> None:
    """Every web rises from its reel, runs over the others and comes down to meet them."""
    painter, moment = scene.painter, scene.moment
    path, slitter = scene.layout.of("web_path"), scene.layout.of("slitter")
    station = moment.station("web_path")
    broken = station.cause == "web break" and station.state not in (0, 1)
    gap = min(5.0, 40.0 / max(1, len(tops)))
    tall = 0.44 * path.height()
    guide = QRectF(path.left() + 3, scene.flow_y - tall / 2, path.width() - 6, tall)
    fill_state(painter, guide, station, scene.palette)
    painter.setPen(outline(scene.palette))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(guide)
    painter.setPen(QPen(QColor(scene.palette.curve), 1.3))
    turn = path.left() + 0.25 * path.width()
    for number, (x, y) in enumerate(tops):
        level = over + gap * number
        scene.line(x, y, x, level)
        scene.line(x, level, turn, level)
        meets = scene.flow_y - 0.6 * (len(tops) - 1 - 2 * number) * 0.5
        end_x, end_y = slitter.left() + 2, meets
        if broken:
            end_x, end_y = turn + 0.35 * (end_x - turn), level + 0.35 * (end_y - level)
        scene.line(turn, level, end_x, end_y)
    painter.setPen(outline(scene.palette))
    painter.setBrush(QBrush(QColor(scene.palette.ground)))
    radius = max(3.0, 0.05 * path.width())
    angle = moment.web_m / 0.2
    for x, y in ((turn, over - radius - 1), (slitter.left() + 1, scene.flow_y + radius + 2)):
        painter.drawEllipse(QPointF(x, y), radius, radius)
        scene.line(x, y, x + radius * math.cos(angle), y + radius * math.sin(angle))
