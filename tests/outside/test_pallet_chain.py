"""Transfer, wrapper and palletiser, with cartons of two between them, against a Markov chain.

Transfer and wrapper take exponential times of mean 1 for a ream, the palletiser of mean 2 for a
carton; the packer takes none, and holds a carton for which the belt has no room.
"""

from __future__ import annotations

from itertools import count
from typing import Any, NamedTuple

import numpy as np
import pytest

from linesim.fast import simulate

MEAN_S = 20.0
IN_CARTON = 2
FAST = 1e6
BRIDGE = 1


class Now(NamedTuple):
    """Stations wait (0), work (1) or are blocked (2)."""

    transfer: int = 1
    bridge: int = 0
    wrapper: int = 0
    reams: int = 0
    """That wait before the packer."""
    held: int = 0
    """Cartons for which the belt has no room."""
    belt: int = 0
    palletiser: int = 0


def settled(now: Now, conveyor: int, places: int) -> Now:
    """All that takes no time is done."""
    while True:
        then = now
        if then.palletiser == 0 and then.belt:
            then = then._replace(palletiser=1, belt=then.belt - 1)
        elif then.held and then.palletiser == 0:
            then = then._replace(palletiser=1, held=0)
        elif then.held and then.belt < places:
            then = then._replace(belt=then.belt + 1, held=0)
        elif not then.held and then.reams >= IN_CARTON:
            then = then._replace(held=1, reams=then.reams - IN_CARTON)
        elif then.wrapper == 2 and then.reams < conveyor + IN_CARTON:
            then = then._replace(wrapper=0, reams=then.reams + 1)
        elif then.wrapper == 0 and then.bridge:
            then = then._replace(wrapper=1, bridge=then.bridge - 1)
        elif then.transfer == 2 and then.bridge < BRIDGE:
            then = then._replace(transfer=1, bridge=then.bridge + 1)
        if then == now:
            return now
        now = then


def reams_per_mean_time(conveyor: int, places: int) -> float:
    """Throughput, from the shares of time of all states that are met."""
    numbers = count()
    first = settled(Now(), conveyor, places)
    found, ahead, moves = {first: next(numbers)}, [first], []
    while ahead:
        now = ahead.pop()
        ends = [(1.0, now._replace(transfer=2))] * (now.transfer == 1)
        ends += [(1.0, now._replace(wrapper=2))] * (now.wrapper == 1)
        ends += [(1 / IN_CARTON, now._replace(palletiser=0))] * (now.palletiser == 1)
        for rate, end in ends:
            then = settled(end, conveyor, places)
            if then not in found:
                found[then] = next(numbers)
                ahead.append(then)
            moves.append((rate, found[now], found[then]))
    rates = np.zeros((len(found) + 1, len(found)))
    for rate, begin, end in moves:
        rates[end, begin] += rate
        rates[begin, begin] -= rate
    rates[-1] = 1
    shares = np.linalg.lstsq(rates, np.eye(len(found) + 1)[-1], rcond=None)[0]
    return float(sum(shares[n] for now, n in found.items() if now.wrapper == 1))


def exponential(mean: float) -> dict[str, Any]:
    return {"law": "exponential", "mean": mean}


@pytest.mark.parametrize(("conveyor", "belt"), [(0, 0), (1, 0), (3, 1)])
def test_cartons_between_three_stations(
    conveyor: int, belt: int, line: Any, estimated: Any
) -> None:
    scenario = line(
        overlap_belt={"hold_cuts": 100_000},
        transfer={"carry_s": exponential(MEAN_S)},
        bridge={"places": BRIDGE},
        wrapper=[{"wrap_s": exponential(MEAN_S)}],
        carton_packer={
            "reams_per_carton": IN_CARTON,
            "rate_cartons_per_min": FAST,
            "conveyor_reams": conveyor,
        },
        palletiser={"rate_cartons_per_min": FAST, "belt_cartons": belt, "change_s": 0},
        stop=[
            {
                "cause": "work",
                "station": "palletiser",
                "people": 0,
                "every_reams": IN_CARTON,
                "restore_min": exponential(IN_CARTON * MEAN_S / 60),
            }
        ],
    )
    rates = []
    for run in range(20):
        record = simulate(scenario, seed=11, replication=run, hours=36, warm_up_h=1, history=False)
        assert record.books.faults() == []
        rates.append(record.books.reams.wrapped * MEAN_S / record.hours / 3600)
    estimated(rates).must_be(reams_per_mean_time(conveyor, belt))
