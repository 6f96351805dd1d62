"""The rule that turns a spread into a Weibull shape, against the law itself."""

from __future__ import annotations

import pytest
from scipy import stats

from linesim.scenario import law_like


@pytest.mark.parametrize("shape", [1.0, 1.5, 2.0, 3.0, 5.0, 8.0, 10.0])
def test_the_rule_is_as_near_as_it_says_between_1_and_10(shape: float) -> None:
    law = stats.weibull_min(shape)
    same_spread = {"law": "lognormal", "mean": float(law.mean()), "sd": float(law.std())}
    assert law_like(same_spread, "weibull")["shape"] == pytest.approx(shape, rel=0.05)
