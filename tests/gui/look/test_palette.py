"""Text can be read, running is quiet, trouble stands out, no state is told by colour alone."""

from __future__ import annotations

import pytest

from gui.look import DARK, LIGHT, Hatch, Palette, state_look
from linesim.record import State

QUIET = (State.RUNNING, State.SLOWED, State.PLANNED)
TROUBLE = tuple(state for state in State if state not in QUIET)


def rgb(colour: str) -> list[float]:
    return [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]


def luminance(colour: str) -> float:
    """Relative luminance as in WCAG 2.1."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in rgb(colour)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_text_can_be_read(palette: Palette) -> None:
    assert contrast(palette.text, palette.ground) >= 7
    assert contrast(palette.curve, palette.ground) >= 4.5


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_running_is_grey_and_quieter_than_trouble(palette: Palette) -> None:
    for state in QUIET:
        parts = rgb(palette.fills[state])
        assert max(parts) - min(parts) < 0.06
    quiet = contrast(palette.fills[State.RUNNING], palette.ground)
    for state in TROUBLE:
        assert contrast(palette.fills[state], palette.ground) > quiet


def test_trouble_is_hatched_and_the_hatch_tells_the_way() -> None:
    assert all(state_look(state, LIGHT).hatch is not Hatch.NONE for state in TROUBLE)
    assert state_look(State.STARVED, LIGHT).hatch is Hatch.FROM_UPSTREAM
    assert state_look(State.BLOCKED, LIGHT).hatch is Hatch.FROM_DOWNSTREAM
