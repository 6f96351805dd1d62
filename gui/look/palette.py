"""Colours and hatches of states: running is quiet grey, trouble has colour, hatch and a word.

A station that waits has a hatch that leans to where the trouble came from: starved to the left
and up, from where paper comes; blocked to the right and up, from where it goes. No state is told
by colour alone: states in trouble have a hatch each, and any two of them also differ in colour to
eyes without red, green or blue cones.

Colours contradict nothing that IEC 60204-1:2016 says of indicator lights (from memory: red for
what is hazardous, yellow for abnormal, blue for what somebody must do, green for normal, white for
neutral):

* red: down. Where a machine has failed somebody reaches into it.
* yellow and amber: starved and blocked. Abnormal, but nothing is to be done at that station.
* blue: waiting for people or for a reel. Somebody must come, or bring one.
* violet, which has no meaning there: being changed over, work that belongs to the day.
* greys, as neutral: running, slowed, a planned stop. Green would be allowed for running; a picture
  in which most is green hides what is not, so ISA-101's restraint comes first.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from functools import cache

from linesim.record import State


class Hatch(Enum):
    """How an area is hatched."""

    NONE = "none"
    FROM_UPSTREAM = "from upstream"
    FROM_DOWNSTREAM = "from downstream"
    CROSSED = "crossed"
    UPRIGHT = "upright"
    LEVEL = "level"
    SQUARED = "squared"


@dataclass(frozen=True)
class StateLook:
    """Fill (``#rrggbb``), hatch, its colour, and words of a state."""

    fill: str
    line: str
    hatch: Hatch
    words: str


@dataclass(frozen=True)
class Palette:
    """Colours (``#rrggbb``) of a window, light or dark: all that is drawn takes them from here.

    What is written in small letters has a contrast of 4.5 to whatever it may lie on, lines that
    tell something one of 3 (WCAG 2.1, 1.4.3 and 1.4.11).
    """

    panel: str
    """What lies below everything."""
    ground: str
    """Of cards, fields and drawings."""
    tint: str
    """Below what is chosen or under the hand."""
    text: str
    quiet: str
    """Words that step back behind the figures."""
    faint: str
    """Words that stand where nothing has been typed yet."""
    grid: str
    """Hairlines that only part; nothing is told by them."""
    edge: str
    """Where a control is."""
    curve: str
    """The one colour of our own: what is asked, chosen or plotted."""
    on_curve: str
    ghost: str
    """What was, beside what is."""
    paper: str
    """What the line is run for: reels, webs, reams."""
    trouble: str
    """Words of a fault."""
    gain: str
    """Words of what is shown to be better; a minus of the other is ``trouble``."""
    warning: str
    """Words of what is to be known before the figures are used."""
    fills: dict[State, str]
    """By state."""


LIGHT = Palette(
    panel="#f3f1ec",
    ground="#fdfcfa",
    tint="#e2e6e6",
    text="#22262a",
    quiet="#575e66",
    faint="#5f666d",
    grid="#d9d7d1",
    edge="#787e83",
    curve="#275d7a",
    on_curve="#ffffff",
    ghost="#80878e",
    paper="#ffffff",
    trouble="#a3223a",
    gain="#2e6b4b",
    warning="#7a5500",
    fills={
        State.RUNNING: "#dfe1e2",
        State.SLOWED: "#bcc1c5",
        State.STARVED: "#ecd06a",
        State.BLOCKED: "#d1862a",
        State.DOWN: "#b02a3c",
        State.CHANGEOVER: "#7a6aa8",
        State.WAITING_PEOPLE: "#1f4e8c",
        State.WAITING_REEL: "#6fa3d8",
        State.PLANNED: "#f1f1ee",
    },
)
DARK = Palette(
    panel="#24282c",
    ground="#1b1e21",
    tint="#343b41",
    text="#e6e8e9",
    quiet="#b0b6bb",
    faint="#a2a9af",
    grid="#3a3f44",
    edge="#878f96",
    curve="#8fbfd9",
    on_curve="#14181b",
    ghost="#818890",
    paper="#c9ced2",
    trouble="#ff8e9a",
    gain="#86c6a2",
    warning="#e6bd5c",
    fills={
        State.RUNNING: "#33383c",
        State.SLOWED: "#565d64",
        State.STARVED: "#e3c65c",
        State.BLOCKED: "#c27a26",
        State.DOWN: "#e2465a",
        State.CHANGEOVER: "#8a78bd",
        State.WAITING_PEOPLE: "#2f6fc0",
        State.WAITING_REEL: "#86b8ec",
        State.PLANNED: "#22262a",
    },
)

ON_BOTH = "#7d848a"
"""Seen on light and dark alike: of icons that are made once, while the colours may change."""
_HATCHES = {
    State.STARVED: Hatch.FROM_UPSTREAM,
    State.BLOCKED: Hatch.FROM_DOWNSTREAM,
    State.DOWN: Hatch.CROSSED,
    State.CHANGEOVER: Hatch.UPRIGHT,
    State.WAITING_PEOPLE: Hatch.LEVEL,
    State.WAITING_REEL: Hatch.SQUARED,
}
_LINE, _CALM = 0.45, 0.22
"""How far the lines of a hatch are from their fill to the ground, or to the text; and where nobody
needs to act."""


def state_look(state: State, palette: Palette) -> StateLook:
    """How a state is shown; running, slowed and planned have no hatch."""
    fill = palette.fills[state]
    return StateLook(fill, hatch_line(fill, palette), _HATCHES.get(state, Hatch.NONE), state.words)


def calm(look: StateLook, palette: Palette) -> StateLook:
    """A wait that nobody needs to act on: hatched as it is, in the colour of running."""
    fill = palette.fills[State.RUNNING]
    return replace(look, fill=fill, line=mixed(fill, palette.text, _CALM))


def hatch_line(fill: str, palette: Palette) -> str:
    """The colour of a hatch on a fill: towards ground or text, whichever is further from it."""
    return _away_from(fill, palette.ground, palette.text)


@cache
def _away_from(fill: str, *ends: str) -> str:
    away = max(ends, key=lambda end: abs(_grey(end) - _grey(fill)))
    return mixed(fill, away, _LINE)


# Asked for in every frame of what moves, of few colours.
@cache
def mixed(one: str, other: str, part: float) -> str:
    """A colour between two (``#rrggbb``); ``part`` of the other."""
    pairs = zip(_parts(one), _parts(other), strict=True)
    return "#" + "".join(f"{round(a + (b - a) * part):02x}" for a, b in pairs)


def _parts(colour: str) -> list[int]:
    return [int(colour[i : i + 2], 16) for i in (1, 3, 5)]


def _grey(colour: str) -> float:
    """Luma after ITU-R BT.601, 0 to 255."""
    red, green, blue = _parts(colour)
    return 0.299 * red + 0.587 * green + 0.114 * blue
