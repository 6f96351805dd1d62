"""Good reams over time, the promise and the gap by loss: by hand, and to the nanosecond."""

from __future__ import annotations

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.record import Loss, Record
from linesim.record.effectiveness import line_effectiveness
from linesim.record.outflow import GAP_STEPS, Outflow, outflow
from linesim.scenario import ForcedStop, find_scenario, load, shipped_scenarios
from tests.line.calm_line import SECOND, calm


def at(*seconds: float) -> np.ndarray:
    return np.array([round(second * SECOND) for second in seconds], dtype=np.int64)


def gap(found: Outflow, second: float) -> dict[str, float]:
    return {step: float(reams[0]) for step, reams in found.gap(at(second)).items()}


def knives_stop(minutes: float) -> Record:
    forced = (ForcedStop(station="cutter", at_h=0.1, minutes=minutes),)
    return simulate(calm(), hours=0.3, forced=forced)


def test_the_promise_runs_at_rated_speed_and_the_gap_grows_while_the_knives_stand() -> None:
    found = outflow(knives_stop(6))
    assert (found.station, found.rated_reams_per_min) == ("sheeter", pytest.approx(32))
    assert found.promised(at(0, 60, 360, 720)) == pytest.approx([0, 32, 192, 384])
    # 47 sets are out by 359.5 s. The stop comes just before the 48th is full, and it is full when
    # the knives start again at 720 s: 3 s later it is on the bridge, and a second later wrapped.
    assert list(found.good(at(0, 11.4, 11.5, 359.4, 359.5, 723.9, 724, 727))) == [
        *(0, 0, 1, 187, 188, 188, 189, 192),
    ]
    assert [gap(found, second)[GAP_STEPS[0]] for second in (360, 450, 720, 900)] == pytest.approx(
        [0, 48, 192, 192]
    )
    for second in (30, 360, 450, 720, 1000):
        assert abs(gap(found, second)[GAP_STEPS[3]]) <= 8  # two sets on their way


def test_a_standstill_is_minor_from_its_beginning_when_it_turns_out_short() -> None:
    found = outflow(knives_stop(2))
    assert gap(found, 420)[GAP_STEPS[2]] == pytest.approx(32)
    assert gap(found, 420)[GAP_STEPS[0]] == 0


def test_planned_stops_are_not_promised() -> None:
    rest = [{"start_h": 0.1, "minutes": 5}]
    found = outflow(simulate(calm(break_=rest), hours=0.3))
    assert found.promised(at(360, 500, 660, 720)) == pytest.approx([192, 192, 192, 224])
    assert gap(found, 660)[GAP_STEPS[0]] == 0


def test_spoiled_reams_are_good_only_when_they_have_been_saved() -> None:
    def good(chance: float) -> tuple[Record, Outflow]:
        wrapper = [{"rate_reams_per_min": 60, "spoiled_per_10000": 1000}]
        rework = {"people": 0, "rewrap_min": 2, "good_chance": chance, "places": 100}
        record = simulate(calm(wrapper=wrapper, rework=rework), hours=0.5)
        return record, outflow(record)

    record, found = good(1.0)
    assert record.history is not None
    assert len(record.history.ream_spoiled_ns) > 20
    saved = record.history.ream_saved_ns
    brought = record.history.ream_spoiled_ns[: len(saved)]
    assert np.array_equal(saved - brought, np.full(len(saved), 120 * SECOND))
    assert len(saved) == record.books.reams.reworked > 20
    assert len(found.good_ns) == record.books.reams.good
    first = int(brought[0])
    ended = int((record.history.ream_end_ns <= first).sum())
    assert list(found.good(np.array([first - 1, first]))) == [ended - 1, ended - 1]

    record, found = good(0.0)
    assert record.history is not None
    assert len(record.history.ream_saved_ns) == record.books.reams.reworked == 0
    assert len(found.good_ns) == record.books.reams.wrapped


@pytest.mark.parametrize("name", sorted(shipped_scenarios()))
def test_at_the_end_everything_is_as_in_the_books(name: str) -> None:
    record = simulate(load(find_scenario(name)), hours=5, warm_up_h=1)
    found, end = outflow(record), np.array([record.end_ns])
    assert len(found.good_ns) == record.books.reams.good
    line = line_effectiveness(record)
    assert {loss: int(ns[-1]) for loss, ns in found.lost_ns.items() if loss} == {
        Loss.PLANNED: line.planned_stop_ns,
        Loss.BREAKDOWN: line.breakdown_ns,
        Loss.SET_UP: line.set_up_ns,
        Loss.MINOR: line.minor_ns,
    }
    # Nothing jumps there: what the account says is where the curves were going.
    for ns in found.lost_ns.values():
        steps, times = np.diff(ns), np.diff(found.times_ns)
        assert ((steps >= 0) & (steps <= times + 1)).all()
    moments = np.linspace(record.start_ns, record.end_ns, 500).astype(np.int64)
    missing = found.promised(moments) - found.good(moments)
    assert sum(found.gap(moments).values()) == pytest.approx(missing, abs=1e-6)
    ream_ns = 60e9 / line.rated_reams_per_min
    steps_at_end = line.staircase()
    rest = sum(
        steps_at_end[step]
        for step in (
            "reduced speed",
            "start-up rejects",
            "process rejects",
            "work still on the line",
        )
    )
    assert found.gap(end)[GAP_STEPS[3]][0] == pytest.approx(rest / ream_ns, abs=1e-6)


def test_standstills_without_a_moment_between_them_end_as_the_account_has_them() -> None:
    forced = [ForcedStop(station="cutter", at_h=h, minutes=4) for h in (0.1, 0.1 + 4 / 60)]
    record = simulate(calm(), hours=0.3, forced=forced)
    found, line = outflow(record), line_effectiveness(record)
    assert int(found.lost_ns[Loss.BREAKDOWN][-1]) == line.breakdown_ns
    assert int(found.lost_ns[Loss.MINOR][-1]) == line.minor_ns
    assert line.breakdown_ns + line.minor_ns == 480 * SECOND


def test_a_record_without_history_is_refused() -> None:
    with pytest.raises(ValueError, match="history"):
        outflow(simulate(calm(), hours=0.1, history=False))
