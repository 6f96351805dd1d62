"""Rows below headings as text, on a terminal of any width."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Literal

from linesim.report.answers.cells import Column
from linesim.report.answers.table_layout import CUT, MOST_LINES, broken, layout
from linesim.report.plain import LONGEST_LINE, Terminal

if TYPE_CHECKING:
    from rich.table import Table

BAR = Column("", left=True, rank=9)
"""A bar of letters beside the figure that it draws: the first to go."""


def columns_of(first: str, *others: str) -> list[Column]:
    """Columns of words and then of figures."""
    return [Column(first, left=True), *map(Column, others)]


def grid(
    columns: Sequence[Column], rows: Sequence[Sequence[str]], terminal: Terminal
) -> Iterator[Table | str]:
    """The rows below their headings, without a frame, and below them what is left out."""
    from rich import box
    from rich.table import Table

    heads = [column.heading for column in columns]
    words = [n == 0 or column.left for n, column in enumerate(columns)]
    ranks = [column.rank for column in columns] if terminal.instead else None
    width = LONGEST_LINE if terminal.wide else terminal.width
    found = layout(heads, rows, words, width, ranks)
    lines = MOST_LINES if terminal.instead else None
    cut = False
    for number, block in enumerate(found.blocks):
        if number:
            yield ""
        table = Table(
            box=box.SIMPLE_HEAD,
            pad_edge=False,
            show_edge=False,
            show_header=any(heads),
            header_style="",
            padding=(0, 0, 0, 1),
        )
        for n, each in block:
            justify: Literal["left", "right"] = "left" if words[n] else "right"
            table.add_column(heads[n], justify=justify, overflow="fold", width=each)
        for row in rows:
            cells = [broken(row[n], each, lines) if words[n] else row[n] for n, each in block]
            cut = cut or any(cell.endswith(CUT) for cell in cells)
            table.add_row(*cells)
        yield table
    left_out = [heads[n].strip() for n in found.left_out if heads[n]]
    if left_out:
        yield f"(no room for: {'; '.join(left_out)}. {terminal.instead})"
    if cut:
        yield f"({CUT}: the text is longer. {terminal.instead})"
