"""Holm's rule by hand: each next test has a wider bound, and the first that holds ends it."""

from __future__ import annotations

import pytest

from linesim.statistics.several_tests import holm


@pytest.mark.parametrize(
    ("p_values", "failed"),
    [
        ([0.02, 0.01, 0.04], {0, 1, 2}),  # bounds 0.0167, 0.025, 0.05, where Bonferroni's is 0.0167
        ([0.026, 0.01, 0.04], {1}),  # the second is above 0.025, and so the third is not looked at
        ([0.017, 0.017, 0.017], set()),
        ([], set()),
    ],
)
def test_tests_taken_together(p_values: list[float], failed: set[int]) -> None:
    assert holm(p_values, 0.05) == failed
