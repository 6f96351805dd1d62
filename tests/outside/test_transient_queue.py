"""A queue that starts with reams waiting: chances of the number a while later, M/M/1.

The birth-death equations dp/dt = p Q (Kleinrock 1975, section 2.4; Gross and Harris, *Fundamentals
of Queueing Theory*, 1985, section 2.10) are solved here by the matrix exponential, cut off where
nothing comes.
"""

import numpy as np
import pytest
import scipy

from linesim.fast import simulate
from linesim.scenario import LineState
from linesim.scenario.state_tables import BridgeNow
from tests.outside.conftest import pared_down_line

GAP_S, SERVICE_S = 30.0, 20.0
MINUTES = (1, 3, 8)
MOST = 120
RUNS = 100


def chances(at_first: int, seconds: float) -> np.ndarray:
    """Of 0, 1, 2, ... in the queue and in service after so long."""
    up, down = 1 / GAP_S, 1 / SERVICE_S
    rates = np.diag(np.full(MOST - 1, up), 1) + np.diag(np.full(MOST - 1, down), -1)
    rates -= np.diag(rates.sum(axis=1))
    return np.asarray(scipy.linalg.expm(rates * seconds)[at_first])


@pytest.mark.parametrize("at_first", [0, 12])
def test_number_after_a_while(at_first: int) -> None:
    line = pared_down_line(
        bridge={"places": 1000},
        transfer={"carry_s": {"law": "exponential", "mean": GAP_S}},
        wrapper=[{"wrap_s": {"law": "exponential", "mean": SERVICE_S}}],
    )
    state = LineState(moment="2026-03-02 14:20", bridge=BridgeNow(reams=at_first))
    found = np.zeros((len(MINUTES), RUNS))
    for run in range(RUNS):
        record = simulate(line, seed=11, replication=run, hours=MINUTES[-1] / 60, state=state)
        history = record.history
        assert history is not None
        assert record.books.faults() == []
        for i, minutes in enumerate(MINUTES):
            came = int(history.set_reams[history.set_placed_ns <= minutes * 60e9].sum())
            gone = int((history.ream_end_ns <= minutes * 60e9).sum())
            found[i, run] = at_first + came - gone
    for number, minutes in zip(found, MINUTES, strict=True):
        law = chances(at_first, minutes * 60)
        mean = float(law @ np.arange(MOST))
        spread = float(law @ np.arange(MOST) ** 2 - mean**2) ** 0.5
        assert abs(number.mean() - mean) < 4 * spread / RUNS**0.5
        # And the law as a whole: the largest distance between the two of its kind.
        met = np.array([(number <= k).mean() for k in range(MOST)])
        assert np.abs(met - np.cumsum(law)).max() < 1.95 / RUNS**0.5
