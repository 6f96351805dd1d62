"""The same line replicated: figures with intervals."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from linesim.interactive import axes_or_new, frame, html_table
from linesim.record.capacity import StationRate, slowest_net
from linesim.record.constraint import Waits
from linesim.record.energy import KWH_PER_1000_REAMS
from linesim.scenario import Scenario, doubted, without_doubt
from linesim.statistics import Interval
from linesim.studies.differences import crossed, interval_over
from linesim.studies.figures import RunFigures
from linesim.studies.outcome import UNITS
from linesim.studies.plants_met import PlantsMet
from linesim.studies.progress import Progress
from linesim.studies.runner import WEEK_H, Runner, Settings
from linesim.studies.waiting import held_by, mean_waits
from linesim.studies.what_to_measure import MainFigure, WhatToMeasure, what_to_measure

LEVEL = 0.95


@dataclass(frozen=True)
class Replicated:
    """What the replications gave, in their order.

    ``asked`` is how many there should have been, ``level`` that of all intervals, 0 to 1.
    """

    scenario: Scenario
    seed: int
    asked: int
    level: float
    runs: tuple[RunFigures, ...]
    interrupted: bool = False
    warm_up_h: float = 0.0
    """Hours at the start of each run that no figure counts."""

    @property
    def crossed(self) -> bool:
        """Whether the runs are of plants that agree with what is known of the line."""
        return crossed(self.runs) is not None

    def estimate(self, values: Sequence[float], unit: str) -> Interval:
        """Mean and Student interval of one value per run; infinitely wide for a single run."""
        if len(values) < 2:
            return Interval(values[0], math.inf, self.level, 1, unit)
        return replace(interval_over(self.runs, values, self.level), unit=unit)

    def over_runs(self, pick: Callable[[RunFigures], float], unit: str) -> Interval:
        """Interval of a figure picked from each run."""
        return self.estimate([pick(run) for run in self.runs], unit)

    def over_table(
        self, pick: Callable[[RunFigures], Mapping[str, float]], unit: str
    ) -> dict[str, Interval]:
        """Interval of each row of a table that every run has; a missing row counts as 0."""
        tables = [pick(run) for run in self.runs]
        names = dict.fromkeys(name for table in tables for name in table)
        return {
            name: self.estimate([float(table.get(name, 0)) for table in tables], unit)
            for name in names
        }

    def measure(self, name: str) -> Interval:
        """One of the measures of the line; raises KeyError for a name that is none."""
        return self.over_runs(lambda run: run.measures[name], UNITS[name])

    def to_frame(self, library: str | None = None) -> Any:
        """The measures, a row for each run: see :func:`~linesim.interactive.frame`.

        Reams an hour, and shares of 0 to 1; where the power of stations is given, kWh for 1,000
        good reams, too (nan for a run without a ream).
        """
        columns: dict[str, Any] = {"replication": [run.replication for run in self.runs]}
        columns |= {name: [run.measures[name] for run in self.runs] for name in UNITS}
        if self.runs[0].energy_kwh:
            columns[KWH_PER_1000_REAMS] = [run.kwh_per_1000_reams for run in self.runs]
        return frame(columns, library)

    def plot(self, measure: str = "good_reams_per_hour", axes: Any = None) -> Any:
        """Draw a measure of every run, its mean and interval, on matplotlib's ``axes`` or new ones.

        Gives the axes back. Raises ``KeyError`` for no measure.
        """
        axes = axes_or_new(axes)
        found = self.measure(measure)
        axes.plot([run.measures[measure] for run in self.runs], ".", label="runs")
        axes.axhline(found.mean, color="0.3", label="mean and interval")
        if math.isfinite(found.half_width):
            axes.axhspan(found.low, found.high, color="0.85")
        axes.set_xlabel("replication")
        axes.set_ylabel(f"{measure.replace('_', ' ')}, {found.unit}")
        axes.legend()
        return axes

    def _repr_html_(self) -> str:
        """The measures with their intervals, for a notebook."""
        rows = [
            [name.replace("_", " "), self.measure(name).text(), unit]
            for name, unit in UNITS.items()
        ]
        title = (
            f"{self.scenario.line.name}: {len(self.runs)} runs, {100 * self.level:g} % intervals"
        )
        return html_table(title, ("measure", "mean", "unit"), rows)

    def line_of(self, run: RunFigures) -> Scenario:
        """The line as it was in a run: in the plant that the run is of."""
        met = PlantsMet(self.scenario, self.seed)
        return met.line(met.stated, run.plant)

    def what_to_measure(self) -> WhatToMeasure | None:
        """What makes most of the width of its reams a week, where something is doubted."""
        rate = self.measure("good_reams_per_hour")
        figure = MainFigure.output(rate.times(WEEK_H))
        lines = (without_doubt(self.scenario),)
        return what_to_measure(figure, lines, doubted(self.scenario), self.seed)

    def waits(self) -> tuple[Waits, ...]:
        """Mean shares of time starved and blocked, by station of the line."""
        return mean_waits([run.waits for run in self.runs])

    def constraint_by_net_rate(self) -> StationRate:
        """The station with the lowest net rate, from the scenario alone."""
        return slowest_net(self.scenario)

    def constraint_by_pattern(self) -> str:
        """The station that the others wait for, or of sheeter and transfer the one of the two."""
        return held_by([run.waits for run in self.runs])


def replicate(
    scenario: Scenario,
    *,
    replications: int = 10,
    seed: int = 1,
    hours: float | None = None,
    warm_up_h: float = 0.0,
    processes: int | None = 1,
    level: float = LEVEL,
    check: bool = False,
    narrow: float | None = None,
    most: int = 200,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Replicated:
    """Run independent replications 0, 1, ... and gather their figures.

    ``hours`` counts after the warm-up; unless given, one shift. The result does not depend on
    ``processes``; None: as many as the hours are worth. ``check`` audits every run. With ``narrow``
    (a relative half width, 0.01 for 1 %) runs are added, up to ``most`` in all, until the interval
    of good reams is that narrow. ``level`` is that of the intervals, 0 to 1. Stopped from the
    keyboard, or because ``stop`` said True, it returns what is done; with nothing done it raises
    :class:`StoppedError`, which is a ``KeyboardInterrupt``. Raises ``ValueError`` for fewer than
    one replication or process or hours not above 0, with ``narrow`` for fewer than two replications
    or more of them than ``most``, and ``WorkersLostError`` where a process that made runs was ended
    from outside.
    """
    length = scenario.line.shift_hours if hours is None else hours
    if not length > 0:
        raise ValueError(f"hours is {length}; it must be above 0")
    if processes is not None and processes < 1:
        raise ValueError(f"processes is {processes}; it must be 1 or more")
    settings = Settings(
        replications=replications,
        seed=seed,
        hours=length,
        warm_up_h=warm_up_h,
        level=level,
        narrow=narrow,
        most=most if narrow is not None else max(most, replications),
        processes=processes,
        fewest=1 if narrow is None else 2,
    )
    with Runner(settings, progress=progress, stop=stop) as runner:
        line = runner.as_stated({"": scenario})
        rows = runner.outcomes(line, last=True, report=True, check=check)[""]
    runs = tuple(run for run in rows if isinstance(run, RunFigures))
    return Replicated(
        scenario, seed, runner.replications, level, runs, runner.interrupted, warm_up_h
    )
