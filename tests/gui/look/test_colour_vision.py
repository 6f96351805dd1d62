"""States are told apart by eyes that lack one kind of cone, and colours mean what they should.

The matrices are those of Machado, Oliveira & Fernandes, "A physiologically-based model for
simulation of color vision deficiency", IEEE Trans. Visualization and Computer Graphics 15 (2009),
at severity 1.0, for linear RGB; given here from memory, so the test first checks that they leave
greys alone and take from each eye the colours that it is known to confuse. Differences are those
of CIE 1976 L*a*b*, where about 2.3 is just seen.
"""

from __future__ import annotations

import colorsys
import itertools

import numpy as np
import pytest
from numpy.typing import NDArray

from gui.look import DARK, LIGHT, Hatch, Palette, mixed, state_look
from linesim.record import State

Colour = NDArray[np.float64]

EYES = {
    "all cones": np.eye(3),
    "no red cones": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "no green cones": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "no blue cones": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}
# sRGB to XYZ at D65 (IEC 61966-2-1), and the white it belongs to.
XYZ = np.array(
    [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ]
)
WHITE = np.array([0.95047, 1.0, 1.08883])

QUIET = (State.RUNNING, State.SLOWED, State.PLANNED)
TROUBLE = tuple(state for state in State if state not in QUIET)
PALETTES = [pytest.param(LIGHT, id="light"), pytest.param(DARK, id="dark")]
ALL_EYES = [pytest.param(matrix, id=eye) for eye, matrix in EYES.items()]


def linear(colour: str) -> Colour:
    parts = np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    return np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)


def lab(colour: str, eye: Colour) -> Colour:
    x, y, z = XYZ @ np.clip(eye @ linear(colour), 0, 1) / WHITE
    f = [t ** (1 / 3) if t > 216 / 24389 else (24389 / 27 * t + 16) / 116 for t in (x, y, z)]
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def apart(one: str, other: str, eye: Colour) -> float:
    return float(np.linalg.norm(lab(one, eye) - lab(other, eye)))


@pytest.mark.parametrize("eye", ALL_EYES)
def test_greys_look_alike_to_every_eye(eye: Colour) -> None:
    for grey in ("#ffffff", "#808080", "#202020"):
        assert np.abs(lab(grey, eye) - lab(grey, np.eye(3))).max() < 0.05


@pytest.mark.parametrize(
    ("one", "other", "confused"),
    [
        ("#b04a3a", "#5f6b3a", "no green cones"),
        ("#c01f30", "#5a4b33", "no red cones"),
        ("#3aa7c0", "#4da78c", "no blue cones"),
    ],
)
def test_each_eye_confuses_what_it_is_known_to(one: str, other: str, confused: str) -> None:
    """Red with olive or brown, blue with green: what two palettes in this test must not do."""
    whole = apart(one, other, EYES["all cones"])
    assert apart(one, other, EYES[confused]) < 0.5 * whole
    for eye in EYES:
        if eye == "no blue cones" != confused:
            assert apart(one, other, EYES[eye]) > 0.75 * whole


@pytest.mark.parametrize("palette", PALETTES)
def test_every_two_states_in_trouble_differ_in_hatch_and_in_words(palette: Palette) -> None:
    looks = [state_look(state, palette) for state in TROUBLE]
    assert len({look.hatch for look in looks} - {Hatch.NONE}) == len(TROUBLE)
    assert len({state_look(state, palette).words for state in State}) == len(State)


@pytest.mark.parametrize("palette", PALETTES)
@pytest.mark.parametrize("eye", ALL_EYES)
def test_every_two_states_differ_in_colour_too(palette: Palette, eye: Colour) -> None:
    for one, other in itertools.combinations(State, 2):
        both_quiet = one in QUIET and other in QUIET
        least = 5 if both_quiet else 10
        assert apart(palette.fills[one], palette.fills[other], eye) >= least, (one, other)


@pytest.mark.parametrize("palette", PALETTES)
@pytest.mark.parametrize("eye", ALL_EYES)
def test_every_hatch_stands_out_from_its_fill(palette: Palette, eye: Colour) -> None:
    for state in TROUBLE:
        look = state_look(state, palette)
        assert apart(look.fill, look.line, eye) >= 10, state


@pytest.mark.parametrize("palette", PALETTES)
@pytest.mark.parametrize("eye", ALL_EYES)
def test_neighbouring_bands_of_the_gap_differ(palette: Palette, eye: Colour) -> None:
    """The losses between promise and good reams lie on each other without a line between them."""
    tints = [
        mixed(palette.ground, palette.fills[state], 0.45)
        for state in (State.DOWN, State.CHANGEOVER, State.BLOCKED, State.SLOWED)
    ]
    for one, other in itertools.pairwise(tints):
        assert apart(one, other, eye) >= 5


MEANINGS = {
    # Hue in degrees, from and to, as IEC 60204-1:2016 names colours of indicator lights (from
    # memory): red hazardous, yellow abnormal, blue mandatory, green normal, white neutral.
    State.DOWN: (340, 370),
    State.STARVED: (25, 60),
    State.BLOCKED: (25, 60),
    State.WAITING_PEOPLE: (195, 225),
    State.WAITING_REEL: (195, 225),
    # Violet has no meaning there, and so none that it could contradict.
    State.CHANGEOVER: (245, 290),
}


@pytest.mark.parametrize("palette", PALETTES)
def test_colours_mean_what_they_mean_on_a_machine(palette: Palette) -> None:
    for state in State:
        red, green, blue = (int(palette.fills[state][i : i + 2], 16) / 255 for i in (1, 3, 5))
        hue, _, _ = colorsys.rgb_to_hls(red, green, blue)
        if state not in MEANINGS:
            assert max(red, green, blue) - min(red, green, blue) < 0.06, "neutral"
            continue
        low, high = MEANINGS[state]
        degrees = 360 * hue
        assert low <= degrees <= high or low <= degrees + 360 <= high, (state, degrees)


@pytest.mark.parametrize("palette", PALETTES)
def test_no_state_in_trouble_is_green(palette: Palette) -> None:
    for fill in (palette.fills[state] for state in TROUBLE):
        red, green, blue = (int(fill[i : i + 2], 16) for i in (1, 3, 5))
        assert green < max(red, blue)
