"""A map of two fields: darker is more, and every cell says its figure."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor

import linesim
from gui.charts.figures import spoken
from gui.charts.pens import readable
from gui.charts.plot import Plot
from gui.charts.readout import Spot
from gui.charts.shapes import Box

_WEAKEST, _STRONGEST = 20, 235
_NONE = "There is nothing to compare."


def draw_map(plot: Plot, chart: linesim.report.Map) -> None:
    """Put it onto the plot."""
    rows, columns = len(chart.down_values), len(chart.across_values)
    if not rows or not columns:
        plot.put_nothing(_NONE)
        return
    across = [((n + 0.5) / columns, f"{value:g}") for n, value in enumerate(chart.across_values)]
    down = [(1 - (n + 0.5) / rows, f"{value:g}") for n, value in enumerate(chart.down_values)]
    plot.put_names("bottom", across, chart.across.heading)
    plot.put_names("left", down, chart.down.heading)
    means = [cell.mean for row in chart.rows for cell in row if cell is not None]
    low = min(means, default=0.0)
    span = max(means, default=1.0) - low or 1.0
    boxes, framed, spots = [], [], []
    for i, row in enumerate(chart.rows):
        for j, cell in enumerate(row):
            area = QRectF(j / columns, 1 - (i + 1) / rows, 1 / columns, 1 / rows)
            values = chart.down_values[i], chart.across_values[j]
            marks = chart.marks(values)
            share = 0.0 if cell is None else (cell.mean - low) / span
            box = _cell(plot, area, cell, share, marks)
            (framed if marks else boxes).append(box)
            where = f"{chart.down.label} {values[0]:g}, {chart.across.label} {values[1]:g}"
            what = chart.empty if cell is None else spoken(cell, chart.y.unit)
            told = f"{where}: {what}" + (f" ({marks})" if marks else "")
            spots.append(Spot(QPointF(area.center().x(), area.bottom()), told, area))
    # Frames lie over their neighbours.
    plot.put_shapes([*boxes, *framed])
    plot.reading.spots = tuple(spots)


def _cell(
    plot: Plot, area: QRectF, cell: linesim.report.Figure | None, share: float, marks: str
) -> Box:
    look = plot.look
    line = plot.pen(look.text, 2.5) if marks else plot.pen(look.ground, 1)
    if cell is None:
        fill = QBrush(QColor(look.grid), Qt.BrushStyle.BDiagPattern)
        return Box(area, fill, line, corner=marks, ink=look.text)
    shade = QColor(look.curve)
    shade.setAlpha(round(_WEAKEST + (_STRONGEST - _WEAKEST) * share))
    whole = linesim.report.cell_text(cell)
    words = (whole, whole.replace(" ± ", "\n± "), whole.partition(" ± ")[0])
    return Box(area, QBrush(shade), line, words=words, corner=marks, ink=readable(shade, look))
