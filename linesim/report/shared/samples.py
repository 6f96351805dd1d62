"""A run at so many moments that a film of it shows all the eye can follow, and every stop.

The moments are those of a grid of whole seconds and, besides, the first of every stop and the first
after it. Between two of them the lowest and highest level of the bridge is kept: no peak is lost.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from linesim.record import (
    OWN_STATES,
    PRODUCING,
    WAITING,
    Moment,
    Moments,
    Record,
    SetPlace,
    Spans,
    State,
    StopEvent,
    sheeter_spans,
    station_words,
)
from linesim.record.capacity import SHEETER
from linesim.record.outflow import outflow
from linesim.report.moment_words import moment_labels, states_in_words
from linesim.report.ripple_in_words import is_pace, state_words
from linesim.report.shared.packing import Texts
from linesim.scenario import WEB_STATIONS
from linesim.scenario.units import SECOND
from linesim.studies import StoppedError

MS = 1_000_000
_MOST_STEPS = 20_000
_STEPS_S = (1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30, 40, 60)
_TELL_EVERY = 250
_FULL_WAY = 20
"""Steps of the transfer's way: finer ones are not seen."""
Column = NDArray[np.int64]
Progress = Callable[[float], bool]
"""Told the part that is done, 0 to 1; False: give up."""


def step_s(record: Record) -> int:
    """Seconds between two moments of the grid."""
    seconds = (record.end_ns - record.start_ns) / SECOND
    fitting = (step for step in _STEPS_S if seconds / step <= _MOST_STEPS)
    return next(fitting, math.ceil(seconds / _MOST_STEPS))


def in_ms(moment_ns: int) -> int:
    """A moment in whole milliseconds, not before it: with its first a stop is under way."""
    return -(-moment_ns // MS)


def moments_ns(record: Record, events: Sequence[StopEvent]) -> Column:
    """The moments, rising: whole milliseconds, in which the page counts."""
    grid = np.arange(in_ms(record.start_ns) * MS, record.end_ns, step_s(record) * SECOND)
    edges = [in_ms(moment) * MS for event in events for moment in (event.start_ns, event.end_ns)]
    inside = np.array([edge for edge in edges if edge < record.end_ns], dtype=np.int64)
    return np.unique(np.concatenate([grid, inside, [record.end_ns // MS * MS]]))


@dataclass(frozen=True)
class Lane:
    """What one station does: from each of ``from_ms`` on another row of ``States``."""

    name: str
    title: str
    part: bool
    """Of the sheeter."""
    from_ms: Column
    states: Column


@dataclass
class States:
    """All that stations do and why: the state, whether nobody needs to act, and the words."""

    rows: list[tuple[State, bool, str]] = field(default_factory=list)
    _numbers: dict[tuple[int, ...], int] = field(default_factory=dict)

    def of(self, record: Record, spans: Spans) -> Column:
        """The row of each of these spans."""
        keys = np.column_stack(
            [spans.state, spans.cause, spans.root_station, spans.root_cause]
        ).astype(np.int64)
        found, where = np.unique(keys, axis=0, return_inverse=True)
        numbers = [self._number(record, tuple(key)) for key in found.tolist()]
        return np.array(numbers, dtype=np.int64)[where.ravel()]

    def quiet(self, numbers: Column) -> NDArray[np.bool_]:
        """Of rows, whether nobody needs to act."""
        return np.array([quiet for _, quiet, _ in self.rows])[numbers]

    def _number(self, record: Record, key: tuple[int, ...]) -> int:
        known = self._numbers.get(key)
        if known is None:
            number, cause, root, root_cause = key
            state = State(number)
            pace = state in WAITING and root_cause >= 0 and is_pace(record, root_cause)
            quiet = pace or not (state in WAITING or state in OWN_STATES)
            words = state_words(record, state, cause, root, root_cause)
            known = self._numbers[key] = len(self.rows)
            self.rows.append((state, quiet, words))
        return known


def lanes_of(record: Record, states: States, at_ns: Column) -> list[Lane]:
    """The sheeter, its parts, and every other station, as the paper moves.

    Stops and what waits for one begin and end to the millisecond; all else, such as the short
    waits for a slower station, is as it is at the given moments.
    """
    lanes = []
    if any(name in WEB_STATIONS for name in record.stations):
        moments = _changes(record, states, sheeter_spans(record), at_ns)
        lanes.append(Lane(SHEETER, SHEETER, False, *moments))
    for number, name in enumerate(record.stations):
        moments = _changes(record, states, record.recorded.spans.of(number), at_ns)
        lanes.append(Lane(name, station_words(name), name in WEB_STATIONS, *moments))
    return lanes


def _changes(record: Record, states: States, spans: Spans, at_ns: Column) -> tuple[Column, Column]:
    """From when on, in ms, which row of the states."""
    own = states.of(record, spans)
    loud = ~states.quiet(own)
    edges = np.concatenate([spans.start_ns[loud], spans.end_ns[loud]])
    at_ms = -(-np.concatenate([at_ns, edges]) // MS)
    at_ms = np.unique(at_ms[(at_ms >= at_ns[0] // MS) & (at_ms <= at_ns[-1] // MS)])
    row = np.searchsorted(spans.start_ns, at_ms * MS, side="right") - 1
    found = own[np.maximum(0, row)]
    new = np.append(True, found[1:] != found[:-1])
    return at_ms[new], found[new]


def curves(record: Record, at_ns: Column) -> dict[str, Column]:
    """Reams on the bridge (now; lowest and highest until the next moment), good, and promised."""
    times, level = record.recorded.bridge_level()
    # Before the first change there is nothing on it.
    level = np.concatenate([[0], level])
    row = np.searchsorted(times, at_ns, side="right")
    now = level[row]
    # The value with which the next moment begins belongs to the interval as well.
    following = np.append(now[1:], now[-1])
    out = outflow(record)
    return {
        "level": now,
        "low": np.minimum(np.minimum.reduceat(level, row), following),
        "high": np.maximum(np.maximum.reduceat(level, row), following),
        "good": out.good(at_ns),
        "promised": np.rint(out.promised(at_ns)).astype(np.int64),
    }


class Picture:
    """What the drawing of the line needs of each moment, column by column."""

    def __init__(self, record: Record, texts: Texts) -> None:
        self._moments, self._texts = Moments(record), texts
        self.numbers: dict[str, list[int]] = {}
        self.words: dict[str, list[int]] = {}
        """Numbers of texts."""
        self.travelling: list[int] = []
        """Of each moment: how many groups of reams travel on the bridge, then of each the row of
        places it has before it and its reams."""

    def take(self, at_ns: Column, progress: Progress | None) -> None:
        """Look at the line at these moments. Raises ``StoppedError`` when it is given up."""
        for done, t_ns in enumerate(at_ns.tolist()):
            if progress is not None and done % _TELL_EVERY == 0 and not progress(done / len(at_ns)):
                raise StoppedError
            self._add(self._moments.at(t_ns))

    def _add(self, moment: Moment) -> None:
        labels = moment_labels(moment)
        doing = " · ".join(states_in_words(moment)) or "Every station runs"
        self._say("doing", doing)
        for name in ("order", "speed", "pockets", "belt", "sets", "bridge"):
            self._say(name, vars(labels)[name])
        for number, text in enumerate(labels.reels):
            self._say(f"reel {number}", text)
        for number, text in enumerate(labels.wrappers):
            self._say(f"wrapper {number}", text)
        self._count("moving", int(moment.web_speed_m_per_min > 0))
        self._count("wrapped", moment.wrapped)
        self._count("lanes", moment.lanes)
        self._count("pocket cuts", round(moment.pocket_cuts))
        self._count("cuts per ream", moment.cuts_per_ream)
        self._count("belt cuts", round(moment.belt_cuts))
        for number, reel in enumerate(moment.reels):
            self._count(f"reel {number}", round(reel.diameter_mm))
        for number, wrapper in enumerate(moment.wrappers):
            part = -1 if wrapper.part is None else round(100 * wrapper.part)
            self._count(f"wrapper {number}", part)
        self._transfer(moment)
        self._bridge(moment)

    def _say(self, name: str, text: str) -> None:
        self.words.setdefault(name, []).append(self._texts.number(text))

    def _count(self, name: str, number: int) -> None:
        self.numbers.setdefault(name, []).append(number)

    def _transfer(self, moment: Moment) -> None:
        """Where its grip is, 0 at the pockets, and how many reams are in it."""
        crossing = [each for each in moment.sets if each.place is not SetPlace.IN_POCKETS]
        part, reams = 0.0, 0
        if crossing:
            known = {SetPlace.LIFTED: 0.0, SetPlace.CARRIED: crossing[0].part}
            part, reams = known.get(crossing[0].place, 1.0), crossing[0].reams
        elif moment.station("transfer").state in PRODUCING:
            part = 0.5  # on its way back, empty: how far is not recorded
        self._count("transfer", round(_FULL_WAY * part))
        self._count("in its grip", reams)

    def _bridge(self, moment: Moment) -> None:
        tracks = self._moments.record.scenario.bridge.tracks
        standing, groups = standing_and_travelling(moment.bridge_rows, tracks)
        self._count("standing", standing)
        self.travelling += [len(groups), *(number for group in groups for number in group)]


def standing_and_travelling(
    rows: Iterable[float], tracks: int
) -> tuple[int, list[tuple[int, int]]]:
    """How many reams stand in line before the wrappers; of each group behind them row and reams.

    >>> standing_and_travelling([0, 1, 2, 7.2, 8.2, 20], 1)
    (3, [(7, 2), (20, 1)])
    """
    standing, groups, begun = 0, list[tuple[int, int]](), 0.0
    for number, row in enumerate(rows):
        if number == standing and row == number // tracks:
            standing += 1
        elif groups and abs(row - begun - groups[-1][1] // tracks) < 0.01:
            groups[-1] = (groups[-1][0], groups[-1][1] + 1)
        else:
            begun = row
            groups.append((round(row), 1))
    return standing, groups
