"""One hidden plant: its log is fitted, and the answer's two parts are held against the truth."""

from __future__ import annotations

from linesim.statistics import student_interval
from tests.trust import plant_trial
from tests.trust.plant_trial import FIGURES, try_plant


def test_an_answer_from_a_log_holds_what_the_plant_does(monkeypatch) -> None:
    monkeypatch.setattr(plant_trial, "RESAMPLES", 20)
    trial = try_plant("small-crew", 2, 0, truth_weeks=6, runs=6)
    assert trial.written > 5
    for figure in FIGURES:
        said, truth = trial.said(figure), student_interval(trial.truth[figure])
        assert said.doubt > 0
        assert abs(said.mean - truth.mean) <= said.both + truth.half_width
