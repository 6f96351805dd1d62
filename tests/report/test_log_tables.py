"""Rows of a log in tables: each with its reason, stretches that nobody asked for in one."""

from __future__ import annotations

from linesim.plant.stop_log import NOT_ASKED_FOR, LeftOut, StopLog
from linesim.report.answers.log_tables import row_tables


def test_stretches_that_nobody_asked_for_are_one_row_and_every_other_is_listed() -> None:
    lines = [(2, NOT_ASKED_FOR), (3, NOT_ASKED_FOR), (4, NOT_ASKED_FOR), (5, "no cause")]
    lines += [(6, NOT_ASKED_FOR), (8, NOT_ASKED_FOR), (9, "no cause"), (10, "no cause")]
    left = tuple(LeftOut(line, reason, f"row {line}") for line, reason in lines)
    (table,) = row_tables(StopLog("log", "", {}, len(left), (), left, (), ()))
    assert [row[:2] for row in table.rows] == [
        ("2 to 4", f"{NOT_ASKED_FOR}: 3 rows"),
        (5, "no cause"),
        (6, NOT_ASKED_FOR),
        (8, NOT_ASKED_FOR),
        (9, "no cause"),
        (10, "no cause"),
    ]
    assert [table.rows[row][2:] for row in (0, 1)] == [
        ("", "row 2 …"),
        ("why the line stood", "row 5"),
    ]


def test_a_line_of_a_file_is_no_count() -> None:
    (table,) = row_tables(StopLog("log", "", {}, 1, (), (LeftOut(1240, "no cause", ""),), (), ()))
    assert table.columns[0].text(table.rows[0][0]) == "1240"
