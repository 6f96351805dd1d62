"""What the looks of the lanes mean: those that this run has, in as many rows as they need."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter

from gui.look import Palette
from gui.strip.lanes import Lane, Layer
from gui.strip.reduce import TimeIn
from gui.strip.rows import LEGEND_PX
from gui.strip.span_image import draw_pixels, lane_pixels
from linesim.record import LOUD, WAITING, State

_LEFT_PX = 6
_SWATCH_PX, _SWATCH_HIGH_PX = 20, 12
_LEAST_ROW_PX = LEGEND_PX - 6
_GAP_PX = 5
_BETWEEN_PX = 13
_ORDER = (*LOUD, State.SLOWED, State.PLANNED, State.RUNNING)
_ALWAYS = TimeIn(np.array([0]), np.array([1 << 20]))


@dataclass(frozen=True)
class Entry:
    """A look and its words."""

    state: State
    quiet: bool
    words: str


def entries(lanes: list[Lane], *, filtered: bool = False) -> list[Entry]:
    """The looks that the lanes have, the loud ones first."""
    found: dict[tuple[bool, State], None] = {}
    for lane in lanes:
        for layer in lane.layers:
            # A wait for a pace looks alike to both sides, but for its lean.
            state = State.BLOCKED if layer.quiet and layer.state in WAITING else layer.state
            found[(layer.quiet, state)] = None
    pace = (
        "filtered out, or waits for a slower station" if filtered else "waits for a slower station"
    )
    return [
        Entry(state, quiet, pace if quiet and state == State.BLOCKED else state.words)
        for quiet, state in sorted(found, key=lambda look: (look[0], _ORDER.index(look[1])))
    ]


def in_rows(found: list[Entry], metrics: QFontMetrics, width: int) -> list[list[Entry]]:
    """As many to a row as the width has room for; one row at least."""
    rows: list[list[Entry]] = [[]]
    x = _LEFT_PX
    for entry in found:
        wide = _width(entry, metrics)
        if rows[-1] and x + wide - _BETWEEN_PX > width:
            rows.append([])
            x = _LEFT_PX
        rows[-1].append(entry)
        x += wide
    return rows


def draw_legend(
    painter: QPainter, top: int, rows: list[list[Entry]], palette: Palette, scale: float
) -> None:
    """Draw the rows, the first with its upper edge at ``top``."""
    metrics = painter.fontMetrics()
    edges = np.arange(round(_SWATCH_PX * scale) + 1, dtype=np.int64) * 4
    line = _row_px(metrics.height() + 1)
    high = round(_SWATCH_HIGH_PX * scale)
    flags = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
    for row in rows:
        x, upper = _LEFT_PX, top + (line - _LEAST_ROW_PX) // 2
        for entry in row:
            layer = Layer(entry.state, entry.quiet, _ALWAYS)
            pixels = lane_pixels([layer], edges, high, palette, scale)
            draw_pixels(painter, QPointF(x, upper), pixels, scale)
            # A planned stop is as quiet as the ground: the frame shows that it is there.
            painter.setPen(QColor(palette.grid))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(x - 0.5, upper - 0.5, _SWATCH_PX, high / scale))
            painter.setPen(QColor(palette.text))
            wide = _width(entry, metrics)
            place = QRectF(x + _SWATCH_PX + _GAP_PX, top - 3, wide, line)
            painter.drawText(place, flags, entry.words)
            x += wide
        top += line


def _width(entry: Entry, metrics: QFontMetrics) -> int:
    wide = metrics.horizontalAdvance(entry.words)
    return _SWATCH_PX + _GAP_PX + wide + _BETWEEN_PX


def legend_px(rows: int, line: int) -> int:
    """Height of so many rows, px; ``line`` is that of a line of text."""
    return LEGEND_PX - _LEAST_ROW_PX + rows * _row_px(line)


def _row_px(line: int) -> int:
    return max(_LEAST_ROW_PX, line)
