"""Colours and hatches of states: running is quiet grey, trouble has colour, hatch and a word.

A station that waits has a hatch that leans to where the trouble came from: starved to the left
and up, from where paper comes; blocked to the right and up, from where it goes. No state is told
by colour alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from linesim import State


class Hatch(Enum):
    """How an area is hatched."""

    NONE = "none"
    FROM_UPSTREAM = "from upstream"
    FROM_DOWNSTREAM = "from downstream"
    CROSSED = "crossed"
    UPRIGHT = "upright"
    LEVEL = "level"


@dataclass(frozen=True)
class StateLook:
    """Fill (``#rrggbb``), hatch and words of a state."""

    fill: str
    hatch: Hatch
    words: str


@dataclass(frozen=True)
class Palette:
    """Colours (``#rrggbb``) of a window, light or dark; ``fills`` by state."""

    ground: str
    text: str
    grid: str
    curve: str
    ghost: str
    fills: dict[State, str]


LIGHT = Palette(
    ground="#fbfbf9",
    text="#22262a",
    grid="#d5d7d8",
    curve="#33506b",
    ghost="#8b9299",
    fills={
        State.RUNNING: "#dfe1e2",
        State.SLOWED: "#cbced1",
        State.STARVED: "#7aa6c9",
        State.BLOCKED: "#d99a3d",
        State.DOWN: "#a8324a",
        State.CHANGEOVER: "#6f6aa8",
        State.WAITING_PEOPLE: "#59484f",
        State.WAITING_REEL: "#4d8076",
        State.PLANNED: "#eeeeec",
    },
)
DARK = Palette(
    ground="#1b1e21",
    text="#e6e8e9",
    grid="#3a3f44",
    curve="#9fc0dd",
    ghost="#767d84",
    fills={
        State.RUNNING: "#33383c",
        State.SLOWED: "#474d53",
        State.STARVED: "#5f8fb8",
        State.BLOCKED: "#d6a04f",
        State.DOWN: "#e0566e",
        State.CHANGEOVER: "#9b95d6",
        State.WAITING_PEOPLE: "#c9b6bd",
        State.WAITING_REEL: "#63a99b",
        State.PLANNED: "#25292c",
    },
)

_HATCHES = {
    State.STARVED: Hatch.FROM_UPSTREAM,
    State.BLOCKED: Hatch.FROM_DOWNSTREAM,
    State.DOWN: Hatch.CROSSED,
    State.CHANGEOVER: Hatch.UPRIGHT,
    State.WAITING_PEOPLE: Hatch.LEVEL,
    State.WAITING_REEL: Hatch.LEVEL,
}


def state_look(state: State, palette: Palette) -> StateLook:
    """How a state is shown; running, slowed and planned have no hatch."""
    return StateLook(palette.fills[state], _HATCHES.get(state, Hatch.NONE), state.words)
