"""A map of two fields: darker is more, and every cell says its figure."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPen

import linesim
from gui.look.drawn import Spot
from gui.pages.chart_frame import Paper, spoken

_WEAKEST, _STRONGEST = 20, 235


def paint_map(paper: Paper, chart: linesim.report.Map) -> list[Spot]:
    """Draw it; gives the places that have something to say when pointed at."""
    metrics, room = paper.metrics, paper.room
    top = room.top() + paper.title(
        f"{chart.title}, {chart.y.unit}" if chart.y.unit else chart.title
    )
    downs = [f"{value:g}" for value in chart.down_values]
    left = room.left() + metrics.height() * 1.6
    left += max(metrics.horizontalAdvance(text) for text in downs) + 8
    plot = QRectF(left, top, room.right() - left - 8, room.bottom() - top)
    plot.setBottom(room.bottom() - 2 * metrics.height() - 8)
    wide = plot.width() / len(chart.across_values)
    high = plot.height() / len(chart.down_values)
    means = [cell.mean for row in chart.rows for cell in row if cell is not None]
    low, span = min(means, default=0.0), (max(means, default=1.0) - min(means, default=0.0)) or 1.0
    spots = []
    for i, row in enumerate(chart.rows):
        for j, cell in enumerate(row):
            box = QRectF(plot.left() + j * wide, plot.top() + i * high, wide - 1, high - 1)
            share = 0.0 if cell is None else (cell.mean - low) / span
            _cell(paper, box, cell, share)
            values = chart.down_values[i], chart.across_values[j]
            if marks := chart.marks(values):
                figure = "" if cell is None else linesim.report.cell_text(cell)
                _framed(paper, box, marks, share, figure)
            where = (
                f"{chart.down.name} {chart.down_values[i]:g},"
                f" {chart.across.name} {chart.across_values[j]:g}"
            )
            what = chart.empty if cell is None else spoken(cell, chart.y.unit)
            said = f" ({marks})" if marks else ""
            spots.append((box, f"{where}: {what}{said}"))
    _axes(paper, chart, plot, downs)
    return spots


def _cell(paper: Paper, box: QRectF, cell: linesim.report.Figure | None, share: float) -> None:
    if cell is None:
        paper.painter.fillRect(box, QBrush(QColor(paper.look.grid), Qt.BrushStyle.BDiagPattern))
        return
    shade = _shade(paper, share)
    paper.painter.fillRect(box, shade)
    colour = _readable(paper, shade)
    whole = linesim.report.cell_text(cell)
    if paper.metrics.horizontalAdvance(whole) <= box.width() - 4:
        paper.text(box, Qt.AlignmentFlag.AlignCenter, whole, colour)
        return
    mean, _, half = whole.partition(" ± ")
    height = paper.metrics.height()
    if box.height() >= 2 * height:
        upper = QRectF(box.left(), box.center().y() - height, box.width(), height)
        paper.text(upper, Qt.AlignmentFlag.AlignCenter, mean, colour)
        lower = upper.translated(0, height)
        paper.text(lower, Qt.AlignmentFlag.AlignCenter, f"± {half}", colour)


def _shade(paper: Paper, share: float) -> QColor:
    shade = QColor(paper.look.curve)
    shade.setAlpha(round(_WEAKEST + (_STRONGEST - _WEAKEST) * share))
    return shade


def _readable(paper: Paper, shade: QColor) -> str:
    """The colour of text that stands out more on a see-through shade."""
    ground, text = QColor(paper.look.ground), QColor(paper.look.text)
    part = shade.alphaF()
    seen = part * shade.lightnessF() + (1 - part) * ground.lightnessF()
    apart = abs(seen - ground.lightnessF()) > abs(seen - text.lightnessF())
    return paper.look.ground if apart else paper.look.text


def _framed(paper: Paper, box: QRectF, words: str, share: float, figure: str) -> None:
    """A frame around the line as it is, or the best; named where the figure leaves room."""
    paper.painter.setBrush(Qt.BrushStyle.NoBrush)
    paper.painter.setPen(QPen(QColor(paper.look.text), 2.5))
    paper.painter.drawRect(box.adjusted(1, 1, -1, -1))
    metrics = paper.metrics
    beside = (box.width() - metrics.horizontalAdvance(figure)) / 2 - 8
    if metrics.horizontalAdvance(words) > beside and box.height() < 4 * metrics.height():
        return
    corner = box.adjusted(5, 2, -5, -2)
    colour = _readable(paper, _shade(paper, share))
    paper.text(corner, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop, words, colour)


def _axes(paper: Paper, chart: linesim.report.Map, plot: QRectF, downs: list[str]) -> None:
    metrics = paper.metrics
    wide = plot.width() / len(chart.across_values)
    high = plot.height() / len(chart.down_values)
    every = max(1, round(metrics.height() / high + 0.49))
    for i, words in enumerate(downs):
        if i % every == 0:
            box = QRectF(paper.room.left(), plot.top() + i * high, 0, high)
            box.setRight(plot.left() - 6)
            paper.text(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, words)
    texts = [f"{value:g}" for value in chart.across_values]
    widest = max(metrics.horizontalAdvance(text) for text in texts) + 6
    every = max(1, round(widest / wide + 0.49))
    for j, words in enumerate(texts):
        if j % every == 0:
            box = QRectF(plot.left() + j * wide, plot.bottom() + 2, wide * every, metrics.height())
            box.moveCenter(QRectF(box.left(), box.top(), wide, box.height()).center())
            paper.text(box, Qt.AlignmentFlag.AlignCenter, words)
    below = QRectF(
        plot.left(), plot.bottom() + metrics.height() + 4, plot.width(), metrics.height()
    )
    paper.text(below, Qt.AlignmentFlag.AlignCenter, chart.across.heading)
    painter = paper.painter
    painter.save()
    painter.translate(paper.room.left(), plot.bottom())
    painter.rotate(-90)
    paper.text(
        QRectF(0, 0, plot.height(), metrics.height()),
        Qt.AlignmentFlag.AlignCenter,
        chart.down.heading,
    )
    painter.restore()
