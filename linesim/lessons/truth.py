"""What really happens: the line with and without the stop, on the same draws, several times."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from linesim.fast import simulate
from linesim.lessons.lesson import Lesson
from linesim.lessons.story import fits, line_of_story
from linesim.lessons.sums import WorkedSum, worked_sum
from linesim.record import Record
from linesim.record.disturbance import Disturbance, disturbance
from linesim.record.outflow import reams_behind
from linesim.scenario import ForcedStop, Scenario
from linesim.scenario.units import HOUR, MINUTE
from linesim.statistics import Interval, student_interval
from linesim.studies.stop_over_replications import (
    REPLICATIONS,
    StopOverReplications,
    stop_cost_over_replications,
)

RUNS = 10
MOST_TRIED = 100
"""So many replications are looked at for some in which the line ran as the story has it."""
_MOMENTS = 120
"""At how many after the beginning of the stop it is told how far behind the line is."""


@dataclass(frozen=True)
class StopFan:
    """How far behind the line is for the stop, from its beginning to the end, run by run."""

    minutes: tuple[float, ...]
    """After the beginning of the stop."""
    reams: tuple[tuple[int, ...], ...]
    """Good reams fewer than without it, by run and moment."""


@dataclass(frozen=True)
class LessonTruth:
    """The answer, over replications that fit; ``values`` has None where it did not happen."""

    values: tuple[float | None, ...]
    interval: Interval | None
    """Over the runs in which it happened; None where those are fewer than two."""
    unit: str
    sum: WorkedSum
    first: tuple[Record, Record]
    """The first of these runs without and with the stop, with history: to be looked at."""
    first_disturbance: Disturbance
    forced: ForcedStop
    fan: StopFan
    over_replications: StopOverReplications | None = None
    """What the stop costs by the end of a shift of the line as it is; None where not asked for."""

    @property
    def happened(self) -> int:
        """In how many runs it happened at all."""
        return sum(value is not None for value in self.values)

    def close(self, answer: float, percent: float) -> bool:
        """Whether an answer is within so many percent of the mean, or within its interval."""
        if self.interval is None:
            return False
        apart = abs(answer - self.interval.mean)
        return apart <= max(abs(self.interval.mean) * percent / 100, self.interval.half_width)


def lesson_truth(
    lesson: Lesson,
    scenario: Scenario,
    *,
    runs: int = RUNS,
    seed: int = 1,
    progress: Callable[[int, int], bool] | None = None,
) -> LessonTruth:
    """Run the line with and without the stop in ``runs`` replications that fit the story.

    ``progress`` is called with the pairs of runs done and asked for; where it returns False the
    truth rests on those so far (at least one). Raises ``ValueError`` for fewer than one run, and
    where no replication fits the story.
    """
    if runs < 1:
        raise ValueError(f"runs is {runs}; it must be 1 or more")
    forced = stop_of(lesson)
    calm = line_of_story(lesson, scenario)
    minutes = np.linspace(0.0, 60 * (lesson.hours - forced.at_h), 1 + _MOMENTS)
    moments = np.round(forced.at_h * HOUR + minutes * MINUTE).astype(np.int64)
    behind: list[tuple[int, ...]] = []
    found: list[tuple[Record, float | None]] = []
    first: tuple[Record, Record, Disturbance] | None = None
    number, on = 0, True
    while len(found) < runs and number < MOST_TRIED and on:
        pair = _pair_that_fits(lesson, calm, forced, seed, number)
        number += 1
        if pair is not None:
            first = first or pair
            found.append((pair[0], _measured(lesson, pair[1], pair[2])))
            behind.append(tuple(reams_behind(pair[1], pair[0], moments).tolist()))
        on = progress is None or progress(len(found), runs) or first is None
    if first is None:
        raise _none_fits()
    known = [value for _, value in found if value is not None]
    return LessonTruth(
        values=tuple(value for _, value in found),
        interval=student_interval(known) if len(known) > 1 else None,
        unit=lesson.unit,
        sum=worked_sum(lesson, calm, [quiet for quiet, _ in found]),
        first=(first[0], first[1]),
        first_disturbance=first[2],
        forced=forced,
        fan=StopFan(tuple(minutes.tolist()), tuple(behind)),
    )


def run_before_answer(lesson: Lesson, scenario: Scenario, *, seed: int = 1) -> Record:
    """The line without the stop, in the first replication that :func:`lesson_truth` tells of.

    With history. Raises ``ValueError`` where no replication fits the story.
    """
    forced, calm = stop_of(lesson), line_of_story(lesson, scenario)
    for number in range(MOST_TRIED):
        pair = _pair_that_fits(lesson, calm, forced, seed, number)
        if pair is not None:
            return pair[0]
    raise _none_fits()


def _none_fits() -> ValueError:
    return ValueError(
        f"in none of {MOST_TRIED} replications did the line run as the story has it: in [needs]"
        " ask for another level of the bridge"
    )


def over_replications_of(
    lesson: Lesson,
    scenario: Scenario,
    *,
    replications: int = REPLICATIONS,
    seed: int = 1,
    progress: Callable[[int, int], bool] | None = None,
) -> StopOverReplications:
    """What the stop of the lesson costs by the end of a shift of the line as it is.

    ``replications`` are the pairs of runs, ``progress`` as
    :func:`~linesim.studies.stop_over_replications.stop_cost_over_replications` has it.
    """
    hours = max(lesson.hours, scenario.line.shift_hours)
    stops = (stop_of(lesson),)
    return stop_cost_over_replications(
        scenario, stops, hours=hours, seed=seed, replications=replications, progress=progress
    )


def stop_of(lesson: Lesson) -> ForcedStop:
    """The stop of the lesson, as a run takes it."""
    stop = lesson.stop
    return ForcedStop(station=stop.station, at_h=stop.at_h, minutes=stop.minutes, cause=stop.cause)


def _pair_that_fits(
    lesson: Lesson, calm: Scenario, forced: ForcedStop, seed: int, number: int
) -> tuple[Record, Record, Disturbance] | None:
    """The line without and with the stop in a replication; None where it does not fit the story."""
    without, with_stop = (
        simulate(calm, seed=seed, replication=number, hours=lesson.hours, forced=stops)
        for stops in ((), (forced,))
    )
    found = disturbance(without, with_stop, forced)
    return (without, with_stop, found) if fits(lesson, without, with_stop, found) else None


def _measured(lesson: Lesson, record: Record, found: Disturbance) -> float | None:
    if lesson.measure == "reams_lost":
        return float(found.reams_lost)
    if lesson.measure == "minutes_until_reached":
        station = record.station(lesson.reached_station)
        after = [each.after_ns for each in found.reached if each.station == station]
        return min(after) / MINUTE if after else None
    moment = {
        "minutes_until_bridge_full": found.bridge_full_ns,
        "minutes_until_bridge_empty": found.bridge_empty_ns,
        "minutes_until_forgotten": found.forgotten_ns,
    }[lesson.measure]
    if moment is None or found.began_ns is None:
        return None
    return (moment - found.began_ns) / MINUTE
