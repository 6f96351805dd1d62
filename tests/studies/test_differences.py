"""What a paired difference shows, and what it does not."""

from types import SimpleNamespace
from typing import Any

import pytest

from linesim.report.answers.answer import verdict
from linesim.statistics import student_interval
from linesim.studies.differences import difference, jackknifed


def test_a_difference_that_every_pair_has_is_shown() -> None:
    found = difference([110, 121, 133, 141], [100, 110, 120, 130])
    assert found.shown
    assert found.more_runs == 0
    assert "more" in verdict(found, "reams")


def test_no_conclusion_where_the_interval_spans_nothing() -> None:
    found = difference([101, 118, 120, 131], [100, 120, 118, 130])
    assert not found.shown
    assert found.more_runs is not None
    assert found.more_runs > 0
    words = verdict(found, "reams", of="it")
    assert words.startswith("no difference shown for it")
    assert f"{found.more_runs:,} more runs would show" in words


def test_the_runs_asked_for_would_be_enough_about_four_times_in_five() -> None:
    from random import Random

    luck = Random(1)
    shown = tried = 0
    for _ in range(300):
        deltas = [luck.gauss(1.0, 2.0) for _ in range(34)]
        tried += 1
        shown += difference(deltas, [0.0] * 34).shown
    assert 0.7 < shown / tried < 0.9  # 34 runs: power 0.8 for half a standard deviation


def test_the_same_line_twice_changes_nothing() -> None:
    found = difference([100, 110, 120], [100, 110, 120])
    assert not found.shown
    assert verdict(found, "reams") == "it changes nothing: every run gave the same"
    assert verdict(found, "reams", of="") == "no change: every run gave the same"


def test_a_jackknifed_mean_is_the_students_interval() -> None:
    values = [3.0, 5.0, 4.0, 9.0, 1.0]
    stated: Any = [SimpleNamespace(plant=0)] * 5
    found = jackknifed(stated, lambda which: sum(values[n] for n in which) / len(which))
    student = student_interval(values)
    assert found.mean == pytest.approx(student.mean)
    assert found.half_width == pytest.approx(student.half_width)
