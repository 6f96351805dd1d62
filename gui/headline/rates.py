"""Rated and net rates of the stations side by side: a V around what is slowest."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from gui.look import palette_of
from gui.look.quiet import quiet_text
from gui.shift import listen
from linesim import rate_bars

if TYPE_CHECKING:
    from gui.look import Palette
    from gui.shift import ShownShift
    from linesim import RateBar

_MARGIN = 12.0
_CENTRE = int(Qt.AlignmentFlag.AlignHCenter | Qt.TextFlag.TextWordWrap)
_LEFT = int(Qt.AlignmentFlag.AlignLeft)
_NOTE = "reams a minute, from the scenario alone: outline rated, filled net of its own stops"


class VView(QWidget):
    """A column for each station: outlined to its rated speed, filled to its net rate."""

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self.bars: tuple[RateBar, ...] = ()
        self.setMinimumSize(QSize(420, 220))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Rated and net rates of the stations")
        listen(shown.record_changed, self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the rates of the line on screen."""
        record = self._shown.record
        self.bars = () if record is None else rate_bars(record.scenario)
        words = "; ".join(
            f"{bar.station}: {bar.value}{f', {bar.mark}' if bar.mark else ''}" for bar in self.bars
        )
        self.setAccessibleDescription(words or "No run is shown.")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the columns."""
        painter = QPainter(self)
        draw_rates(painter, self.width(), self.height(), self.bars, palette_of(self))
        painter.end()

    def changeEvent(self, event: QEvent) -> None:
        """Light and dark follow the system."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self.update()


def draw_rates(
    painter: QPainter, width: float, height: float, bars: tuple[RateBar, ...], palette: Palette
) -> None:
    """Draw the columns into an area with its corner at (0, 0)."""
    painter.fillRect(QRectF(0, 0, width, height), QColor(palette.ground))
    painter.setPen(QColor(palette.text))
    if not bars:
        painter.drawText(QRectF(0, 0, width, height), Qt.AlignmentFlag.AlignCenter, "No run yet.")
        return
    metrics = QFontMetricsF(painter.font())
    line = 1.3 * metrics.height()
    note = metrics.boundingRect(
        QRectF(_MARGIN, 2, width - 2 * _MARGIN, 3 * line), _LEFT | Qt.TextFlag.TextWordWrap, _NOTE
    )
    painter.setPen(quiet_text(palette))
    painter.drawText(note.adjusted(0, 0, 4, 2), _LEFT | Qt.TextFlag.TextWordWrap, _NOTE)
    each = (width - 2 * _MARGIN) / len(bars)
    words = [
        metrics.boundingRect(QRectF(0, 0, each - 10, 12 * line), _CENTRE, _text(bar)).height()
        for bar in bars
    ]
    floor = height - max(words) - 10
    ceiling = note.bottom() + 10
    fastest = max((bar.rated_reams_per_min for bar in bars if _paced(bar)), default=1.0)
    scale = max(10.0, floor - ceiling) / fastest
    tops = []
    for number, bar in enumerate(bars):
        area = QRectF(_MARGIN + number * each, ceiling, each, floor - ceiling)
        tops.append(_column(painter, area, bar, scale, palette))
        painter.setPen(QColor(palette.text))
        below = QRectF(area.left() + 5, floor + 4, each - 10, height - floor - 4)
        painter.drawText(below, _CENTRE, _text(bar))
    for which, pen in ((0, palette.ghost), (1, palette.text)):
        painter.setPen(QPen(QColor(pen), 1.4))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.drawPolyline(QPolygonF([pair[which] for pair in tops if pair is not None]))
    painter.setPen(QColor(palette.grid))
    painter.drawLine(QPointF(_MARGIN, floor), QPointF(width - _MARGIN, floor))


def _paced(bar: RateBar) -> bool:
    return math.isfinite(bar.rated_reams_per_min)


def _text(bar: RateBar) -> str:
    return f"{bar.station}\n{bar.value}" + (f"\n{bar.mark}" if bar.mark else "")


def _column(
    painter: QPainter, area: QRectF, bar: RateBar, scale: float, palette: Palette
) -> tuple[QPointF, QPointF] | None:
    """Draw one column; returns the middles of its rated and its net top."""
    if not _paced(bar):
        return None
    wide = min(64.0, 0.5 * area.width())
    x = area.center().x()
    rated, net = bar.rated_reams_per_min * scale, bar.net_reams_per_min * scale
    colour = palette.curve if "net" in bar.mark else palette.grid
    painter.fillRect(QRectF(x - wide / 2, area.bottom() - net, wide, net), QColor(colour))
    painter.setPen(QPen(QColor(palette.ghost), 1.2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(QRectF(x - wide / 2, area.bottom() - rated, wide, rated))
    return QPointF(x, area.bottom() - rated), QPointF(x, area.bottom() - net)
