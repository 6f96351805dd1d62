"""Three and four stations, unequal speeds and restart levels: on the line's own parts."""

from __future__ import annotations

from itertools import count
from typing import Any

import numpy as np
import pytest

import linesim
from linesim.record import Record, State
from tests.theory import formulas as theory
from tests.theory.formulas import UnreliableStation

MEAN_S = 20.0
FAST = 1e6
"""Reams a minute of a station whose whole time for a ream is its stop after each."""


def exponential(mean: float) -> dict[str, Any]:
    return {"law": "exponential", "mean": mean}


def after_each_ream(station: str) -> dict[str, Any]:
    return {
        "cause": f"work of {station}",
        "station": station,
        "people": 0,
        "every_reams": 1,
        "restore_min": exponential(MEAN_S / 60),
    }


def runs_of(scenario: Any, *, runs: int, hours: float, warm_up_h: float, seed: int) -> list[Record]:
    return [
        linesim.fast.simulate(
            scenario, seed=seed, replication=n, hours=hours, warm_up_h=warm_up_h, history=False
        )
        for n in range(runs)
    ]


def exponential_line(places: tuple[int, ...], means: tuple[float, ...] = ()) -> float:
    """Throughput of stations in a row by their Markov chain, blocked after the work.

    The first is never starved. Station i waits (0), works (1) or is blocked (2); ``places[i]``
    pieces fit between it and the next. Its work is of mean 1, or ``means[i]``.
    """
    pace = [1 / mean for mean in means or [1.0] * (len(places) + 1)]

    def settled(does: list[int], held: list[int]) -> tuple[tuple[int, ...], tuple[int, ...]]:
        for at in [*range(len(does))[::-1]] * len(does):
            if does[at]:
                continue
            if at == 0:
                does[0] = 1
            elif held[at - 1]:
                does[at] = 1
                held[at - 1] -= does[at - 1] != 2
                does[at - 1] %= 2
            elif does[at - 1] == 2:
                does[at - 1], does[at] = 0, 1
        return tuple(does), tuple(held)

    def finished(state: Any, at: int) -> Any:
        does, held = list(state[0]), list(state[1])
        does[at] = 0
        if at + 1 < len(does):
            if does[at + 1] == 0:
                does[at + 1] = 1
            elif held[at] < places[at]:
                held[at] += 1
            else:
                does[at] = 2
        return settled(does, held)

    numbers = count()
    first = settled([0] * (len(places) + 1), [0] * len(places))
    found, ahead, moves = {first: next(numbers)}, [first], []
    while ahead:
        state = ahead.pop()
        for at, does in enumerate(state[0]):
            if does == 1:
                then = finished(state, at)
                if then not in found:
                    found[then] = next(numbers)
                    ahead.append(then)
                moves.append((found[state], found[then], pace[at]))
    rates = np.zeros((len(found) + 1, len(found)))
    for begin, end, often in moves:
        rates[end, begin] += often
        rates[begin, begin] -= often
    rates[-1] = 1
    shares = np.linalg.lstsq(rates, np.eye(len(found) + 1)[-1], rcond=None)[0]
    return float(pace[-1] * sum(shares[n] for state, n in found.items() if state[0][-1] == 1))


@pytest.mark.parametrize(
    ("places", "published"),
    [((0, 0), 22 / 39), ((1, 1), 0.6705), ((0, 0, 0), 0.5148), ((1, 1, 1), 0.6312)],
)
def test_the_chain_gives_what_hunt_published(places: tuple[int, ...], published: float) -> None:
    """G. C. Hunt, *Sequential arrays of waiting lines*, Operations Research 4, 1956 (memory)."""
    assert exponential_line(places) == pytest.approx(published, abs=5e-5)


@pytest.mark.parametrize("behind", [0, 1])
@pytest.mark.parametrize("before", [None, 0, 1])
def test_stations_in_a_row(before: int | None, behind: int, line: Any, estimated: Any) -> None:
    """Cutter, transfer, wrapper and outfeed, or without the cutter: Hunt's lines on this one.

    One place on the bridge; before the transfer the pockets and the overlap belt, before the
    outfeed its buffer. The cutter works on while a full set waits in the pockets: so they are a
    place. What finds neither room there nor on the belt blocks it.
    """
    stops = [after_each_ream("outfeed")]
    if before is not None:
        # Its work on the next piece begins with the cut that makes the last one.
        work = after_each_ream("cutter")
        stops.append(work | {"every_cuts": work.pop("every_reams")})
    scenario = line(
        overlap_belt={"hold_cuts": 100_000 if before is None else before},
        transfer={"carry_s": exponential(MEAN_S)},
        bridge={"places": 1},
        wrapper=[{"wrap_s": exponential(MEAN_S)}],
        outfeed={"rate_reams_per_min": FAST, "buffer_reams": behind},
        stop=stops,
    )
    records = runs_of(scenario, runs=20, hours=36, warm_up_h=1, seed=7)
    rates = [record.books.reams.wrapped * MEAN_S / record.hours / 3600 for record in records]
    places = (1, behind) if before is None else (before + 1, 1, behind)
    estimated(rates).must_be(exponential_line(places))


FIRST = UnreliableStation(speed=1.2, mean_time_to_failure=900, mean_time_to_repair=180)
SECOND = UnreliableStation(speed=1.0, mean_time_to_failure=1200, mean_time_to_repair=120)


@pytest.mark.parametrize("quick_first", [True, False])
def test_two_stations_of_unequal_speeds_that_fail(
    quick_first: bool, line: Any, estimated: Any
) -> None:
    """The fluid formula of Gershwin (1994) for speeds of 1.2 and 1, whichever comes first."""
    ream_s, places = 10.0, 17
    first, second = (FIRST, SECOND) if quick_first else (SECOND, FIRST)
    truth = theory.two_station_fluid(first, second, (places + 1) * ream_s).throughput
    scenario = line(
        cutter={"web_speed_m_per_min": 0.05 * 60 / ream_s * first.speed},
        bridge={"places": places},
        wrapper=[{"rate_reams_per_min": 60 / ream_s * second.speed}],
        stop=[
            {
                "cause": f"stop of {station}",
                "station": station,
                "people": 0,
                "every_running_h": exponential(figures.mean_time_to_failure / 3600),
                "restore_min": exponential(figures.mean_time_to_repair / 60),
            }
            for station, figures in (("cutter", first), ("wrapper", second))
        ],
    )
    records = runs_of(scenario, runs=12, hours=120, warm_up_h=5, seed=3)
    rates = [record.books.reams.wrapped * ream_s / record.hours / 3600 for record in records]
    estimated(rates).must_be(truth)


def test_a_sheeter_stopped_and_restarted_by_level(line: Any) -> None:
    """A fluid between two levels: 10 reams a minute in, 8 out, stopped at 100, let go at 20.

    80 reams more take 40 minutes, 80 fewer 10: 1.2 starts an hour, and a fifth of the time at rest
    (E. Gebennini, A. Grassi and C. Fantuzzi, 2015, without failures).
    """
    scenario = line(
        cutter={"web_speed_m_per_min": 0.05 * 10},
        bridge={"places": 200, "stop_at_reams": 100, "restart_at_reams": 20},
        wrapper=[{"rate_reams_per_min": 8}],
        gate={"cuts_after_stop": 1},
    )
    (record,) = runs_of(scenario, runs=1, hours=500, warm_up_h=5, seed=1)
    per_start = round(0.05 * 1e6)
    starts = record.books.paper.rejected["after_stop"] / per_start
    # Every start rejects a ream, which the 80 are cut later by: 0.1 minutes of 50.
    cycle_min = 40 + 10 + 0.1
    assert starts / 500 == pytest.approx(60 / cycle_min, rel=0.01)
    rests = record.hours_in(record.station("cutter"), State.BLOCKED) / record.hours
    assert rests == pytest.approx(10 / cycle_min, rel=0.01)
    assert record.books.reams.wrapped / record.hours / 60 == pytest.approx(8, rel=1e-3)
