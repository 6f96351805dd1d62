"""Which simulated stretches of time a shift of the plant may be held against.

Two stretches are alike that are as long and in which the calendar stops the line at the same
moments for the same reasons: the Tuesday late shift and the Thursday late shift, but not the one
with the cleaning in it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import gcd

from linesim.scenario import Scenario
from linesim.scenario.shifts import pauses
from linesim.scenario.units import MINUTE

Pattern = tuple[int, tuple[tuple[int, int, str, int], ...]]
"""Length in minutes, and each pause in it: from, to (minutes after its start), name, people."""


@dataclass(frozen=True, order=True)
class Stretch:
    """Whole minutes of the scenario's calendar, from the start of its run."""

    start: int
    end: int


class PlannedTime:
    """The calendar of a scenario up to a minute, to be looked up stretch by stretch."""

    def __init__(self, scenario: Scenario, until_min: int) -> None:
        self.until = until_min
        self._pauses = [
            (pause.start // MINUTE, -(-pause.end // MINUTE), pause.name, pause.people)
            for pause in pauses(scenario, until_min * MINUTE)
        ]
        self._starts = [pause[0] for pause in self._pauses]
        self._longest = max((end - start for start, end, _, _ in self._pauses), default=0)

    def pattern(self, stretch: Stretch) -> Pattern:
        return stretch.end - stretch.start, tuple(
            (max(begin - stretch.start, 0), min(end, stretch.end) - stretch.start, name, people)
            for begin, end, name, people in self._within(stretch)
        )

    def worked_min(self, stretch: Stretch) -> int:
        """Minutes of the stretch in which the line is meant to run."""
        covered, worked = stretch.start, 0
        for begin, end, _, _ in self._within(stretch):
            worked += max(0, max(begin, stretch.start) - covered)
            covered = max(covered, min(end, stretch.end))
        return worked + max(0, stretch.end - covered)

    def _within(self, stretch: Stretch) -> Iterable[tuple[int, int, str, int]]:
        first = bisect_left(self._starts, stretch.start - self._longest)
        last = bisect_left(self._starts, stretch.end)
        return [pause for pause in self._pauses[first:last] if pause[1] > stretch.start]

    def like(self, pattern: Pattern, within: Stretch, step: int) -> Iterator[Stretch]:
        """Stretches of that pattern, none over another, beginning at whole steps."""
        start, length = within.start, pattern[0]
        while start + length <= within.end:
            stretch = Stretch(start, start + length)
            alike = self.pattern(stretch) == pattern
            if alike:
                yield stretch
            start += length if alike else step


def step_of(stretches: Iterable[Stretch]) -> int:
    """The longest step in minutes of which all starts and ends are multiples."""
    step = 0
    for stretch in stretches:
        step = gcd(step, gcd(stretch.start, stretch.end))
    return step or 1


def minutes_needed(calendar: PlannedTime, wanted: Sequence[Stretch], skip: int, step: int) -> int:
    """Length of run in minutes with a stretch like each one wanted, after the first ``skip``."""
    needed = skip + 1
    within = Stretch(skip, calendar.until)
    for pattern, stretch in {calendar.pattern(each): each for each in wanted}.items():
        first = next(calendar.like(pattern, within, step), stretch)
        needed = max(needed, first.end)
    return needed
