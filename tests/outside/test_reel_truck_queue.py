"""Trucks with exponential times against the queue of spare stands that they serve.

Reels of staggered webs end at even steps of running time, whatever stands. An emptied stand asks
for a reel; the webs stand when a reel ends and no spare stand has one. So what is seen just after
a splice, the number of stands without a reel, is a Markov chain: GI/M/c with room for as many as
there are spare stands, whose source stands while there is no room (D. Gross, J. F. Shortle, J. M.
Thompson and C. M. Harris, *Fundamentals of Queueing Theory*, 2008, chapter 5: the chain embedded at
arrivals). The webs are no machines of an interference model: if one waits, all do.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import linalg

from linesim.fast import simulate
from linesim.record import State
from tests.line.calm_line import REEL_M, SPEED_M_PER_S, calm, seconds_in

WEBS = 5
STEP_S = REEL_M / SPEED_M_PER_S / WEBS
RUNS, HOURS = 12, 300.0


def share_waited(spares: int, trucks: int, reel_s: float) -> float:
    """Share of time in which the webs wait: the chain solved."""
    rates = np.minimum(np.arange(spares + 1), trucks) / reel_s
    brought = linalg.expm(STEP_S * (np.diag(rates[1:], -1) - np.diag(rates)))
    chain = np.zeros((spares, spares))
    for without in range(1, spares + 1):
        for left in range(without + 1):
            # None came to a line without a spare: it waits for one, and empties it at once.
            chain[without - 1, min(left + 1, spares) - 1] += brought[without, left]
    ahead = np.vstack([chain.T - np.eye(spares), np.ones(spares)])
    seen = np.linalg.lstsq(ahead, np.append(np.zeros(spares), 1.0), rcond=None)[0]
    waited = seen[-1] * brought[spares, spares] / rates[spares]
    return float(waited / (STEP_S + waited))


def test_with_one_spare_stand_the_webs_wait_for_what_is_left_of_the_trip() -> None:
    """E[(trip - step)+] = S exp(-T / S) in a cycle, for an exponential trip of mean S."""
    waited = 400 * np.exp(-STEP_S / 400)
    assert share_waited(1, 1, 400.0) == pytest.approx(waited / (STEP_S + waited))


@pytest.mark.parametrize(
    ("spares", "trucks", "load"), [(1, 1, 0.9), (2, 1, 0.9), (3, 1, 0.7), (5, 1, 1.2), (4, 2, 0.9)]
)
def test_webs_wait_as_long_as_the_chain_says(spares: int, trucks: int, load: float) -> None:
    reel_s = load * trucks * STEP_S
    scenario = calm(
        unwind={
            "change": "standstill_splice",
            "spare_stands": spares,
            "splice_min": 0,
            "prepare_min": 0,
            "prepare_people": 0,
        },
        reels={"at_start": "staggered"},
        reel_truck={"trucks": trucks, "reel_min": {"law": "exponential", "mean": reel_s / 60}},
    )
    shares = []
    for run in range(RUNS):
        record = simulate(
            scenario, seed=7, replication=run, hours=HOURS, warm_up_h=20.0, history=False
        )
        shares.append(seconds_in(record, "unwind", State.WAITING_REEL) / (HOURS * 3600))
    error = float(np.std(shares, ddof=1) / np.sqrt(RUNS))
    expected = share_waited(spares, trucks, reel_s)
    assert error < 0.04 * expected
    assert abs(np.mean(shares) - expected) < 4 * error
