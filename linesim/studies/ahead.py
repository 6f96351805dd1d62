"""The outcome of a run from a state: when the next reels and rolls are due."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesim.record import History, Record
from linesim.scenario.state_tables import LineState
from linesim.scenario.units import HOUR
from linesim.studies.outcome import Outcome, outcome_of


@dataclass(frozen=True)
class Ahead(Outcome):
    """The outcome of one replication, and what comes next in it. Hours after the moment."""

    reel_h: tuple[float | None, ...]
    """When each web goes on from another reel for the first time; None: not within the run."""
    roll_h: dict[str, float | None]
    """By wrapper: when the roll is used up, of those of which the state says what is left."""


def ahead_of(record: Record, state: LineState) -> Ahead:
    """Of a record with its history, of a run from this state."""
    history = record.history
    assert history is not None
    webs = range(record.scenario.unwind.webs)
    return Ahead(
        **vars(outcome_of(record)),
        reel_h=tuple(_reel_h(history, web, record.start_ns) for web in webs),
        roll_h={
            roll.wrapper: _roll_h(record, history, roll.wrapper, roll.reams_left)
            for roll in state.roll
        },
    )


def _reel_h(history: History, web: int, start_ns: int) -> float | None:
    """A web goes on from another reel where more is left than before."""
    mine = history.reel_web == web
    at, left = history.reel_ns[mine], history.reel_left_um[mine]
    more = np.flatnonzero(np.diff(left) > 0)
    return (int(at[more[0] + 1]) - start_ns) / HOUR if len(more) else None


def _roll_h(record: Record, history: History, wrapper: str, reams_left: int) -> float | None:
    which = [each.name for each in record.scenario.wrapper].index(wrapper)
    ends = np.sort(history.ream_end_ns[history.ream_wrapper == which])
    place = max(1, reams_left) - 1
    return (int(ends[place]) - record.start_ns) / HOUR if place < len(ends) else None
