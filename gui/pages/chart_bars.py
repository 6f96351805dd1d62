"""Bars side by side, each with its interval and its figure in words."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor

import linesim
from gui.look.drawn import Spot
from gui.look.scales import upwards
from gui.pages.chart_frame import Paper, x_axis
from linesim.report import Scale

ROW = 1.9
"""Height of a bar's row, in heights of text."""
_MOST_LABEL = 0.34


def bars_height(bars: int, text_height: float) -> int:
    """Height that so many bars need."""
    return round((bars * ROW + 5) * text_height)


def paint_bars(paper: Paper, chart: linesim.report.Bars) -> list[Spot]:
    """Draw them; gives the places that have something to say when pointed at."""
    metrics, room = paper.metrics, paper.room
    # The axis stands above the bars, where it is in sight however many there are.
    top = room.top() + paper.title(chart.title) + 2 * metrics.height() + 6
    bottom = room.bottom()
    figures = [bar.figure for bar in chart.bars if bar.figure is not None]
    texts = [linesim.report.bar_text(chart, bar) for bar in chart.bars]
    names = max((metrics.horizontalAdvance(bar.label) for bar in chart.bars), default=0.0) + 8
    beside = max((metrics.horizontalAdvance(text) for text in texts), default=0.0) + 12
    left = room.left() + min(names, _MOST_LABEL * room.width())
    plot = QRectF(left, top, room.right() - beside - left, bottom - top)
    ends = [end for figure in figures for end in figure.outer]
    theories = [bar.theory for bar in chart.bars if bar.theory is not None]
    inner = [*ends, *theories] if chart.bands else [f.mean for f in figures]
    across = upwards(inner, ends, plot.left(), plot.right(), bars=not chart.bands)
    x_axis(paper, plot, across, chart.y.heading, above=True)
    paper.pen(paper.look.ghost)
    foot = across.at(max(across.low, 0.0))
    paper.painter.drawLine(QPointF(foot, plot.top()), QPointF(foot, plot.bottom()))
    row = plot.height() / max(1, len(chart.bars))
    spots = []
    for n, bar in enumerate(chart.bars):
        line = QRectF(room.left(), plot.top() + n * row, room.width(), row)
        _name(paper, line, plot, bar.label)
        if bar.figure is None:
            continue
        said = linesim.report.bar_text(chart, bar)
        if chart.bands:
            _band(paper, line, plot, across, bar)
        else:
            _bar(paper, line, plot, across, bar.figure, plain=chart.plain)
        _beside(paper, line, plot, said)
        spots.append((line, f"{bar.label}: {said} {chart.y.unit}".rstrip()))
    return spots


def _name(paper: Paper, line: QRectF, plot: QRectF, words: str) -> None:
    box = QRectF(line.left(), line.top(), plot.left() - line.left() - 8, line.height())
    paper.text(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, words)


def _bar(
    paper: Paper,
    line: QRectF,
    plot: QRectF,
    across: Scale,
    figure: linesim.report.Figure,
    *,
    plain: bool,
) -> None:
    """Filled where a difference is shown, hatched where it is not; without interval if plain."""
    painter, look = paper.painter, paper.look
    painter.save()
    painter.setClipRect(plot.adjusted(-1, 0, 1, 0))
    zero, end = across.at(0), across.at(figure.mean)
    thick = min(line.height() * 0.6, 26.0)
    box = QRectF(min(zero, end), line.center().y() - thick / 2, abs(end - zero), thick)
    shade = QColor(look.curve)
    shade.setAlpha(150)
    style = Qt.BrushStyle.SolidPattern if figure.shown else Qt.BrushStyle.BDiagPattern
    paper.pen(look.curve)
    painter.setBrush(QBrush(shade, style))
    painter.drawRect(box)
    if plain:
        painter.restore()
        return
    middle = line.center().y()
    low, high = (across.at(end) for end in figure.outer)
    paper.pen(look.text, 1.4)
    painter.drawLine(QPointF(low, middle), QPointF(high, middle))
    for x in (low, high):
        painter.drawLine(QPointF(x, middle - 4), QPointF(x, middle + 4))
    if figure.doubt:
        # Thick: what luck alone leaves open.
        paper.pen(look.text, 4)
        low, high = (across.at(end) for end in figure.inner)
        painter.drawLine(QPointF(low, middle), QPointF(high, middle))
    painter.restore()


def _band(paper: Paper, line: QRectF, plot: QRectF, across: Scale, bar: linesim.report.Bar) -> None:
    """A stroke from end to end; what is held against it is an upright line."""
    assert bar.figure is not None
    painter, look, middle = paper.painter, paper.look, line.center().y()
    painter.save()
    painter.setClipRect(plot.adjusted(-1, 0, 1, 0))
    shade = QColor(look.curve)
    shade.setAlpha(150)
    low, high = (across.at(end) for end in bar.figure.outer)
    thick = min(line.height() * 0.4, 16.0)
    painter.fillRect(QRectF(low, middle - thick / 2, high - low, thick), shade)
    if bar.theory is not None:
        paper.pen(look.text, 2.4)
        at = across.at(bar.theory)
        painter.drawLine(QPointF(at, middle - thick), QPointF(at, middle + thick))
    painter.restore()


def _beside(paper: Paper, line: QRectF, plot: QRectF, said: str) -> None:
    words = QRectF(plot.right() + 8, line.top(), line.right() - plot.right() - 8, line.height())
    paper.text(words, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, said)
