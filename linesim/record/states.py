"""The states a station can be in, and the kinds of causes."""

from __future__ import annotations

from enum import IntEnum


class State(IntEnum):
    """What a station does. Every moment of a run belongs to exactly one of these."""

    RUNNING = 0
    SLOWED = 1
    STARVED = 2
    BLOCKED = 3
    DOWN = 4
    CHANGEOVER = 5
    WAITING_PEOPLE = 6
    WAITING_REEL = 7
    PLANNED = 8

    @property
    def words(self) -> str:
        return _WORDS[self]


_WORDS = {
    State.RUNNING: "running",
    State.SLOWED: "slowed",
    State.STARVED: "starved",
    State.BLOCKED: "blocked",
    State.DOWN: "down",
    State.CHANGEOVER: "being changed over",
    State.WAITING_PEOPLE: "waiting for people",
    State.WAITING_REEL: "waiting for a reel",
    State.PLANNED: "planned stop",
}

TRANSFER_PACE = "transfer's pace"
"""Cause under which webs are slower than rated, for a transfer that could not fetch more."""
RUN_UP = "run-up"
HAND_RAMP = "ramp by hand"
"""Causes under which they come up to speed: of themselves, and brought up in steps."""

PRODUCING = (State.RUNNING, State.SLOWED)
WAITING = (State.STARVED, State.BLOCKED)


def station_words(name: str) -> str:
    """Name of a station for people.

    >>> station_words("overlap_belt")
    'overlap belt'
    """
    return name.replace("_", " ")


def with_article(name: str) -> str:
    """A station in a sentence: one with a letter or number of its own goes without article.

    >>> with_article("wrapper"), with_article("wrapper A"), with_article("wrapper 12")
    ('the wrapper', 'wrapper A', 'wrapper 12')
    """
    last = name.split()[-1]
    own = " " in name and (last.isdigit() or (len(last) == 1 and last.isupper()))
    return name if own else f"the {name}"


def wait_words(state: State, station: str, cause: str) -> str:
    """A wait, the station waited for and its cause; no cause where it runs and is too slow.

    >>> wait_words(State.BLOCKED, "web_path", "web break")
    'blocked by web path: web break'
    >>> wait_words(State.STARVED, "cutter", "")
    'starved by cutter: its pace'
    >>> wait_words(State.SLOWED, "wrapper", "")
    'slowed by wrapper: its pace'
    """
    return f"{state.words} by {station_words(station)}: {cause or 'its pace'}"


class Kind(IntEnum):
    """What sort of thing a cause is; the loss it counts under follows from this."""

    RATE = 0
    """A station that runs but cannot keep up, or the ramp of a start."""
    STOP = 1
    """Something that fails: a breakdown, or a minor stop when short."""
    SET_UP = 2
    """Reel and roll changes, planned knife changes, change-overs."""
    CALENDAR = 3
    """Breaks, planned work, time without a shift or without an order."""


class Loss(IntEnum):
    """Where a station's time goes, for the six big losses (Nakajima 1988)."""

    PRODUCING = 0
    PLANNED = 1
    BREAKDOWN = 2
    SET_UP = 3
    MINOR = 4
