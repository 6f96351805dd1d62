"""What the lines, bands and points of a chart are, in as many rows as they need."""

from __future__ import annotations

from typing import Any, Literal, NamedTuple

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen

from gui.look import Palette

_SIGN, BETWEEN = 26.0, 18.0
_WIDE, _HIGH = 20.0, 10.0
_RADIUS, _RING = 3.5, 6.0
_BELOW = 6.0
_FLAGS = int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)


class Key(NamedTuple):
    """Words, and what they are of: a line over its band, or one of the shapes, as it is drawn."""

    words: str
    line: QPen | None = None
    band: QBrush | None = None
    shape: Literal["line", "upright", "dot", "ring", "bar"] = "line"
    """A ring stands round a dot."""

    def wide(self, metrics: QFontMetricsF) -> float:
        """Its width beside others, px."""
        return _SIGN + metrics.horizontalAdvance(self.words) + 2 + BETWEEN


class Keys(pg.GraphicsWidget):  # type: ignore[misc]
    """Keys beside each other, the rest in the next row."""

    def __init__(self, keys: tuple[Key, ...], look: Palette, font: QFont) -> None:
        super().__init__()
        self.keys = keys
        self._look, self._font = look, font
        self.places: list[QRectF] = []
        """Where the words of each stand."""

    def fit(self, width: float) -> float:
        """Place them in so much width; gives the height that they take."""
        metrics = QFontMetricsF(self._font)
        self.places = []
        left = top = high = 0.0
        for key in self.keys:
            wide = min(metrics.horizontalAdvance(key.words) + 2, width - _SIGN)
            if left and left + _SIGN + wide > width:
                left, top = 0.0, top + high
                high = 0.0
            box = metrics.boundingRect(QRectF(0, 0, wide, 1e4), _FLAGS, key.words)
            self.places.append(QRectF(left + _SIGN, top, wide, box.height()))
            high = max(high, box.height())
            left += _SIGN + wide + BETWEEN
        self.update()
        return top + high + _BELOW

    def paint(self, p: QPainter, *_: Any) -> None:
        """A piece of what is drawn before the words of each."""
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        p.setFont(self._font)
        half = QFontMetricsF(self._font).height() / 2
        for key, place in zip(self.keys, self.places, strict=True):
            _sign(p, key, QPointF(place.left() - _SIGN, place.top() + half))
            p.setPen(QColor(self._look.text))
            p.drawText(place, _FLAGS, key.words)


def _sign(p: QPainter, key: Key, start: QPointF) -> None:
    x, middle = start.x(), start.y()
    p.setPen(key.line or QPen(Qt.PenStyle.NoPen))
    if key.shape != "line":
        _shape(p, key, QPointF(x + _WIDE / 2, middle))
        return
    if key.band is not None:
        p.fillRect(QRectF(x, middle - _HIGH / 2, _WIDE, _HIGH), key.band)
    if key.line is not None:
        p.drawLine(QLineF(x, middle, x + _WIDE, middle))


def _shape(p: QPainter, key: Key, centre: QPointF) -> None:
    across, up = QPointF(_WIDE / 2, 0), QPointF(0, _HIGH / 2)
    p.setBrush(key.band or QBrush(Qt.BrushStyle.NoBrush))
    if key.shape == "upright":
        p.drawLine(centre - up, centre + up)
    elif key.shape == "bar":
        p.drawRect(QRectF(centre - across - up, centre + across + up))
    elif key.shape == "dot":
        p.drawEllipse(centre, _RADIUS, _RADIUS)
    else:
        p.drawEllipse(centre, _RING, _RING)
        p.setBrush(p.pen().color())
        p.drawEllipse(centre, _RING / 4, _RING / 4)
