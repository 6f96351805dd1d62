"""The figures of a chart as a table."""

from __future__ import annotations

from linesim.report.answers.cells import Cell, Column
from linesim.report.answers.charts import Bars, Chart, Curve, Map, Tornado
from linesim.report.answers.tables import AnswerTable


def chart_table(chart: Chart) -> AnswerTable:
    """A row for each point, bar or cell; of a map the values of both fields come first."""
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    if isinstance(chart, Curve):
        columns = (chart.x, chart.y, Column(chart.theory_name, chart.y.unit))
        rows = tuple((point.x, point.figure, point.theory) for point in chart.points)
    elif isinstance(chart, Bars):
        columns = (chart.what, chart.y, Column(chart.theory_name, chart.y.unit))
        rows = tuple((bar.label, bar.figure, bar.theory) for bar in chart.bars)
    elif isinstance(chart, Map):
        columns = (chart.down, chart.across, chart.y)
        rows = tuple(
            (down, across, cell)
            for down, row in zip(chart.down_values, chart.rows, strict=True)
            for across, cell in zip(chart.across_values, row, strict=True)
        )
    elif isinstance(chart, Tornado):
        ends = (Column(f"{chart.y.name} at the {end} end", chart.y.unit) for end in ("low", "high"))
        columns = (Column("input"), Column("ends"), *ends)
        rows = tuple((bar.label, bar.ends, bar.at_low, bar.at_high) for bar in chart.bars)
    elif chart.along:
        ends = (Column(f"{chart.band_name}, {end}", chart.y.unit) for end in ("from", "to"))
        columns = (chart.x, Column(chart.line_name, chart.y.unit), *ends)
        rows = chart.along
    else:
        columns = (chart.x, chart.y, Column("what"))
        rows = tuple((x, y, words) for x, y, words in chart.known)
    if isinstance(chart, Curve | Bars) and not chart.theory_name:
        columns, rows = columns[:2], tuple(row[:2] for row in rows)
    return AnswerTable(chart.name, chart.title, columns, rows)
