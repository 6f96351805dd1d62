"""Text can be read, running is quiet, trouble stands out, no state is told by colour alone."""

from __future__ import annotations

from dataclasses import fields

import pytest
from PySide6.QtGui import QPalette

from gui.look import DARK, LIGHT, Hatch, Palette, qt_palette, state_look
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


GROUNDS = ("panel", "ground", "tint")
WORDS = {
    **dict.fromkeys(("text", "quiet", "curve", "trouble", "gain", "warning"), GROUNDS),
    "faint": ("panel", "ground"),
    "on_curve": ("curve",),
}
"""What is written in each colour, and on what it may lie."""
LINES = {"edge": ("panel", "ground"), "ghost": ("panel", "ground")}
SILENT = {"grid", "paper", "fills", *GROUNDS}
"""Nothing is told by a hairline or by paper, which has an outline; states are tried below."""


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_every_colour_can_be_told_from_all_that_it_lies_on(palette: Palette) -> None:
    """WCAG 2.1: 4.5 for letters (1.4.3), 3 for lines that tell something (1.4.11)."""
    assert {*WORDS, *LINES} | SILENT == {field.name for field in fields(Palette)}
    for least, table in ((4.5, WORDS), (3.0, LINES)):
        for colour, grounds in table.items():
            for ground in grounds:
                found = contrast(getattr(palette, colour), getattr(palette, ground))
                assert found >= least, (colour, ground, found)


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_every_pair_of_colours_that_qt_draws_with_can_be_read(palette: Palette) -> None:
    """WCAG leaves out what is disabled; it shall still be made out, as lines are."""
    role, group, found = QPalette.ColorRole, QPalette.ColorGroup, qt_palette(palette)
    pairs = {
        role.WindowText: (role.Window,),
        role.Text: (role.Base, role.AlternateBase),
        role.ButtonText: (role.Button, role.Midlight),
        role.ToolTipText: (role.ToolTipBase,),
        role.PlaceholderText: (role.Base, role.AlternateBase, role.Window),
        role.HighlightedText: (role.Highlight,),
        role.Link: (role.Window, role.Base),
    }
    greyed = (role.Text, role.WindowText, role.ButtonText)
    for words, grounds in pairs.items():
        for ground in grounds:
            for state in (group.Active, group.Inactive, group.Disabled):
                if state == group.Disabled and ground == role.Midlight:
                    continue  # under the hand, and there it does nothing
                least = 3.0 if state == group.Disabled and words in greyed else 4.5
                tones = (found.color(state, each).name() for each in (words, ground))
                assert contrast(*tones) >= least, (words, ground, state)


@pytest.mark.parametrize("palette", [LIGHT, DARK])
@pytest.mark.parametrize("state", TROUBLE)
def test_trouble_is_seen_by_its_fill_or_its_hatch(palette: Palette, state: State) -> None:
    look = state_look(state, palette)
    assert max(contrast(each, palette.ground) for each in (look.fill, look.line)) >= 3


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
