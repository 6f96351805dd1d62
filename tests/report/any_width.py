"""An answer on any terminal: figures whole, texts on few lines, what is gone is named."""

from __future__ import annotations

from textwrap import wrap

from linesim.report.answers import Answer, AnswerTable, answer_text
from linesim.report.answers.grid import CUT, MOST_LINES
from linesim.report.answers.printing import table_parts
from linesim.report.plain import MAIL, Terminal, text_of

WIDTHS = (60, 80, 100, 160)
INSTEAD = "--wide shows all."


def assert_fits(answer: Answer) -> None:
    for width in WIDTHS:
        terminal = Terminal(width, instead=INSTEAD)
        text = answer_text(answer, terminal)
        assert max(map(len, text.splitlines())) <= width, text
        for table in answer.tables:
            _few_lines_and_whole_figures(table, terminal)
    for table in answer.tables:
        # In a mail nothing is left out, and no text cut.
        _few_lines_and_whole_figures(table, MAIL)
        one_line_each = text_of(table_parts(table, Terminal(60, wide=True))).splitlines()
        rows = [" ".join(" ".join(table.texts(row)).split()) for row in table.rows]
        said = [" ".join(line.replace("#", "").split()) for line in one_line_each]
        if not any(column.bar for column in table.columns):
            assert [row for row in rows if row not in said] == []


def _few_lines_and_whole_figures(table: AnswerTable, terminal: Terminal) -> None:
    parts = list(table_parts(table, terminal))
    notes = "\n".join(part for part in parts if isinstance(part, str))
    heads = [column.heading for column in table.columns]
    shown: dict[str, list[str]] = {}
    for part in parts:
        if not isinstance(part, str):
            for column in part.columns:
                cells = [str(cell) for cell in column.cells]
                shown[str(column.header)] = cells
                assert column.width is not None
                assert len(wrap(str(column.header), column.width)) <= MOST_LINES
                if terminal.instead:
                    assert all(cell.count("\n") < MOST_LINES for cell in cells), cells
    assert heads[0] in shown
    for n, (head, column) in enumerate(zip(heads, table.columns, strict=True)):
        if head not in shown:
            assert column.rank
            assert head in notes
            assert INSTEAD in notes
            continue
        for row, cell in zip(table.rows, shown[head], strict=False):
            whole = column.text(row[n])
            if n and not column.left:
                assert cell == whole
            elif cell.endswith(CUT):
                assert f"({CUT}: " in notes
            else:
                assert "".join(cell.split()) == "".join(whole.split())
