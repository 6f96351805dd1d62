"""The column at the right of the strip: what every row says at the cursor."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QPainter

from gui.look import Palette
from gui.strip.curves import Stretch, loss_tints
from gui.strip.readout import moment_words, readings
from gui.strip.rows import Row

_STATE_PX, _TINT_PX = 10, 12
"""What the mark of a state, and that of a loss, take before their words."""
_MIDDLE = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)


def paint_readings(
    painter: QPainter, area: QRect, stretch: Stretch, rows: list[Row], now_ns: int, palette: Palette
) -> None:
    """Paint it into the area, each row beside its own; the last goes on beside the legend."""
    metrics = painter.fontMetrics()
    left, wide, space = area.left(), area.width(), metrics.height() + 1
    tints = loss_tints(palette)
    painter.setPen(QColor(palette.text))
    head = QRect(left, 0, wide, rows[0].top - 4)
    painter.drawText(head, _MIDDLE, f"at {moment_words(stretch.record, now_ns)}")
    for reading in readings(stretch.record, stretch.curves, stretch.ghost, rows, now_ns):
        row = reading.row
        if reading.state is not None:
            fill = QColor(palette.fills[reading.state])
            painter.fillRect(QRect(left, row.top + 3, 5, row.height - 6), fill)
        indent = 0 if row.lane is None else _STATE_PX
        room = (area.bottom() + 1 if row is rows[-1] else row.bottom) - row.top
        lines = [
            *((line, "") for line in reading.lines),
            *zip(reading.losses, tints, strict=False),
        ]
        lines = lines[: max(1, room // space)]
        top = row.top if len(lines) > 1 else row.top + (row.height - space) // 2
        for number, (line, tint) in enumerate(lines):
            box = QRect(left + indent, top + number * space, wide - indent, space)
            if tint:
                painter.fillRect(QRect(box.left(), box.top() + 3, 8, space - 6), QColor(tint))
                box.setLeft(box.left() + _TINT_PX)
            text = metrics.elidedText(line, Qt.TextElideMode.ElideRight, box.width())
            painter.drawText(box, _MIDDLE, text)
