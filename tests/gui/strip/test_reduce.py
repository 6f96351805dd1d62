"""The reduced picture says the same as counting every nanosecond."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gui.strip.reduce import Sorted, StepCurve, TimeIn

lengths = st.lists(st.integers(1, 9), min_size=1, max_size=40)


@settings(max_examples=60)
@given(lengths, st.integers(0, 1), st.lists(st.integers(0, 120), min_size=2, max_size=9))
def test_shares_are_those_of_counting(steps: list[int], odd: int, marks: list[int]) -> None:
    bounds = np.concatenate([[0], np.cumsum(steps)])
    start, end = bounds[:-1][odd::2], bounds[1:][odd::2]
    on = np.zeros(500, dtype=bool)
    for a, b in zip(start, end, strict=True):
        on[a:b] = True
    edges = np.unique(np.array(marks, dtype=np.int64))
    if len(edges) < 2:
        return
    expected = [on[a:b].mean() for a, b in itertools.pairwise(edges)]
    assert TimeIn(start, end).shares(edges) == pytest.approx(expected)


@pytest.mark.parametrize("rows", [0, 1, 50, 40_000])
def test_extremes_hold_every_step_of_the_interval(rows: int) -> None:
    rng = np.random.default_rng(3)
    times = np.cumsum(rng.integers(1, 5, rows)) + 10
    values = np.cumsum(rng.integers(-3, 4, rows))
    curve = StepCurve(times, values, before=7)
    edges = np.linspace(0, (times[-1] if rows else 0) + 20, 12).astype(np.int64)
    low, high = curve.extremes(edges)
    for i, (a, b) in enumerate(itertools.pairwise(edges)):
        within = values[(times >= a) & (times < b)]
        begin = curve.at(np.array([a]))[0]
        assert begin == (values[times <= a][-1] if (times <= a).any() else 7)
        assert low[i] <= min([begin, *within])
        assert high[i] >= max([begin, *within])
        if rows <= 50:
            assert (low[i], high[i]) == (min([begin, *within]), max([begin, *within]))


@pytest.mark.parametrize("rows", [1, 99_999, 100_001, 100_096, 256_000])
def test_looking_up_in_two_steps_finds_the_same(rows: int) -> None:
    rng = np.random.default_rng(rows)
    moments = np.sort(rng.integers(0, rows // 2 + 2, rows))
    edges = np.concatenate([np.arange(-2, 40), rng.integers(-2, rows, 500), moments[-3:]])
    found = Sorted(moments).until(edges)
    assert (found == np.searchsorted(moments, edges, side="right")).all()
