"""The sum that a practitioner does on paper, with the numbers of the lesson's own line.

Plain arithmetic on purpose: the lesson shows where it comes near the truth and where it does not.
(Common practice, no source.)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from linesim.lessons.lesson import Lesson
from linesim.record import Record
from linesim.record.capacity import SHEETER, WRAPPERS, line_rates
from linesim.scenario import WEB_STATIONS, Scenario
from linesim.scenario.units import HOUR
from linesim.statistics import student_interval


@dataclass(frozen=True)
class WorkedSum:
    """Steps in words, and the ``value`` that comes out, in the unit of the lesson's question."""

    steps: tuple[str, ...]
    value: float
    unit: str


def worked_sum(lesson: Lesson, scenario: Scenario, undisturbed: Sequence[Record]) -> WorkedSum:
    """The sum of the lesson. ``undisturbed`` runs say what stands on the bridge when it stops."""
    rates = {rate.station: rate.rated for rate in line_rates(scenario)}
    sheeter, wrappers = rates[SHEETER], rates[WRAPPERS]
    levels = [float(level_at(record, lesson.stop.at_h)) for record in undisturbed]
    level = sum(levels) / len(levels)
    minutes = lesson.stop.minutes
    stop_level = scenario.bridge.stop_at_reams
    room = scenario.bridge_places if stop_level is None else stop_level
    free = max(0.0, room - level)
    on_bridge = f"reams on the bridge when it stops: {_shown(levels)} ({_of(levels)})"
    place = "stop level" if stop_level is not None else "places"
    steps: tuple[str, ...]
    if lesson.sum in ("free_places_over_inflow", "knives_standing_times_rate"):
        before = room_before_bridge(lesson, scenario)
        behind = room_behind_wrappers(lesson, scenario)
        reached = "the knives stop" if before else "it is full"
        if free:
            fill = (free + before + behind) / sheeter
            further = "".join(f" + {each}" for each in (before, behind) if each)
            over = f"({free:.1f}{further})" if further else f"{free:.1f}"
            steps = (
                on_bridge,
                f"free places: {room} ({place}) − {level:.1f} = {free:.1f} reams",
                *_further(scenario, before, behind),
                f"inflow: {sheeter:.1f} reams/min (the sheeter at its rated speed)",
                f"time until {reached}: {over} / {sheeter:.1f} = {fill:.2f} min",
            )
        else:
            fill = 0.0
            none = f"free places: none, it is full already ({place}: {room})"
            steps = (on_bridge, none, f"time until {reached}: none")
        if lesson.sum == "free_places_over_inflow":
            return WorkedSum(steps, fill, "min")
        return _lost(steps, "knives standing", minutes, fill, sheeter, "")
    empty = level / wrappers
    if lesson.sum == "stock_over_outflow":
        steps = (
            on_bridge,
            f"outflow: {wrappers:.1f} reams/min (the wrappers at rated speed)",
            f"time until it is empty: {level:.1f} / {wrappers:.1f} = {empty:.2f} min",
        )
        return WorkedSum(steps, empty, "min")
    until_empty = (
        on_bridge,
        f"time until the bridge is empty: {level:.1f} / {wrappers:.1f} = {empty:.2f} min",
    )
    slowest = min(rates.values())
    by = " (slowest station by nameplate)"
    return _lost(until_empty, "wrappers waiting", minutes, empty, slowest, by)


def room_before_bridge(lesson: Lesson, scenario: Scenario) -> int:
    """Reams that find room between knives and bridge until the knives stop; 0 for other questions.

    One set waits in the transfer while the pockets fill with another. A bridge with a stop level
    stops the knives itself.
    """
    asked = lesson.sum == "knives_standing_times_rate" or (
        lesson.sum == "free_places_over_inflow" and lesson.reached_station in WEB_STATIONS
    )
    return 2 * scenario.set_reams if asked and scenario.bridge.stop_at_reams is None else 0


def room_behind_wrappers(lesson: Lesson, scenario: Scenario) -> int:
    """Reams that can wait between the wrappers and a station behind them that stands; else 0."""
    by_place: dict[str, int] = {}
    for name, pieces in scenario.end_of_line.items():
        # Stations of one place share what waits before them.
        by_place[pieces.place] = pieces.reams_waiting
        if name == lesson.stop.station:
            return sum(by_place.values())
    return 0


def _further(scenario: Scenario, before: int, behind: int) -> list[str]:
    said = []
    if before:
        said.append(f"room before it: 2 sets of {scenario.set_reams} = {before} reams")
    if behind:
        said.append(f"room behind the wrappers: {behind} reams")
    return said


def _lost(
    until: tuple[str, ...], waiting: str, minutes: float, swallowed: float, rate: float, of: str
) -> WorkedSum:
    """What the minutes that the bridge does not swallow cost at a rate."""
    if minutes <= swallowed:
        none = f"{waiting}: not at all, the stop of {minutes:g} min is over by then"
        return WorkedSum((*until, none, "reams lost: none"), 0.0, "reams")
    left = minutes - swallowed
    lost = left * rate
    less = f"{minutes:g} − {swallowed:.2f} = " if swallowed else ""
    steps = (
        *until,
        f"{waiting}: {less}{left:.2f} min",
        f"reams lost: {left:.2f} × {rate:.1f}{of} = {lost:.0f}",
    )
    return WorkedSum(steps, lost, "reams")


def level_at(record: Record, at_h: float) -> int:
    """Reams on the bridge ``at_h`` hours after the start of the run; needs a run with history."""
    assert record.history is not None
    times, level = record.history.bridge_level()
    row = int(np.searchsorted(times, round(at_h * HOUR), side="right")) - 1
    return int(level[row]) if row >= 0 else 0


def _of(levels: Sequence[float]) -> str:
    return f"mean of {len(levels)} runs" if len(levels) > 1 else "a single run"


def _shown(levels: Sequence[float]) -> str:
    if len(levels) < 2:
        return f"{levels[0]:g}"
    found = student_interval(levels)
    return found.text() if found.half_width else f"{levels[0]:g}"
