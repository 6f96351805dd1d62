"""MSER-5 on series whose warm-up is known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.statistics import WarmUp, mser5


def by_definition(series: list[float]) -> int:
    """The rule of White (1997) spelled out, slowly."""
    batches = [float(np.mean(series[i : i + 5])) for i in range(0, len(series) - 4, 5)]
    scores = []
    for cut in range(len(batches) - 4):
        rest = np.array(batches[cut:])
        scores.append(float(((rest - rest.mean()) ** 2).sum()) / len(rest) ** 2)
    return 5 * int(np.argmin(scores))


@given(st.integers(0, 2**32 - 1), st.integers(50, 400), st.floats(0, 20))
def test_it_is_the_rule_as_written(seed: int, length: int, start: float) -> None:
    generator = np.random.default_rng(seed)
    series = generator.normal(100, 1, length) - start * np.exp(-np.arange(length) / 20)
    assert mser5(series.tolist()).length == by_definition(series.tolist())


def test_a_jump_is_cut_off_where_it_ends() -> None:
    """60 observations at 0, then 940 about 10."""
    generator = np.random.default_rng(1)
    series = np.concatenate([np.zeros(60), 10 + generator.normal(0, 0.5, 940)])
    assert mser5(series.tolist()).length == pytest.approx(60, abs=10)
    assert mser5(series.tolist()).settled


def test_what_is_left_after_the_cut_is_free_of_the_transient() -> None:
    """A line that fills exponentially with time constant 40 towards 50 with noise 2."""
    errors_with, errors_without = [], []
    for seed in range(40):
        generator = np.random.default_rng(seed)
        moments = np.arange(1500)
        series = 50 - 50 * np.exp(-moments / 40) + generator.normal(0, 2, 1500)
        warm_up = mser5(series.tolist())
        # The transient is down to the noise of a batch mean, 0.9, after 40 ln(50 / 0.9) = 161.
        assert 100 <= warm_up.length <= 400
        errors_with.append(abs(series[warm_up.length :].mean() - 50))
        errors_without.append(abs(series.mean() - 50))
    # Left in, the transient alone shifts the mean by 50 * 40 / 1500 = 1.33.
    assert np.mean(errors_without) == pytest.approx(1.33, abs=0.05)
    assert np.mean(errors_with) < 0.15


def test_a_steady_series_loses_nothing() -> None:
    assert mser5([5.0] * 100) == WarmUp(length=0, settled=True)
    assert mser5([3.0, 5.0] * 100).length <= 5


def test_a_series_that_only_climbs_has_not_settled() -> None:
    warm_up = mser5([float(moment) for moment in range(200)])
    assert warm_up.length > 100
    assert not warm_up.settled


def test_a_large_mean_costs_no_digits() -> None:
    generator = np.random.default_rng(1)
    series = np.concatenate([np.zeros(60), 10 + generator.normal(0, 0.5, 940)])
    assert mser5((series + 1e9).tolist()).length == mser5(series.tolist()).length


def test_too_short_a_series_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="50 observations or more"):
        mser5([1.0] * 49)
    with pytest.raises(ValueError, match="not finite"):
        mser5([1.0] * 60 + [float("nan")])
