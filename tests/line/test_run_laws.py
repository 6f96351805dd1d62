"""What must hold on every line, whatever it is and whatever happens to it."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from linesim.fast import simulate
from linesim.record import History, Record, State
from linesim.record.audit import audit
from tests.line.any_line import any_forced, any_packed, any_scenario
from tests.line.calm_line import calm, stop

LINES = st.integers(0, 10**6)
SEEDS = st.integers(0, 1000)
HOURS = 1.5


def run(number: int, **how: object) -> Record:
    scenario = any_scenario(number)
    given_so = {"seed": number, "hours": HOURS, "forced": any_forced(number, scenario)}
    return simulate(scenario, **(given_so | how))  # type: ignore[arg-type]


def differences(one: Record, other: Record) -> list[str]:
    """Names of everything but the history in which two records differ."""
    names = [field.name for field in dataclasses.fields(Record) if field.name != "history"]
    return [name for name in names if getattr(one, name) != getattr(other, name)]


def columns(history: History) -> dict[str, np.ndarray]:
    found = {f"spans.{key}": value for key, value in vars(history.spans).items()}
    return found | {key: value for key, value in vars(history).items() if key != "spans"}


@settings(max_examples=30)
@given(number=LINES, warm_up=st.sampled_from([0, 0.4]))
def test_books_balance_and_time_adds_up(number: int, warm_up: float) -> None:
    record = run(number, warm_up_h=warm_up)
    length = record.end_ns - record.start_ns
    assert record.books.faults() == []
    for book in (record.books.paper, record.books.sheets, record.books.reams):
        for name, value in vars(book).items():
            figures = value.values() if isinstance(value, dict) else [value]
            assert all(figure >= 0 for figure in figures), name
    for station in range(len(record.stations)):
        assert sum(ns for key, ns in record.sums.items() if key[0] == station) == length
        assert sum(record.losses[station]) == length
    assert all(ns > 0 for ns in record.sums.values())
    assert record.books.reams.wrapped <= sum(record.wrapped_by)


@settings(max_examples=25)
@given(number=LINES, warm_up=st.sampled_from([0, 0.4]))
def test_reams_balance_to_the_pallet(number: int, warm_up: float) -> None:
    line = any_packed(number)
    record = simulate(line, seed=number, hours=HOURS, warm_up_h=warm_up)
    assert [fault for check in audit(record) for fault in check.faults] == []
    book = record.books.cartons
    assert book is not None
    assert all(figure >= 0 for figure in vars(book).values())
    out = dict(zip(line.end_of_line, record.taken_out, strict=True))
    packers = line.end_places["carton_packer"]
    packed = sum(out[name] for name in packers)
    assert book.cartons * line.end_of_line[packers[0]].reams == packed


@settings(max_examples=20)
@given(number=LINES)
def test_spans_follow_each_other_without_gap_and_agree_with_the_sums(number: int) -> None:
    record = run(number)
    assert record.history is not None
    sums: dict[tuple[int, ...], int] = {}
    for station in range(len(record.stations)):
        rows = record.history.spans.of(station)
        assert rows.start_ns[0] == record.start_ns
        assert rows.end_ns[-1] == record.end_ns
        assert np.array_equal(rows.start_ns[1:], rows.end_ns[:-1])
        assert (rows.end_ns > rows.start_ns).all()
        for i in range(len(rows.start_ns)):
            key = (
                station,
                int(rows.state[i]),
                int(rows.cause[i]),
                int(rows.root_station[i]),
                int(rows.root_cause[i]),
            )
            sums[key] = sums.get(key, 0) + int(rows.end_ns[i] - rows.start_ns[i])
    # A stretch at a neighbour's pace is one span; the sums tell its work from its waits.
    for key in [key for key in sums if key[1] == State.SLOWED and key[3] >= 0]:
        ns, station = sums.pop(key), key[0]
        waits, runs = (station, int(State.STARVED), *key[2:]), (station, 0, 0, -1, -1)
        waited = record.sums[waits] - sums.get(waits, 0)
        assert 0 < waited < ns
        sums[waits] = sums.get(waits, 0) + waited
        sums[runs] = sums.get(runs, 0) + ns - waited
    assert sums == record.sums


@settings(max_examples=20)
@given(number=LINES)
def test_an_outfeed_runs_as_long_as_it_works(number: int) -> None:
    record = run(number)
    outfeed = record.scenario.outfeed
    if outfeed is None:
        return
    cycle = round(60e9 / outfeed.rate_reams_per_min)
    runs = record.sums.get((record.station("outfeed"), State.RUNNING, 0, -1, -1), 0)
    [taken_out] = record.taken_out
    assert 0 <= runs - taken_out * cycle < cycle


@settings(max_examples=20)
@given(number=LINES)
def test_the_bridge_holds_between_nothing_and_what_fits(number: int) -> None:
    record = run(number)
    assert record.history is not None
    _, level = record.history.bridge_level()
    if len(level):
        assert level.min() >= 0
        assert level.max() <= record.scenario.bridge_places


@settings(max_examples=15)
@given(number=LINES, buckets=st.sampled_from([1, 7, 24]))
def test_summary_and_slices_give_the_same_run(number: int, buckets: int) -> None:
    whole = run(number, buckets=buckets)
    assert differences(whole, run(number, buckets=buckets, history=False)) == []
    sliced = run(number, buckets=buckets, progress=lambda part: True)
    assert differences(whole, sliced) == []
    assert whole.history is not None
    assert sliced.history is not None
    for name, column in columns(whole.history).items():
        assert np.array_equal(column, columns(sliced.history)[name]), name
    assert sum(whole.good_per_bucket) == whole.books.reams.good


@settings(max_examples=12)
@given(number=LINES)
def test_the_same_seed_gives_the_same_record(number: int) -> None:
    one, other = run(number), run(number)
    assert differences(one, other) == []
    assert one.history is not None
    assert other.history is not None
    for name, column in columns(one.history).items():
        assert np.array_equal(column, columns(other.history)[name]), name


@settings(max_examples=12)
@given(number=LINES)
def test_a_run_that_is_ended_early_is_the_beginning_of_the_whole(number: int) -> None:
    whole, part = run(number), run(number, progress=lambda done: done < 0.5)
    assert part.end_ns == whole.start_ns + (whole.end_ns - whole.start_ns) // 2
    assert part.books.faults() == []
    assert part.history is not None
    assert whole.history is not None
    for station in range(len(whole.stations)):
        rows, all_rows = part.history.spans.of(station), whole.history.spans.of(station)
        same = len(rows.start_ns) - 1  # the last is cut off
        assert np.array_equal(rows.start_ns[:same], all_rows.start_ns[:same])
        assert np.array_equal(rows.state[:same], all_rows.state[:same])


@settings(max_examples=5)
@given(seed=SEEDS)
def test_more_bridge_never_lowers_output(seed: int) -> None:
    """By the same luck, where restarts cost no cuts and nobody is waited for."""
    causes = [
        stop(
            "wrapper",
            "jam",
            every_reams={"law": "exponential", "mean": 150},
            restore_min={"law": "lognormal", "mean": 2, "sd": 2},
        ),
        stop(
            "cutter",
            "overload",
            every_cuts={"law": "exponential", "mean": 4000},
            restore_min={"law": "exponential", "mean": 1.5},
        ),
    ]
    made = [
        simulate(
            calm(bridge={"places": places}, wrapper=[{"rate_reams_per_min": 36}], stop=causes),
            seed=seed,
            hours=3,
            history=False,
        ).books.reams.wrapped
        for places in (4, 12, 40, 200)
    ]
    assert made == sorted(made)
    assert made[0] < made[-1]


@settings(max_examples=20)
@given(number=LINES)
def test_a_cause_that_never_falls_due_changes_no_line(number: int) -> None:
    scenario = any_scenario(number)
    stops = [cause.model_dump(exclude_unset=True) for cause in scenario.stop]
    never = stop("cutter", "never", every_clock_h=1e6)
    more = scenario.varied(stop=[never, *stops])
    one = simulate(scenario, seed=number, hours=1, history=False)
    other = simulate(more, seed=number, hours=1, history=False)
    assert one.books == other.books
    assert one.losses == other.losses
    assert one.wrapped_by == other.wrapped_by


@pytest.mark.parametrize("number", range(8))
def test_a_waiting_station_names_a_root_and_no_other_does(number: int) -> None:
    record = run(number)
    for _, state, _, root_station, root_cause in record.sums:
        waits = state in (State.STARVED, State.BLOCKED)
        assert waits == (root_station >= 0)
        assert waits == (root_cause >= 0)
