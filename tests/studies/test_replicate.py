"""Replications: intervals, and results that depend on the seed alone."""

import pytest

import linesim
from linesim.scenario import check_mapping
from linesim.statistics import student_interval
from linesim.studies import figures_of, replicate, run_spec
from linesim.studies.runner import StoppedError

LINE = check_mapping(
    {
        "unwind": {"change_together_below_m": 0},
        "stop": [
            {
                "cause": "wrapper jam",
                "every_reams": {"law": "exponential", "mean": 150},
                "restore_min": 2,
            }
        ],
    }
)


def test_measures_are_student_intervals_over_the_runs():
    result = replicate(LINE, replications=4, hours=0.4)
    values = [run.measures["oee"] for run in result.runs]
    assert len(set(values)) == 4
    expected = student_interval(values)
    assert result.measure("oee").mean == expected.mean
    assert result.measure("oee").half_width == expected.half_width
    assert [run.replication for run in result.runs] == [0, 1, 2, 3]


def test_more_replications_leave_the_first_ones_as_they_were():
    few = replicate(LINE, replications=2, hours=0.3)
    many = replicate(LINE, replications=3, hours=0.3)
    assert many.runs[:2] == few.runs


def test_oee_is_the_product_and_agrees_with_the_output():
    # New: a ream spoiled before counting began and saved after it would be in the output alone.
    new = LINE.varied(start={"state": "new"})
    (run,) = replicate(new, replications=1, hours=0.5, warm_up_h=0.1).runs
    m = run.measures
    assert m["oee"] == pytest.approx(m["availability"] * m["performance"] * m["quality"])
    rated = run.effectiveness["line"]["rated_reams_per_min"]
    assert m["oee"] == pytest.approx(m["good_reams_per_hour"] / 60 / rated)


def test_the_wrapper_that_always_stands_holds_the_line():
    slow = LINE.varied(wrapper=[{"name": "wrapper", "rate_reams_per_min": 15}])
    result = replicate(slow, replications=2, hours=0.5)
    assert result.constraint_by_pattern() == "wrappers"
    assert result.constraint_by_net_rate().station == "wrappers"


def test_the_sheeter_that_others_wait_for_holds_the_line():
    slow = LINE.varied(cutter={"web_speed_m_per_min": 60})
    result = replicate(slow, replications=2, hours=0.5)
    assert result.constraint_by_pattern() == "sheeter"


def test_the_transfer_that_cannot_keep_up_holds_the_line():
    slow = LINE.varied(transfer={"carry_s": 20, "return_s": 20})
    result = replicate(slow, replications=2, hours=0.5)
    assert result.constraint_by_pattern() == "transfer"


def test_a_run_that_fails_in_the_wake_of_an_interrupt_is_an_interrupt(monkeypatch):
    calls = []
    real = run_spec.simulate

    def cut_off(*args, **kwargs):
        calls.append(1)
        if len(calls) < 3:
            return real(*args, **kwargs)
        try:
            raise KeyboardInterrupt
        finally:
            raise AssertionError("half done")

    monkeypatch.setattr(run_spec, "simulate", cut_off)
    result = replicate(LINE, replications=5, hours=0.1)
    assert result.interrupted
    assert len(result.runs) == 2


def test_it_is_stopped_in_the_middle_of_a_run(monkeypatch):
    monkeypatch.setattr("linesim.studies.runner._POLL_S", 0.0)
    monkeypatch.setattr("linesim.studies.executors._HOURS_WORTH_ASKING", 1.0)
    said = []

    def stop():
        return bool(said) and said[-1].done == 1 and said[-1].under_way > 0

    long = replicate(LINE, replications=2, hours=1, progress=said.append, stop=stop)
    assert (long.interrupted, len(long.runs), long.asked) == (True, 1, 2)
    parts = [each.part for each in said]
    assert parts == sorted(parts)
    assert 0.5 < parts[-1] < 1


def test_a_run_that_is_over_at_once_is_not_asked_how_far_it_is(monkeypatch):
    monkeypatch.setattr("linesim.studies.runner._POLL_S", 0.0)
    monkeypatch.setattr("linesim.studies.executors.is_quick", lambda: True)
    said = []
    replicate(LINE, replications=2, hours=0.1, progress=said.append)
    assert {each.under_way for each in said} == {0.0}


def test_stopped_before_a_run_is_complete_nothing_is_said():
    with pytest.raises(StoppedError):
        replicate(LINE, replications=2, hours=0.1, stop=lambda: True)


def test_what_is_read_back_is_what_the_record_says():
    (run,) = replicate(LINE, replications=1, hours=0.5, check=True).runs
    record = linesim.simulate(LINE, hours=0.5)
    assert run == figures_of(record, check=True)
    assert list(run.losses_h) == list(figures_of(record).losses_h)


@pytest.mark.parametrize("bad", [{"replications": 0}, {"processes": 0}, {"hours": 0}])
def test_impossible_wishes_are_refused(bad):
    with pytest.raises(ValueError, match="0"):
        replicate(LINE, **bad)
