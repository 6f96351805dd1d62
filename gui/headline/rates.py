"""Rated and net rates of the stations side by side: a V around what is slowest."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QWidget

from gui.look.drawn import Drawn, Spot
from gui.shift import connect_weakly
from linesim.report import Scale, rate_bars, tick_text

if TYPE_CHECKING:
    from gui.look import Palette
    from gui.shift import ShownShift
    from linesim.report import RateBar

_MARGIN = 12.0
_WIDEST = 64.0
_CENTRE = int(Qt.AlignmentFlag.AlignHCenter | Qt.TextFlag.TextWordWrap)
_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)
_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
_NOTE = "reams a minute, from the scenario alone: outline rated, filled net of its own stops"
_GHOST = "; dashed: before the change"


class VView(Drawn):
    """A column for each station: outlined to its rated speed, filled to its net rate."""

    names_itself = False

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self.bars: tuple[RateBar, ...] = ()
        self.before: tuple[RateBar, ...] = ()
        """The same of the line before a change; none where its rates were the same."""
        self.setMinimumSize(QSize(420, 220))
        self.setAccessibleName("Rated and net rates of the stations")
        connect_weakly(shown.record_changed, self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the rates of the line on screen."""
        record, ghost = self._shown.record, self._shown.ghost
        self.bars = () if record is None else rate_bars(record.scenario)
        before = () if ghost is None else rate_bars(ghost.scenario)
        self.before = () if before == self.bars else before
        self.source = "" if record is None else record.scenario.line.name
        words = "; ".join(_bar_text(bar, None) for bar in self.bars)
        self.setAccessibleDescription(words or "No run is shown.")
        self.update()

    def draw(
        self, painter: QPainter, room: QRectF, look: Palette, *, on_screen: bool
    ) -> list[Spot]:
        """The columns, the same on screen and on paper."""
        note = _NOTE + (_GHOST if self.before else "")
        return draw_rates(painter, room, self.bars, self.before, note, look)


def draw_rates(
    painter: QPainter,
    room: QRectF,
    bars: tuple[RateBar, ...],
    before: tuple[RateBar, ...],
    note: str,
    palette: Palette,
) -> list[Spot]:
    """Draw the columns into an area; gives each with what it says when pointed at."""
    painter.setPen(QColor(palette.text))
    if not bars:
        painter.drawText(room, Qt.AlignmentFlag.AlignCenter, "No run yet.")
        return []
    metrics = QFontMetricsF(painter.font())
    line = 1.3 * metrics.height()
    inner = room.adjusted(_MARGIN, 2, -_MARGIN, -4)
    height = metrics.boundingRect(inner, _LEFT, note).height()
    painter.setPen(QColor(palette.quiet))
    painter.drawText(inner, _LEFT, note)
    rates = [rate for bar in (*bars, *before) for rate in _rates(bar)]
    numbers = metrics.horizontalAdvance("000.0") + 6
    each = (inner.width() - numbers) / len(bars)
    words = [
        metrics.boundingRect(QRectF(0, 0, each - 10, 12 * line), _CENTRE, _text(bar)).height()
        for bar in bars
    ]
    plot = QRectF(inner.left() + numbers, inner.top() + height + 10, inner.width() - numbers, 0)
    plot.setBottom(max(plot.top() + 10, inner.bottom() - max(words) - 6))
    scale = Scale(0.0, 1.02 * max(rates, default=1.0), plot.bottom(), plot.top())
    _axis(painter, plot, scale, palette, line)
    old = {bar.station: bar for bar in before}
    spots: list[Spot] = []
    for number, bar in enumerate(bars):
        area = QRectF(plot.left() + number * each, plot.top(), each, plot.height())
        was = old.get(bar.station)
        _column(painter, area, bar, scale, palette)
        if was is not None and _rates(was) != _rates(bar):
            _outlines(painter, area, was, scale, palette)
        painter.setPen(QColor(palette.text))
        below = QRectF(
            area.left() + 5, plot.bottom() + 4, each - 10, inner.bottom() - plot.bottom()
        )
        painter.drawText(below, _CENTRE, _text(bar))
        spots.append((area.united(below), _bar_text(bar, was)))
    return spots


def _rates(bar: RateBar) -> tuple[float, ...]:
    if not math.isfinite(bar.rated_reams_per_min):
        return ()
    return bar.rated_reams_per_min, bar.net_reams_per_min


def _text(bar: RateBar) -> str:
    return f"{bar.station}\n{bar.value}" + (f"\n{bar.mark}" if bar.mark else "")


def _bar_text(bar: RateBar, was: RateBar | None) -> str:
    words = f"{bar.station}: {bar.value}{f', {bar.mark}' if bar.mark else ''}"
    return words if was is None else f"{words}\nbefore the change: {was.value}"


def _axis(painter: QPainter, plot: QRectF, scale: Scale, palette: Palette, line: float) -> None:
    """Round numbers on the left, and faint lines from them."""
    ticks = scale.ticks(max(2, int(plot.height() / (1.8 * line))))
    for tick in ticks:
        y = scale.at(tick)
        painter.setPen(QColor(palette.grid))
        painter.drawLine(QLineF(plot.left(), y, plot.right(), y))
        painter.setPen(QColor(palette.quiet))
        box = QRectF(plot.left() - 66, y - line / 2, 60, line)
        painter.drawText(box, _RIGHT, tick_text(tick, ticks))


def _shape(area: QRectF, rate: float, scale: Scale) -> QRectF:
    wide = min(_WIDEST, 0.5 * area.width())
    top = scale.at(rate)
    return QRectF(area.center().x() - wide / 2, top, wide, area.bottom() - top)


def _column(painter: QPainter, area: QRectF, bar: RateBar, scale: Scale, palette: Palette) -> None:
    if not _rates(bar):
        return
    rated, net = (_shape(area, rate, scale) for rate in _rates(bar))
    painter.fillRect(net, QColor(palette.curve if "net" in bar.mark else palette.ghost))
    painter.setPen(QPen(QColor(palette.text), 1.2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(rated)


def _outlines(
    painter: QPainter, area: QRectF, was: RateBar, scale: Scale, palette: Palette
) -> None:
    """The line before: wider than the column, so that it shows where both are alike."""
    painter.setPen(QPen(QColor(palette.text), 1.2, Qt.PenStyle.DashLine))
    for rate in _rates(was):
        box = _shape(area, rate, scale).adjusted(-6, 0, 6, 0)
        painter.drawLine(QLineF(box.left(), box.top(), box.right(), box.top()))
