"""Breaks in a reel, where some reels are bad: counts of a mixed Poisson law.

M. Greenwood and G. U. Yule, *An inquiry into the nature of frequency distributions representative
of multiple happenings*, Journal of the Royal Statistical Society 83, 1920: where the rate differs
from one to the next, counts have the variance mean + variance of the rate; their negative binomial
is that for rates of a gamma law, here the rates are two.
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy

from linesim.fast import simulate
from linesim.record.ripple import stop_events
from tests.line.calm_line import one_web

SHARE, FACTOR, MEAN = 0.2, 6.0, 2.0
GOOD = MEAN / (1 - SHARE + SHARE * FACTOR)
"""1 break in a good reel, 6 in a bad one."""
VARIANCE = MEAN + SHARE * (1 - SHARE) * (FACTOR - 1) ** 2 * GOOD**2
"""2 + 0.2 x 0.8 x 5^2 = 6; without bad reels it would be 2."""


def breaks_in_reels(share: float) -> np.ndarray:
    """Breaks in each reel that was run to its end; reels of 1,178 m, 295 s."""
    line = one_web(
        product={"sheets_per_ream": 2000},
        reels={
            "diameter_mm": 400,
            "bad_share": share,
            "bad_breaks_factor": FACTOR,
        },
        unwind={"change_min": 0.1},
        web_path={
            "breaks_per_100_reels": 100 * MEAN,
            "rethread_held_min": 0.1,
            "rethread_lost_min": 0.1,
            "rethread_people": 0,
        },
    )
    record = simulate(line, hours=400, seed=11)
    counts, now = [], 0
    for event in stop_events(record):
        what = record.causes[event.cause]
        if what == "web break":
            now += 1
        elif what == "reel change":
            counts.append(now)
            now = 0
    return np.array(counts)


def test_breaks_scatter_as_in_a_mixed_poisson_law() -> None:
    counts = breaks_in_reels(SHARE)
    n = len(counts)
    assert n > 4000
    assert counts.mean() == pytest.approx(MEAN, abs=4 * np.sqrt(VARIANCE / n))
    fourth = float(np.mean((counts - counts.mean()) ** 4))
    error = np.sqrt((fourth - VARIANCE**2) / n)
    assert error < 0.06 * VARIANCE, "too wide to check anything"
    assert counts.var(ddof=1) == pytest.approx(VARIANCE, abs=4 * error)
    k = np.arange(12)
    law = (1 - SHARE) * scipy.stats.poisson.pmf(k, GOOD)
    law += SHARE * scipy.stats.poisson.pmf(k, FACTOR * GOOD)
    seen = np.array([np.sum(counts == each) for each in k] + [np.sum(counts > k[-1])])
    expected = n * np.append(law, 1 - law.sum())
    assert scipy.stats.chisquare(seen, expected).pvalue > 0.001


def test_without_bad_reels_they_scatter_as_in_a_poisson_law() -> None:
    counts = breaks_in_reels(0.0)
    n = len(counts)
    assert counts.mean() == pytest.approx(MEAN, abs=4 * np.sqrt(MEAN / n))
    # The variance of a sample variance of Poisson counts: (m + 2 m^2) / n.
    assert counts.var(ddof=1) == pytest.approx(MEAN, abs=4 * np.sqrt((MEAN + 2 * MEAN**2) / n))
