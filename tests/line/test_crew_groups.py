"""People on some shifts, and people who can do some work only."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.record import State
from tests.line.calm_line import calm, spans_of, stop

WAITS, DOWN = State.WAITING_PEOPLE, State.DOWN
TWO_WRAPPERS = [
    {"name": "a", "rate_reams_per_min": 60},
    {"name": "b", "rate_reams_per_min": 60},
]


def stands(record, station: str, *states: State) -> list[tuple[float, float, State]]:
    """Start and end in minutes, and state, of the station's spans in these states."""
    return [
        (round(start / 60, 6), round(end / 60, 6), state)
        for start, end, state, _, _ in spans_of(record, station)
        if state in states
    ]


def test_a_job_waits_for_who_can_do_it() -> None:
    """The fitter mends a from 6 to 16 min. b stops at 12 min; the helper is free but cannot."""
    line = calm(
        crew={"size": 0},
        crew_group=[
            {"name": "fitter", "can": "wrapper, cutter"},
            {"name": "helper", "number": 2, "can": "rework"},
        ],
        wrapper=TWO_WRAPPERS,
        stop=[
            stop("a", every_clock_h=0.1, restore_min=10, people=1),
            stop("b", every_clock_h=0.2, restore_min=2, people=1),
        ],
    )
    record = simulate(line, hours=0.33)
    assert stands(record, "b", WAITS, DOWN) == [(12, 16, WAITS), (16, 18, DOWN)]


def test_who_can_do_least_goes_first() -> None:
    """The fitter takes a at 6 min, so that whoever can do all is there for b at 9 min."""
    line = calm(
        crew={"size": 1},
        crew_group=[{"name": "fitter", "can": "a"}],
        wrapper=TWO_WRAPPERS,
        stop=[
            stop("a", every_clock_h=0.1, restore_min=10, people=1),
            stop("b", every_clock_h=0.15, restore_min=2, people=1),
        ],
    )
    record = simulate(line, hours=0.25)
    assert stands(record, "b", WAITS, DOWN) == [(9, 11, DOWN)]


def test_a_job_nobody_on_this_shift_can_do_keeps_nobody() -> None:
    """Shifts of one hour, the fitter on the second. a waits from 30 to 60 min; b, behind it, is
    mended at once: a job for the fitter keeps no one who is there."""
    line = calm(
        line={"shift_hours": 1},
        crew={"size": 0},
        crew_group=[
            {"name": "operator", "can": "b"},
            {"name": "fitter", "first_shift": 2, "last_shift": 2},
        ],
        wrapper=TWO_WRAPPERS,
        stop=[
            stop("a", every_clock_h=0.5, restore_min=7, people=1),
            stop("b", every_clock_h=0.6, restore_min=2, people=1),
        ],
    )
    record = simulate(line, hours=1.2)
    assert stands(record, "a", WAITS, DOWN) == [(30, 60, WAITS), (60, 67, DOWN)]
    assert stands(record, "b", WAITS, DOWN)[0] == (36, 38, DOWN)


@pytest.mark.parametrize(
    ("at_shift_end", "b"),
    [
        # Handed over: at 60 min one of the two jobs (that asked for first) is taken up by who is
        # left, until 65 min; the other waits for them.
        ("handed_over", [(57, 60, DOWN), (60, 65, WAITS), (65, 72, DOWN)]),
        # Finished: who goes stays until 67 min.
        ("finished", [(57, 67, DOWN)]),
    ],
)
def test_three_become_two(at_shift_end: str, b: list[tuple[float, float, State]]) -> None:
    """Two by day, one by night; both are at work when one of them goes."""
    line = calm(
        line={"shift_hours": 1},
        crew={"size": 0, "work_at_shift_end": at_shift_end},
        crew_group=[
            {"name": "always", "can": "a, b"},
            {"name": "day", "last_shift": 1, "can": "b"},
        ],
        wrapper=TWO_WRAPPERS,
        stop=[
            stop("a", every_clock_h=0.91666666666666667, restore_min=10, people=1),
            stop("b", every_clock_h=0.95, restore_min=10, people=1),
        ],
    )
    record = simulate(line, hours=1.3)
    assert stands(record, "a", WAITS, DOWN) == [(55, 65, DOWN)]
    assert stands(record, "b", WAITS, DOWN) == b


def test_days_of_the_week_count_from_the_start() -> None:
    """Nobody can mend a on days 2 and 3: what falls due at 30 h waits until 72 h."""
    line = calm(
        crew={"size": 0},
        crew_group=[
            {"name": "first day", "last_day": 1},
            {"name": "others", "number": 2, "first_day": 2, "can": "b"},
            {"name": "from Thursday", "first_day": 4},
        ],
        wrapper=TWO_WRAPPERS,
        stop=[stop("a", every_clock_h=30, restore_min=6, people=1)],
    )
    record = simulate(line, hours=73)
    assert stands(record, "a", WAITS, DOWN) == [(1800, 4320, WAITS), (4320, 4326, DOWN)]


def test_in_the_run_in_the_crew_is_that_of_the_hours_before() -> None:
    """The run-in ends as day 1 begins: its shifts are the last of day 7. With nobody there who
    can, what falls due in it is mended when day 1 begins."""
    line = calm(
        start={"state": "as_found", "run_in_h": 8},
        crew={"size": 0},
        crew_group=[{"name": "fitter", "last_day": 1}],
        wrapper=TWO_WRAPPERS,
        stop=[stop("a", every_clock_h=4, restore_min=6, people=1)],
    )
    record = simulate(line, hours=1)
    assert stands(record, "a", WAITS, DOWN)[0] == (0, 6, DOWN)
