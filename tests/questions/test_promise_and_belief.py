"""Orders and counts asked as questions: watched, kept in a file, answered again from it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from linesim.fast import simulate
from linesim.questions import Question, QuestionError
from linesim.questions.asking import ask
from linesim.questions.from_file import answer_from_file
from linesim.report.answers import Answer, Bars, answer_json
from linesim.studies.runner import Settings
from tests.plant.test_validate import line as plant_line
from tests.report.any_width import assert_fits
from tests.studies.order_lines import calm_orders, lively_orders

SHORT = Settings(replications=3, hours=2, processes=1)


def test_orders_watched_and_from_their_file_are_the_same(tmp_path: Path) -> None:
    """Runs are made longer than the settings say; the file finds its way back all the same."""
    question = Question("plan-orders", {"sequences": "3,1,2; 2,1,3"})
    partials: list[Answer] = []
    kept = tmp_path / "orders.sqlite"
    watched = ask(question, {"": lively_orders()}, SHORT, file=kept, partial=partials.append)
    assert [each.facts["replications"] for each in partials] == [2]
    assert answer_json(watched) == answer_json(ask(question, {"": lively_orders()}, SHORT))
    assert_fits(watched)
    assert answer_json(answer_from_file(kept)[1]) == answer_json(watched)
    sequences = next(table for table in watched.tables if table.name == "sequences")
    assert [row[0] for row in sequences.rows][-2:] == ["as told: 3,1,2", "as told: 2,1,3"]
    assert [chart.name for chart in watched.charts] == ["done", "lateness"]
    done = watched.charts[0]
    assert isinstance(done, Bars)
    assert [bar.label for bar in done.bars] == [order.name for order in lively_orders().order]
    assert [bar.theory for bar in done.bars] == [order.due_h for order in lively_orders().order]


def test_the_notes_say_whether_part_reels_are_taken_again() -> None:
    never, again = (
        " ".join(ask(Question("plan-orders"), {"": calm_orders(changeover=said)}, SHORT).notes)
        for said in ({}, {"part_reels": "taken_again"})
    )
    assert "part reels go back and are not taken again" in never
    assert "not taken again" not in again
    assert "part reels go back, and go on again before fresh ones" in again


def test_what_cannot_be_promised_or_believed_is_said() -> None:
    for study, options, scenario, said in (
        ("plan-orders", {}, plant_line(), "no \\[\\[order\\]\\]"),
        ("plan-orders", {"sequences": "1,1,1"}, calm_orders(), "each number from 1 to 3 once"),
        ("validate", {}, plant_line(), "name the file"),
        ("validate", {"against": "x", "since": "soon"}, plant_line(), "is no date"),
    ):
        with pytest.raises(QuestionError, match=said):
            ask(Question(study, options), {"": scenario}, SHORT)


def test_counts_watched_are_counts_unwatched(tmp_path: Path) -> None:
    record = simulate(plant_line(), seed=5, hours=6, buckets=6, history=False)
    zero = dt.datetime(2026, 3, 2, 6)
    counts = tmp_path / "counts.csv"
    rows = [
        f"{zero + dt.timedelta(hours=n)},{zero + dt.timedelta(hours=n + 1)},{reams}"
        for n, reams in enumerate(record.good_per_bucket)
    ]
    counts.write_text("\n".join(["start,end,good reams", *rows]) + "\n", "utf-8")
    question = Question("validate", {"against": str(counts)})
    partials: list[Answer] = []
    watched = ask(question, {"": plant_line()}, SHORT, partial=partials.append)
    assert answer_json(watched) == answer_json(ask(question, {"": plant_line()}, SHORT))
    assert_fits(watched)
    assert partials[0].words != watched.words
    assert [table.columns[-1].heading for table in watched.tables] == ["verdict", "verdict"]
    (chart,) = watched.charts
    assert isinstance(chart, Bars)
    (bar,) = chart.bars
    assert bar.theory == sum(record.good_per_bucket)
    assert bar.figure is not None
    assert bar.figure.half_width > 0
