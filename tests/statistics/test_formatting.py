"""No more digits than the interval supports."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.statistics import format_with_interval


@pytest.mark.parametrize(
    ("mean", "half_width", "text"),
    [
        (1831.7, 14.2, "1,832 ± 14"),
        (61.3249, 0.4271, "61.3 ± 0.4"),
        (61.3249, 0.0127, "61.325 ± 0.013"),
        (1831.7, 57, "1,830 ± 60"),
        (1831.7, 9.49, "1,832 ± 9"),
        (1831.7, 9.5, "1,832 ± 10"),
        (1234567, 3500, "1,234,600 ± 3,500"),
        (1234567, 3600, "1,235,000 ± 4,000"),
        (-14.26, 3, "−14.3 ± 3.0"),
        (-0.04, 0.4, "0.0 ± 0.4"),
        (12.3, 123, "10 ± 120"),
        (1832.25, 0, "1,832"),
        (12345678, 0, "12,345,678"),
        (0, 0, "0"),
        (1 / 3, 0, "0.333"),
        (28.999999999999996, 0, "29"),
        (4.9896, math.inf, "4.99"),
    ],
)
def test_rounding(mean: float, half_width: float, text: str) -> None:
    assert format_with_interval(mean, half_width) == text


@given(st.floats(-1e7, 1e7), st.floats(1e-4, 1e6))
def test_both_are_rounded_alike_and_stay_near(mean: float, half_width: float) -> None:
    shown_mean, shown_width = format_with_interval(mean, half_width).split(" ± ")
    assert len(shown_mean.partition(".")[2]) == len(shown_width.partition(".")[2])
    digits = re.sub(r"[,.]", "", shown_width).strip("0")
    assert 1 <= len(digits) <= 2
    number = float(shown_mean.replace(",", "").replace("−", "-"))
    assert abs(number - mean) <= 0.15 * half_width * (1 + 1e-9)
    assert float(shown_width.replace(",", "")) == pytest.approx(half_width, rel=0.15)


@pytest.mark.parametrize(("mean", "half_width"), [(math.nan, 1), (math.inf, 1), (1, -1)])
def test_figures_that_are_none_are_refused(mean: float, half_width: float) -> None:
    with pytest.raises(ValueError, match="must be"):
        format_with_interval(mean, half_width)


def test_what_only_the_arithmetic_varied_did_not_vary() -> None:
    assert format_with_interval(1_500_000.0, 2e-10) == "1,500,000"
    assert format_with_interval(1.0, 1.6e-46) == "1"
    assert format_with_interval(0.0, 1e-6) == "0.0000000 ± 0.0000010"
