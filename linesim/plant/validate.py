"""Whether to believe the model: what the plant counted against what the line should have made."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import groupby, pairwise

from scipy import stats

from linesim.plant.production import ProductionCount, counts_between
from linesim.plant.shifts_alike import (
    Pattern,
    PlannedTime,
    Stretch,
    minutes_needed,
    step_of,
)
from linesim.plant.stops_compared import LoggedStop, StopsCompared, compare_stops
from linesim.scenario import Scenario
from linesim.statistics import (
    Bounds,
    Crossing,
    Interval,
    Proportion,
    exact_proportion,
    interval_of,
    prediction_band,
    student_interval,
)
from linesim.statistics.intervals import t_factor
from linesim.statistics.one_plant import Apart, OnePlant, doubt_of, luck_of, number_within_p
from linesim.studies.differences import crossed
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner

_MOST_RUN_MIN = 60 * 24 * 366


class ValidationError(ValueError):
    """Counts and scenario that cannot be held against each other, and why."""


@dataclass(frozen=True)
class Compared:
    """One count of the plant, or a day of them; ``band`` is None where there is none alike.

    ``band`` holds a single shift (or day) with its level: it is no interval of a mean.
    """

    start: dt.datetime
    end: dt.datetime
    actual: int
    band: Bounds | None
    counts: int = 1

    @property
    def place(self) -> str:
        """``within`` the band, ``below`` or ``above`` it, or ``not compared``."""
        if self.band is None:
            return "not compared"
        if self.band.contains(self.actual):
            return "within"
        return "below" if self.actual < self.band.low else "above"


@dataclass(frozen=True)
class Totals:
    """All compared counts together. ``predicted`` is for a stretch of as many shifts."""

    actual: int
    predicted: Interval
    p: float
    """Chance of a difference at least as large where the model is right."""


@dataclass(frozen=True)
class Validation:
    """Everything that was compared. Each of the two tests is made at half of ``alpha``."""

    counts: tuple[Compared, ...]
    days: tuple[Compared, ...]
    totals: Totals | None
    inside: Proportion | None
    """Counts within their bands."""
    inside_p: float
    """Chance of a share as odd where each count is within its band with the stated level, and all
    are of one plant."""
    left_out: int
    """Counts before or after the dates asked for."""
    first_counted: dt.datetime
    stops: StopsCompared | None
    alpha: float
    level: float
    runs: int
    hours: float
    crossed: bool = False
    """Whether bands and tests take in what is not known of the line."""

    @property
    def totals_agree(self) -> bool:
        return self.totals is None or self.totals.p >= self.alpha / 2

    @property
    def spread_agrees(self) -> bool:
        return self.inside is None or self.inside_p >= self.alpha / 2

    @property
    def matches(self) -> bool:
        return self.totals_agree and self.spread_agrees


def validate(
    scenario: Scenario,
    runner: Runner,
    counts: Sequence[ProductionCount],
    *,
    since: dt.datetime | None = None,
    until: dt.datetime | None = None,
    log: Sequence[LoggedStop] | None = None,
) -> Validation:
    """Hold the counts from ``since`` to before ``until`` against runs of the line.

    The calendar begins at ``calendar.starts``, without it where the first count of all does. A
    count is compared with every simulated stretch that is alike (as long, the same pauses), the
    first shift of each run left out. Runs are made as long as that needs, if longer than asked.
    Stops of ``log`` in the same time are compared by cause. Raises :class:`ValidationError`.

    Where runs are of plants that agree with what is known of the line, a count's band holds one
    shift of one of these. All counts are of one plant: the test of the totals takes what is not
    known once for all of them, and that of the number within bands goes by the law of that number
    in one plant, over all plants (:func:`~linesim.statistics.one_plant.number_within_p`).
    """
    if scenario.order:
        raise ValidationError(
            "the scenario has orders, and counts do not say which order they are of; take"
            " [[order]] out, and hold shifts of one product against it"
        )
    zero = scenario.calendar.start or min(count.start for count in counts)
    early = [count for count in counts if count.start < zero]
    if early:
        raise ValidationError(
            f"{len(early)} counts begin before {zero:%Y-%m-%d %H:%M}, where [calendar] starts; a"
            " start before the first of them would be right"
        )
    used = counts_between(counts, since, until)
    if not used:
        raise ValidationError(
            f"no count begins between the dates asked for; the counts go from"
            f" {counts[0].start:%Y-%m-%d %H:%M} to {counts[-1].start:%Y-%m-%d %H:%M}"
        )
    places = [Stretch(_minute(count.start, zero), _minute(count.end, zero)) for count in used]
    days = _days(used, places)
    asked = [*places, *(place for _, place in days if place is not None)]
    step = step_of(asked)
    shift = -(-round(scenario.line.shift_hours * 60) // step) * step
    calendar = PlannedTime(scenario, max(max(each.end for each in asked), 2 * shift) + shift)
    needed = minutes_needed(calendar, asked, shift, step)
    if needed > _MOST_RUN_MIN:
        raise ValidationError(
            "the counts need runs of more than a year; give a later date to begin at"
        )
    wanted = max(needed, round(runner.settings.hours * 60))
    length = -(-wanted // step) * step
    runner.settings = replace(runner.settings, hours=length / 60)
    calendar = PlannedTime(scenario, max(calendar.until, length))
    rows = runner.outcomes({"": scenario}, buckets=length // step)[""]
    simulated = _Simulated(calendar, rows, Stretch(0, length), shift, step)
    level = runner.settings.level
    compared = tuple(
        Compared(c.start, c.end, c.good_reams, simulated.band(place, level))
        for c, place in zip(used, places, strict=True)
    )
    known = [each for each in compared if each.band is not None]
    known_places = [p for p, c in zip(places, compared, strict=True) if c.band is not None]
    inside = sum(each.place == "within" for each in known)
    return Validation(
        counts=compared,
        days=tuple(replace(day, band=simulated.band(place, level)) for day, place in days),
        totals=_totals(sum(each.actual for each in known), known_places, simulated, level),
        inside=exact_proportion(inside, len(known), level) if known else None,
        inside_p=_inside_p(inside, known_places, simulated, level),
        left_out=len(counts) - len(used),
        first_counted=used[0].start,
        stops=None
        if log is None
        else compare_stops(
            scenario,
            rows,
            [stop for stop in log if any(c.start <= stop.start < c.end for c in used)],
            plant_h=sum(calendar.worked_min(place) for place in places) / 60,
            run_h=calendar.worked_min(Stretch(0, length)) / 60,
            level=level,
            doubts=runner.doubted,
            seed=runner.settings.seed,
        ),
        alpha=1 - level,
        level=level,
        runs=len(rows),
        hours=length / 60,
        crossed=simulated.crossed is not None,
    )


def _minute(at: dt.datetime, zero: dt.datetime) -> int:
    return round((at - zero).total_seconds() / 60)


def _days(
    used: Sequence[ProductionCount], places: Sequence[Stretch]
) -> list[tuple[Compared, Stretch | None]]:
    """The counts that begin on each date, without bands; no stretch where there are gaps in it."""
    found = []
    every = zip(used, places, strict=True)
    for _, of_date in groupby(every, key=lambda pair: pair[0].start.date()):
        counts, stretches = zip(*of_date, strict=True)
        whole = all(a.end == b.start for a, b in pairwise(stretches))
        reams = sum(count.good_reams for count in counts)
        day = Compared(counts[0].start, counts[-1].end, reams, None, len(counts))
        found.append((day, Stretch(stretches[0].start, stretches[-1].end) if whole else None))
    return found


@dataclass(eq=False)
class _Simulated:
    """Good reams of the runs in any stretch that is like one of the plant."""

    calendar: PlannedTime
    rows: Sequence[Outcome]
    counted: Stretch
    skip: int
    step: int
    _known: dict[Pattern, list[list[int]]] = field(default_factory=dict, init=False)
    _plants: dict[Pattern, OnePlant] = field(default_factory=dict, init=False)

    @cached_property
    def crossed(self) -> Crossing | None:
        """What is foreseen of crossed runs; None where they are not crossed."""
        return crossed(self.rows)

    def values(self, like: Stretch) -> list[list[int]]:
        """By run: reams of every stretch that is alike; runs without one are empty."""
        pattern = self.calendar.pattern(like)
        if pattern not in self._known:
            after_start = Stretch(self.counted.start + self.skip, self.counted.end)
            found = list(self.calendar.like(pattern, after_start, self.step))
            found = found or list(self.calendar.like(pattern, self.counted, self.step))
            self._known[pattern] = [[self._sum(row, each) for each in found] for row in self.rows]
        return self._known[pattern]

    def plant(self, like: Stretch, level: float) -> OnePlant:
        """The same of crossed runs, as one plant may show them."""
        pattern = self.calendar.pattern(like)
        if pattern not in self._plants:
            crossing = self.crossed or Crossing()
            self._plants[pattern] = OnePlant.of(self.values(like), level, crossing)
        return self._plants[pattern]

    def groups(self, places: Sequence[Stretch]) -> list[tuple[int, Stretch]]:
        """How many of the places are alike, and one of them."""
        found: dict[Pattern, list[Stretch]] = {}
        for place in places:
            found.setdefault(self.calendar.pattern(place), []).append(place)
        return [(len(alike), alike[0]) for alike in found.values()]

    def _sum(self, row: Outcome, stretch: Stretch) -> int:
        first = (stretch.start - self.counted.start) // self.step
        return sum(row.buckets[first : first + (stretch.end - stretch.start) // self.step])

    def band(self, like: Stretch | None, level: float) -> Bounds | None:
        """Where one such stretch falls; None where no run has one."""
        if like is None:
            return None
        values = [float(value) for run in self.values(like) for value in run]
        if self.crossed is not None and values:
            return self.plant(like, level).band
        return prediction_band(values, level) if len(values) >= 2 else None


def _inside_p(inside: int, places: Sequence[Stretch], simulated: _Simulated, level: float) -> float:
    if not places:
        return 1.0
    if simulated.crossed is None:
        return float(stats.binomtest(inside, len(places), level).pvalue)
    groups = simulated.groups(places)
    return number_within_p(inside, [(n, simulated.plant(like, level)) for n, like in groups])


def _totals(
    actual: int, places: Sequence[Stretch], simulated: _Simulated, level: float
) -> Totals | None:
    """Sum over the groups of like counts, each with the spread from run to run.

    The mean of a run's W like stretches varies with s^2 from run to run; the mean of n stretches
    of the plant with s^2 W / n, and the mean of all R runs with s^2 / R. Stretches of a run may
    depend on each other: that is in s. Student's t with R - 1.
    """
    groups = simulated.groups(places)
    if not groups:
        return None
    if simulated.crossed is not None:
        return _totals_of_one_plant(actual, groups, simulated, level)
    predicted = variance = 0.0
    runs = 0
    for count, like in groups:
        by_run = simulated.values(like)
        means = [sum(run) / len(run) for run in by_run]
        windows, runs = len(by_run[0]), len(by_run)
        interval = student_interval(means, level)
        sd = interval.half_width / t_factor(level, runs - 1) * math.sqrt(runs)
        predicted += count * interval.mean
        variance += (count * sd) ** 2 * (windows / count + 1 / runs)
    error = math.sqrt(variance)
    apart = abs(actual - predicted)
    exact = 1.0 if apart < 0.5 else 0.0
    p = 2 * float(stats.t.sf(apart / error, runs - 1)) if error else exact
    half_width = t_factor(level, runs - 1) * error
    return Totals(actual, Interval(predicted, half_width, level, runs), p)


def _totals_of_one_plant(
    actual: int, groups: Sequence[tuple[int, Stretch]], simulated: _Simulated, level: float
) -> Totals:
    """The same for a plant that agrees with what is known: that is one for all its counts.

    The luck of its own stretches is independent from kind to kind, as above; that of the mean of
    the runs, and what is not known, are taken from the sum over all kinds.
    """
    kinds = [(count, like, simulated.plant(like, level)) for count, like in groups]
    rows = zip(*(simulated.values(like) for _, like in groups), strict=True)
    sums = [
        sum(count * sum(run) / len(run) for (count, _), run in zip(groups, runs, strict=True))
        for runs in rows
    ]
    mean = interval_of(sums, level, crossed=simulated.crossed)
    own = sum(count * kind.lucky.shape[1] * kind.luck_variance for count, _, kind in kinds)
    luck, freedom = luck_of(mean)
    luck += own
    p = Apart(((luck, freedom), doubt_of(mean))).p(actual - mean.mean)
    half_width = t_factor(level, freedom) * math.sqrt(luck)
    return Totals(actual, replace(mean, half_width=half_width), p)
