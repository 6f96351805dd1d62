"""The same line with other luck, several times: figures with intervals."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass, replace

from linesim.fast import simulate
from linesim.record import Record
from linesim.record.capacity import SHEETER, TRANSFER, StationRate, slowest_net
from linesim.record.constraint import Waits, by_pattern
from linesim.scenario import Scenario
from linesim.statistics import Interval, more_runs_needed, student_interval
from linesim.studies.executors import executor_for, put_in_words
from linesim.studies.figures import UNITS, RunFigures, figures_of

LEVEL = 0.95
_SAY_EVERY_S = 0.25

Progress = Callable[[float, int], None]
"""Called with replications done, the one under way by its part, and replications asked for."""


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
    first: Record | None
    """Replication 0 with its history, if it was asked for."""
    interrupted: bool = False
    warm_up_h: float = 0.0
    """Hours at the start of each run that no figure counts."""

    def estimate(self, values: Sequence[float], unit: str) -> Interval:
        """Mean and Student interval of one value per run; infinitely wide for a single run."""
        if len(values) < 2:
            return Interval(values[0], math.inf, self.level, 1, unit)
        return replace(student_interval(values, self.level), unit=unit)

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

    def waits(self) -> tuple[Waits, ...]:
        """Mean shares of time starved and blocked, by station of the line."""
        count = len(self.runs)
        return tuple(
            Waits(
                each[0].station,
                sum(w.starved for w in each) / count,
                sum(w.blocked for w in each) / count,
            )
            for each in zip(*(run.waits for run in self.runs), strict=True)
        )

    def constraint_by_net_rate(self) -> StationRate:
        """The station with the lowest net rate, from the scenario alone."""
        return slowest_net(self.scenario)

    def constraint_by_pattern(self) -> str:
        """The station that the others wait for, or of sheeter and transfer the one of the two."""
        *line, inside = self.waits()
        found = by_pattern(line)
        if found == SHEETER and inside.blocked > inside.starved:
            return TRANSFER
        return found


@dataclass(frozen=True)
class _Task:
    scenario: Scenario
    seed: int
    replication: int
    hours: float | None
    warm_up_h: float
    keep: bool
    check: bool


def replicate(
    scenario: Scenario,
    *,
    replications: int = 10,
    seed: int = 1,
    hours: float | None = None,
    warm_up_h: float = 0.0,
    processes: int = 1,
    level: float = LEVEL,
    keep_first: bool = False,
    check: bool = False,
    narrow: float | None = None,
    most: int = 200,
    progress: Progress | None = None,
) -> Replicated:
    """Run independent replications 0, 1, ... and gather their figures.

    ``hours`` counts after the warm-up; unless given, one shift. The result does not depend on
    ``processes``. ``keep_first`` keeps the whole record of replication 0, ``check`` audits every
    run. With ``narrow`` (a relative half width, 0.01 for 1 %) runs are added, up to ``most`` in
    all, until the interval of good reams per hour is that narrow. Interrupted from the keyboard,
    it returns what is done; with nothing done it raises ``KeyboardInterrupt``. Raises
    ``ValueError`` for fewer than one replication or process, and with ``narrow`` for fewer than
    two replications or more of them than ``most``, and ``WorkersLostError`` where a process that
    made runs was ended from outside. ``level`` is that of the intervals, 0 to 1.
    """
    if replications < 1:
        raise ValueError(f"replications is {replications}; it must be 1 or more")
    if processes < 1:
        raise ValueError(f"processes is {processes}; it must be 1 or more")
    if narrow is not None and not 2 <= replications <= most:
        raise ValueError(
            f"replications is {replications}; to go on until the interval is narrow it must be"
            f" from 2 to the most runs allowed, {most}"
        )
    done: dict[int, tuple[RunFigures, Record | None]] = {}
    asked = replications

    def book(number: int, result: tuple[RunFigures, Record | None]) -> None:
        done[number] = result
        if progress is not None:
            progress(len(done), asked)

    def so_far() -> None:
        if progress is not None:
            progress(len(done), asked)

    def make(first: int) -> None:
        tasks = {
            number: _Task(
                scenario, seed, number, hours, warm_up_h, keep_first and number == 0, check
            )
            for number in range(first, asked)
        }
        if processes == 1 or len(tasks) == 1:
            for number, task in tasks.items():
                book(number, _run(task, _part_of(progress, number, asked)))
        else:
            _run_in_processes(tasks, min(processes, len(tasks)), book, so_far)

    def more() -> int:
        if narrow is None:
            return 0
        good = [done[number][0].measures["good_reams_per_hour"] for number in sorted(done)]
        return more_runs_needed(good, narrow, most, level)

    interrupted = False
    try:
        make(0)
        while (further := more()) > 0:
            made, asked = asked, asked + further
            make(made)
    except BaseException as error:
        if not _by_keyboard(error):
            raise
        if not done:
            raise KeyboardInterrupt from None
        interrupted = True
    ordered = [done[number] for number in sorted(done)]
    first = done[0][1] if 0 in done else None
    runs = tuple(figures for figures, _ in ordered)
    return Replicated(scenario, seed, asked, level, runs, first, interrupted, warm_up_h)


def _by_keyboard(error: BaseException | None) -> bool:
    """Whether an interrupt is behind this: cut off in the middle, a run may fail in its wake."""
    while error is not None:
        if isinstance(error, KeyboardInterrupt):
            return True
        error = error.__context__
    return False


def _part_of(progress: Progress | None, done: int, asked: int) -> Callable[[float], bool] | None:
    if progress is None:
        return None

    def told(part: float) -> bool:
        progress(done + part, asked)
        return True

    return told


def _run(
    task: _Task, progress: Callable[[float], bool] | None = None
) -> tuple[RunFigures, Record | None]:
    record = simulate(
        task.scenario,
        seed=task.seed,
        replication=task.replication,
        hours=task.hours,
        warm_up_h=task.warm_up_h,
        history=task.keep or task.check,
        progress=progress,
    )
    return figures_of(record, check=task.check), record if task.keep else None


def _run_in_processes(
    tasks: Mapping[int, _Task],
    processes: int,
    book: Callable[[int, tuple[RunFigures, Record | None]], None],
    so_far: Callable[[], None],
) -> None:
    with executor_for(processes, None) as (pool, _in_flight), _lost_in_words():
        waiting: dict[Future[tuple[RunFigures, Record | None]], int] = {
            pool.submit(_run, task): number for number, task in tasks.items()
        }
        while waiting:
            finished, _ = wait(waiting, _SAY_EVERY_S, FIRST_COMPLETED)
            if not finished:
                # Who listens may want no more of it, long before the next run is complete.
                so_far()
            for future in finished:
                book(waiting.pop(future), future.result())


@contextmanager
def _lost_in_words() -> Iterator[None]:
    try:
        yield
    except BrokenProcessPool as error:
        raise put_in_words(error, None) from None
