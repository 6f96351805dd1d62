"""What an answer will look like, faintly, where there is none yet: shapes without a figure."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from gui.look import APART, CLOSE, NEAR, palette_of
from gui.look.focus_ring import ROUND

_PARTS = (
    ("1", "The answer in a sentence, with how sure it is"),
    ("2", "A picture of it: the marks are what is found, round each is what chance leaves open"),
    ("3", "All its figures, to read, copy and save"),
)
_WIDEST = 760.0
_SHARES = (0.16, 0.54, 0.3)
_CURVE = (0.15, 0.5, 0.7, 0.81, 0.87, 0.9, 0.915, 0.92)
"""Of any gain that levels off; no answer of a line."""
_BAND = (0.1, 0.08, 0.07, 0.06, 0.06, 0.055, 0.055, 0.05)
_CENTRE = int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap)
_TOP = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap)


class AnswerSketch(QWidget):
    """Three outlines, and on top what is under way or to be done."""

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = words
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.say(words)

    @property
    def words(self) -> str:
        """What stands on top."""
        return self._words

    def say(self, words: str) -> None:
        """Put these words on top."""
        self._words = words
        self.setAccessibleName(words)
        self.update()

    def minimumSizeHint(self) -> QSize:
        return QSize(10, 4 * self.fontMetrics().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        look, painter = palette_of(self), QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        line = self.fontMetrics().height()
        wide = min(_WIDEST, self.width())
        room = QRectF((self.width() - wide) / 2, NEAR, wide, self.height() - NEAR)
        painter.setPen(QColor(look.text))
        painter.drawText(QRectF(room.left(), room.top(), wide, 2.4 * line), _CENTRE, self._words)
        room.setTop(room.top() + 2.4 * line + NEAR)
        if room.height() < 12 * line:
            return
        # Where there is little room the picture gives of its own: words are not cut.
        least = 2.0 * line + 3 * NEAR + CLOSE
        first, _, last = (max(least, share * room.height()) for share in _SHARES)
        top = room.top()
        for (number, words), high in zip(
            _PARTS, (first, room.height() - first - last, last), strict=True
        ):
            box = QRectF(room.left(), top, wide, high - NEAR)
            top += high
            painter.setPen(QPen(QColor(look.grid), 1.0))
            painter.drawRoundedRect(box, ROUND, ROUND)
            inner = box.adjusted(APART, NEAR, -APART, -NEAR)
            painter.setPen(QColor(look.faint))
            painter.drawText(inner, _TOP, words)
            said = painter.boundingRect(inner, _TOP, words).height() + CLOSE
            inner.setTop(inner.top() + said)
            if number == "2":
                _curve(painter, inner, QColor(look.grid))
            else:
                shares = (0.97, 0.8) if number == "1" else (0.3, 0.14, 0.18, 0.1)
                _rows(painter, inner, QColor(look.grid), line, shares, columns=number == "3")


def _curve(painter: QPainter, box: QRectF, ink: QColor) -> None:
    """Marks in their band, above an axis."""
    step = box.width() / (len(_CURVE) - 1)

    def at(number: int, height: float) -> QPointF:
        return QPointF(box.left() + number * step, box.bottom() - height * box.height())

    band = QPainterPath(at(0, _CURVE[0] + _BAND[0]))
    for number, (height, half) in enumerate(zip(_CURVE, _BAND, strict=True)):
        band.lineTo(at(number, height + half))
    for number in reversed(range(len(_CURVE))):
        band.lineTo(at(number, _CURVE[number] - _BAND[number]))
    see_through = QColor(ink)
    see_through.setAlphaF(0.35)
    painter.fillPath(band, see_through)
    painter.setPen(QPen(ink, 2.0))
    painter.drawPolyline([at(number, height) for number, height in enumerate(_CURVE)])
    painter.drawLine(box.bottomLeft(), box.bottomRight())


def _rows(
    painter: QPainter,
    box: QRectF,
    ink: QColor,
    line: int,
    shares: tuple[float, ...],
    *,
    columns: bool,
) -> None:
    """Lines of writing: beside each other in every row, or one to a row."""
    painter.setPen(QPen(ink, 3.0, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
    y = box.top() + line / 2
    row = 0
    while y < box.bottom() and (columns or row < len(shares)):
        for column, share in enumerate(shares if columns else shares[row : row + 1]):
            left = box.left() + column * box.width() / 4
            painter.drawLine(QPointF(left, y), QPointF(left + share * box.width(), y))
        y, row = y + line, row + 1
