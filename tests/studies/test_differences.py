"""What a paired difference shows, and what it does not."""

from types import SimpleNamespace
from typing import Any

import pytest

from linesim.report.answers.answer import verdict
from linesim.statistics import Crossing, half_width_text, student_interval
from linesim.studies.differences import beyond_runs, difference, jackknifed, runs_to_tell


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


def of_two_parts(luck: float, doubt: float, mean: float) -> Any:
    """Crossed runs whose difference has these parts, the same in every square."""
    squares = [mean + doubt + luck, mean - doubt + luck, mean + doubt - luck, mean - doubt - luck]
    return difference(squares * 4, [0.0] * 16, crossed=Crossing())


def test_where_what_is_not_known_reaches_too_far_no_more_runs_are_asked_for() -> None:
    found = of_two_parts(luck=0.1, doubt=10.0, mean=5.0)
    assert found.more_runs is None
    doubt = half_width_text(found.interval.doubt)
    assert verdict(found, "reams").endswith(
        f"more runs will not show it: what is not known is ± {doubt}"
    )
    assert beyond_runs(found.interval)
    assert not beyond_runs(found.interval, bar=100.0)


def test_where_luck_alone_hides_it_runs_are_asked_for_two_for_each_luck() -> None:
    found = of_two_parts(luck=10.0, doubt=0.1, mean=3.0)
    assert not beyond_runs(found.interval)
    lucks = runs_to_tell(found.interval, 0.0)
    assert lucks is not None
    assert found.more_runs == 2 * lucks
    assert "more runs would show" in verdict(found, "reams")


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
