"""What really happens: the line with and without the stop, on the same luck, several times."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from linesim.fast import simulate
from linesim.lessons.lesson import Lesson
from linesim.lessons.sums import WorkedSum, worked_sum
from linesim.record import Record
from linesim.record.disturbance import Disturbance, disturbance
from linesim.scenario import ForcedStop, Scenario
from linesim.statistics import Interval, student_interval

RUNS = 10


@dataclass(frozen=True)
class LessonTruth:
    """The answer, over several lucks. ``values`` has None where it did not happen."""

    values: tuple[float | None, ...]
    interval: Interval | None
    """Over the runs in which it happened; None where those are fewer than two."""
    unit: str
    sum: WorkedSum
    first: tuple[Record, Record]
    """The first run without and with the stop, with history: to be looked at."""
    first_disturbance: Disturbance
    forced: ForcedStop

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
    """Run the line with and without the stop, ``runs`` times with luck of its own each time.

    ``progress`` is called with the runs done and asked for; where it returns False the truth
    rests on the runs so far (at least one). Raises ``ValueError`` for fewer than one run.
    """
    if runs < 1:
        raise ValueError(f"runs is {runs}; it must be 1 or more")
    stop = lesson.stop
    forced = ForcedStop(
        station=stop.station, at_h=stop.at_h, minutes=stop.minutes, cause=stop.cause
    )
    quiet: list[Record] = []
    values: list[float | None] = []
    first: tuple[Record, Record, Disturbance] | None = None
    for number in range(runs):
        without, with_stop = (
            simulate(scenario, seed=seed, replication=number, hours=lesson.hours, forced=forces)
            for forces in ((), (forced,))
        )
        found = disturbance(without, with_stop, forced)
        if first is None:
            first = without, with_stop, found
        quiet.append(without)
        values.append(_measured(lesson, with_stop, found))
        if progress is not None and not progress(number + 1, runs):
            break
    assert first is not None
    known = [value for value in values if value is not None]
    return LessonTruth(
        values=tuple(values),
        interval=student_interval(known) if len(known) > 1 else None,
        unit=lesson.unit,
        sum=worked_sum(lesson, scenario, quiet),
        first=(first[0], first[1]),
        first_disturbance=first[2],
        forced=forced,
    )


def _measured(lesson: Lesson, record: Record, found: Disturbance) -> float | None:
    if lesson.measure == "reams_lost":
        return float(found.reams_lost)
    if lesson.measure == "minutes_until_reached":
        station = record.station(lesson.reached_station)
        after = [each.after_ns for each in found.reached if each.station == station]
        return min(after) / 60e9 if after else None
    moment = {
        "minutes_until_bridge_full": found.bridge_full_ns,
        "minutes_until_bridge_empty": found.bridge_empty_ns,
        "minutes_until_forgotten": found.forgotten_ns,
    }[lesson.measure]
    if moment is None or found.began_ns is None:
        return None
    return (moment - found.began_ns) / 60e9
