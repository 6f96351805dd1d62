"""Round numbers on axes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.report import Scale, tick_text


@given(st.floats(-1e9, 1e9), st.floats(1e-6, 1e9), st.integers(2, 12))
def test_ticks_lie_within_and_are_not_too_many(low: float, span: float, most: int) -> None:
    scale = Scale(low, low + span, 0.0, 100.0)
    if scale.high <= scale.low + 1e-9 * abs(low):
        return
    ticks = scale.ticks(most)
    assert len(ticks) <= most + 1
    assert all(-0.001 <= scale.at(tick) <= 100.001 for tick in ticks)


@pytest.mark.parametrize(
    ("value", "ticks", "said"),
    [(0.05, [0.0, 0.05], "0.05"), (-20.0, [-20.0, 0.0], "−20"), (1e-12, [0.0, 5.0], "0")],
)
def test_numbers_have_the_places_the_steps_need(
    value: float, ticks: list[float], said: str
) -> None:
    assert tick_text(value, ticks) == said
