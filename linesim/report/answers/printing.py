"""An answer as text that can be pasted in a mail."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from linesim.report.answers.answer import Answer
from linesim.report.answers.cells import Cell, Column, Figure
from linesim.report.answers.grid import BAR, grid
from linesim.report.answers.tables import AnswerTable
from linesim.report.plain import MAIL, Terminal, heading, text_of

if TYPE_CHECKING:
    from rich.table import Table

_BAR = 16
_MOST_ROWS = 500
"""Nobody reads more of a table on a terminal, and drawing it takes a millisecond a row."""


def answer_text(answer: Answer, terminal: Terminal = MAIL) -> str:
    """Words, tables, notes, and the line from which the same can be made again."""
    tables = (part for table in answer.tables for part in table_parts(table, terminal))
    return text_of([*answer.words, *tables, "", *answer.notes], terminal)


def table_parts(table: AnswerTable, terminal: Terminal = MAIL) -> Iterator[Table | str]:
    """A table below its title: in as many blocks as its columns need, or some of them left out."""
    yield heading(table.title)
    shown = table.rows[:_MOST_ROWS]
    columns: list[Column] = []
    rows: list[list[str]] = [[] for _ in shown]
    for n, column in enumerate(table.columns):
        columns.append(column)
        for row, cells in zip(rows, shown, strict=True):
            row.append(column.text(cells[n]))
        if column.bar:
            columns.append(BAR)
            for row, cells in zip(rows, shown, strict=True):
                row.append(_bar(cells[n]))
    yield from grid(columns, rows, terminal)
    if len(table.rows) > _MOST_ROWS:
        more = len(table.rows) - _MOST_ROWS
        yield f"({more:,} more rows; --csv FOLDER and --json FILE hold all of them)"
    if any(isinstance(cell, Figure) and cell.unsure for row in shown for cell in row):
        yield "(~: the interval spans 0, so no difference is shown)"


def _bar(cell: Cell) -> str:
    return "#" * round(_BAR * cell / 100) if isinstance(cell, int | float) else ""
