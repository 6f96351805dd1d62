"""An answer as text that can be pasted in a mail."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from linesim.report.answers.answer import Answer
from linesim.report.answers.cells import Cell, Figure, cell_text
from linesim.report.answers.table_layout import blocks
from linesim.report.answers.tables import AnswerTable
from linesim.report.plain import WIDTH, heading, plain_table, text_of

if TYPE_CHECKING:
    from rich.table import Table

_BAR = 16
_MOST_ROWS = 500
"""Nobody reads more of a table on a terminal, and drawing it takes a millisecond a row."""


def answer_text(answer: Answer) -> str:
    """Words, tables, notes, and the line from which the same can be made again."""
    tables = (part for table in answer.tables for part in table_parts(table))
    return text_of([*answer.words, *tables, "", *answer.notes])


def table_parts(table: AnswerTable) -> Iterator[Table | str]:
    """A table below its title, in as many blocks as its columns need."""
    yield heading(table.title)
    shown = table.rows[:_MOST_ROWS]
    heads: list[str] = []
    left: list[bool] = []
    rows: list[list[str]] = [[] for _ in shown]
    for n, head in enumerate(table.columns):
        heads.append(head.heading)
        left.append(n == 0 or head.left)
        for row, cells in zip(rows, shown, strict=True):
            row.append(cell_text(cells[n]))
        if head.bar:
            heads.append("")
            left.append(True)
            for row, cells in zip(rows, shown, strict=True):
                row.append(_bar(cells[n]))
    for number, block in enumerate(blocks(heads, rows, left, WIDTH)):
        if number:
            yield ""
        grid = plain_table()
        for column, width in block:
            grid.add_column(
                heads[column],
                justify="left" if left[column] else "right",
                overflow="fold",
                width=width,
            )
        for row in rows:
            grid.add_row(*(row[column] for column, _ in block))
        yield grid
    if len(table.rows) > _MOST_ROWS:
        more = len(table.rows) - _MOST_ROWS
        yield f"({more:,} more rows; --csv FOLDER and --json FILE hold all of them)"
    if any(isinstance(cell, Figure) and not cell.shown for row in shown for cell in row):
        yield "(~: the interval spans 0, so no difference is shown)"


def _bar(cell: Cell) -> str:
    return "#" * round(_BAR * cell / 100) if isinstance(cell, int | float) else ""
