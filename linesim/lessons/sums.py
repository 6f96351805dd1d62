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
from linesim.scenario import Scenario
from linesim.statistics import format_with_interval, student_interval


@dataclass(frozen=True)
class WorkedSum:
    """Steps in words, and what comes out, in the unit of the lesson's question."""

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
    on_bridge = f"reams on the bridge when it stops: {_shown(levels)} (mean of {len(levels)} runs)"
    place = "stop level" if stop_level is not None else "places"
    fill = free / sheeter
    steps: tuple[str, ...]
    if lesson.sum == "free_places_over_inflow":
        steps = (
            on_bridge,
            f"free places: {room} ({place}) - {level:.1f} = {free:.1f} reams",
            f"inflow: {sheeter:.1f} reams/min (the sheeter at its rated speed)",
            f"time until it is full: {free:.1f} / {sheeter:.1f} = {fill:.2f} min",
        )
        return WorkedSum(steps, fill, "min")
    if lesson.sum == "knives_standing_times_rate":
        standing = max(0.0, minutes - fill)
        lost = standing * sheeter
        steps = (
            on_bridge,
            f"time until the bridge is full: ({room} - {level:.1f}) / {sheeter:.1f}"
            f" = {fill:.2f} min",
            f"knives standing: {minutes:g} - {fill:.2f} = {standing:.2f} min",
            f"reams lost: {standing:.2f} x {sheeter:.1f} = {lost:.0f}",
        )
        return WorkedSum(steps, lost, "reams")
    empty = level / wrappers
    if lesson.sum == "stock_over_outflow":
        steps = (
            on_bridge,
            f"outflow: {wrappers:.1f} reams/min (the wrappers at rated speed)",
            f"time until it is empty: {level:.1f} / {wrappers:.1f} = {empty:.2f} min",
        )
        return WorkedSum(steps, empty, "min")
    waiting = max(0.0, minutes - empty)
    slowest = min(rates.values())
    lost = waiting * slowest
    steps = (
        on_bridge,
        f"time until the bridge is empty: {level:.1f} / {wrappers:.1f} = {empty:.2f} min",
        f"wrappers waiting: {minutes:g} - {empty:.2f} = {waiting:.2f} min",
        f"reams lost: {waiting:.2f} x {slowest:.1f} (slowest station by nameplate) = {lost:.0f}",
    )
    return WorkedSum(steps, lost, "reams")


def level_at(record: Record, at_h: float) -> int:
    """Reams on the bridge ``at_h`` hours after the start of the run; needs a run with history."""
    assert record.history is not None
    times, level = record.history.bridge_level()
    row = int(np.searchsorted(times, round(at_h * 3600e9), side="right")) - 1
    return int(level[row]) if row >= 0 else 0


def _shown(levels: Sequence[float]) -> str:
    if len(levels) < 2:
        return f"{levels[0]:g}"
    found = student_interval(levels)
    return (
        format_with_interval(found.mean, found.half_width) if found.half_width else f"{levels[0]:g}"
    )
