"""People walk to a job from where their last one was."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.record import State
from tests.line.calm_line import calm, seconds_in, spans_of, stop

WAITS, DOWN = State.WAITING_PEOPLE, State.DOWN
TWO_WRAPPERS = [
    {"name": "a", "rate_reams_per_min": 60},
    {"name": "b", "rate_reams_per_min": 60},
]
WAYS = [{"name": "a", "at_m": 30}, {"name": "b", "at_m": 90}]


def stands(record, station: str) -> list[tuple[float, float, State]]:
    """Start and end in minutes, and state, of the station's spans in which it waits or is down."""
    return [
        (round(start / 60, 6), round(end / 60, 6), state)
        for start, end, state, _, _ in spans_of(record, station)
        if state in (WAITS, DOWN)
    ]


def test_the_way_is_waiting_for_people() -> None:
    """At 0.5 m/s from 0 m to a at 30 m takes 1 min. Mended there at 9 min, they go on to b at 90 m:
    60 m, 2 min. Back at a after that: 2 min again."""
    line = calm(
        crew={"size": 1, "walk_m_per_s": 0.5},
        station_place=WAYS,
        wrapper=TWO_WRAPPERS,
        stop=[
            stop("a", every_clock_h=0.1, restore_min=2, people=1),
            stop("b", every_clock_h=1 / 6, restore_min=1, people=1),
        ],
    )
    record = simulate(line, hours=0.3)
    assert stands(record, "a") == [(6, 7, WAITS), (7, 9, DOWN), (15, 17, WAITS), (17, 18, DOWN)]
    assert stands(record, "b") == [(10, 12, WAITS), (12, 13, DOWN)]


def test_the_nearest_goes() -> None:
    """One is at a, one at b since their first jobs: each next stop is mended at once."""
    line = calm(
        crew={"size": 2, "walk_m_per_s": 0.5},
        station_place=WAYS,
        wrapper=TWO_WRAPPERS,
        stop=[
            stop("a", every_clock_h=0.1, restore_min=4, people=1),
            stop("b", every_clock_h=0.15, restore_min=2, people=1),
        ],
    )
    record = simulate(line, hours=0.38)
    # b at 9 min: who is free comes from 0 m, 90 m are 3 min. a again at 17 min, b at 23 - past it.
    assert stands(record, "a") == [(6, 7, WAITS), (7, 11, DOWN), (17, 21, DOWN)]
    assert stands(record, "b") == [(9, 12, WAITS), (12, 14, DOWN)]


def test_a_job_for_two_begins_when_the_last_is_there() -> None:
    """One was at b (90 m), the other at 0 m: a at 30 m waits for 60 m, 2 min."""
    line = calm(
        crew={"size": 2, "walk_m_per_s": 0.5},
        station_place=WAYS,
        wrapper=TWO_WRAPPERS,
        stop=[
            stop("a", every_clock_h=0.2, restore_min=4, people=2),
            stop("b", every_clock_h=0.1, restore_min=2, people=1),
        ],
    )
    record = simulate(line, hours=0.31)
    assert stands(record, "b") == [(6, 9, WAITS), (9, 11, DOWN), (17, 18.6, WAITS)]
    assert stands(record, "a") == [(12, 14, WAITS), (14, 18, DOWN)]


def test_who_is_called_off_on_the_way_goes_on_from_there() -> None:
    """Of a way of 30 m they have gone 15 when the day is over; the rest takes 30 s next morning."""
    line = calm(
        line={"shift_hours": 1},
        calendar={"shifts_per_day": 2},
        crew={"size": 1, "walk_m_per_s": 0.5},
        station_place=WAYS,
        wrapper=TWO_WRAPPERS,
        stop=[stop("a", every_clock_h=119.5 / 60, restore_min=2, people=1)],
    )
    record = simulate(line, hours=24.1)
    day = 24 * 60
    assert stands(record, "a")[0] == (119.5, 120, WAITS)
    assert stands(record, "a")[-2:] == [(day, day + 0.5, WAITS), (day + 0.5, day + 2.5, DOWN)]


@pytest.mark.parametrize("metres", [0, 60, 600])
def test_one_machine_and_one_person(metres: float) -> None:
    """A machine that runs for 50 min and is mended in 5: available 50 in 50 + way + 5, where
    somebody comes back from the other one each time. At 1 m/s the way to the other is ``metres``.

    Mended within its cycle, the other calls them away once in each: a runs from t to t + 50, b is
    mended for 5 min 20 min later, and both have the same way each time.
    """
    line = calm(
        crew={"size": 1, "walk_m_per_s": 1},
        station_place=[{"name": "a", "at_m": 0}, {"name": "b", "at_m": metres}],
        wrapper=TWO_WRAPPERS,
        stop=[
            stop("a", every_clock_h=50 / 60, restore_min=5, people=1),
            stop("b", every_clock_h=50 / 60, restore_min=5, people=1, since_last=0.5),
        ],
    )
    way, cycles = metres / 60, 20
    cycle = 50 + way + 5
    record = simulate(line, hours=(cycles * cycle) / 60)
    stood = sum(seconds_in(record, "a", state) for state in (WAITS, DOWN)) / 60
    assert 1 - stood / (cycles * cycle) == pytest.approx(50 / cycle, rel=1e-9)
