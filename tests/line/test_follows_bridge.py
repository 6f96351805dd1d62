"""A sheeter whose speed falls in proportion to the level of the bridge follows the wrappers."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.record import Record, State
from linesim.record.capacity import SHEETER
from linesim.studies.waiting import waits_in
from tests.line.calm_line import METRE, calm, seconds_in, spans_of

FOLLOWS = {"slowing": "in_proportion", "slow_at_reams": 20, "slow_to_fraction": 0.5}
PLACES = 60
SLOWER = [{"rate_reams_per_min": 24}]


def half_an_hour(**tables: Any) -> Record:
    """Before the first reel runs out."""
    bridge = {"places": PLACES} | FOLLOWS | tables.pop("bridge", {})
    return simulate(calm(bridge=bridge, wrapper=SLOWER, **tables), hours=0.5)


def level_and_dwell(record: Record) -> tuple[Any, Any, Any]:
    """Levels of the bridge, when each began, and the seconds it lasted."""
    assert record.history is not None
    times, level = record.history.bridge_level()
    return level, times / 1e9, np.diff(np.append(times, record.end_ns)) / 1e9


def test_the_speed_is_that_of_the_level_at_every_moment() -> None:
    """4 m/s up to 20 reams, 2 m/s at 60, in between 4 - 2 (level - 20) / 40."""
    record = half_an_hour()
    level, at, dwell = level_and_dwell(record)
    speed = 4 - 2 * np.clip(level - 20, 0, 40) / 40
    length = 4 * at[0] + float((speed * dwell).sum())
    assert record.books.web_um / METRE == pytest.approx(length, abs=0.01)


def test_it_settles_at_the_pace_of_the_wrapper() -> None:
    """24 of 32 reams a minute are three quarters, which is the speed at 40 reams.

    Sets of four come to a wrapper that takes a ream every 2.5 s: no more than a set about it.
    """
    record = half_an_hour()
    assert record.history is not None
    level, at, dwell = level_and_dwell(record)
    late = at > 1200
    assert abs(float(np.average(level[late], weights=dwell[late])) - 40) < 0.1
    assert level[late].min() >= 36
    assert level[late].max() <= 44
    sets = record.history.set_placed_ns / 1e9
    assert np.diff(sets[sets > 1200]).mean() == pytest.approx(
        10, abs=0.05
    )  # 4 reams of 24 a minute


def test_it_never_stops_where_it_would_have_by_level() -> None:
    """At once to 9 tenths, or not at all, is faster than the wrapper: the bridge fills."""

    def starts(record: Record) -> int:
        return sum(s[2] == State.BLOCKED for s in spans_of(record, "cutter"))

    stop = {"stop_at_reams": 50}
    assert starts(half_an_hour(bridge=stop)) == 0
    assert starts(half_an_hour(bridge=stop | {"slowing": "at_once", "slow_to_fraction": 0.9})) > 5
    assert starts(half_an_hour(bridge=stop | {"slow_to_fraction": 0.9})) > 5


def test_all_of_it_is_by_the_level() -> None:
    """No run-up but the first is booked where the speed rises with a ream that is taken."""
    ramps = {"run_up_m_per_min_per_s": 15, "run_down_m_per_min_per_s": 30}
    record = half_an_hour(cutter=ramps)
    slowed = [s[3] for s in spans_of(record, "cutter") if s[2] == State.SLOWED]
    assert slowed[0] == "run-up"
    assert set(slowed[1:]) == {"bridge level"}


def test_what_it_loses_so_is_time_it_was_blocked() -> None:
    """What it did not cut of what it could have, no more and no less."""
    record = half_an_hour()
    front = next(waits for waits in waits_in(record) if waits.station == SHEETER)
    assert seconds_in(record, "cutter", State.SLOWED) > 1000
    cut_s = record.books.web_um / METRE / 4
    assert front.blocked == pytest.approx(1 - cut_s / 1800, abs=1e-6)


def test_at_a_single_level_it_falls_at_once() -> None:
    """Slow and stop level are one: below it is rated speed, at it the slowed one."""
    both = {"slow_at_reams": PLACES}
    record = half_an_hour(bridge=both)
    level, _, dwell = level_and_dwell(record)
    speed = np.where(level < PLACES, 4, 2)
    stood = seconds_in(record, "cutter", State.BLOCKED)
    full = float((speed * dwell).sum())
    assert full - 4 * stood <= record.books.web_um / METRE <= full - 2 * stood + 0.01
