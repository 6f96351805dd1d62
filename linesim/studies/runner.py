"""Runs of several variants of a line with the same random numbers, kept as they end."""

from __future__ import annotations

import math
import os
import time
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import CancelledError, Executor
from contextlib import AbstractContextManager, ExitStack
from dataclasses import dataclass, replace
from types import TracebackType
from typing import Any

from linesim.scenario import Doubted, Scenario
from linesim.statistics import SQUARE, more_runs_needed
from linesim.statistics.crossed import FEWEST_SQUARES, lucks
from linesim.studies.executors import executor_for, processes_for
from linesim.studies.handed_out import HandedOut
from linesim.studies.outcome import Outcome
from linesim.studies.plants_met import PlantsMet, corner_of
from linesim.studies.progress import Progress
from linesim.studies.run_spec import RunSpec, spec_of
from linesim.studies.study_file import StudyFile

WEEK_H = 168.0
_POLL_S, _SHOWN_S = 0.1, 2.0
_WORK_TO_SHOWING = 15
_WRITTEN_S = 0.5
"""So much work at most is made again after a power cut: a disk settles slowly."""
_MORE_RUNS = 1.2
"""So many times the runs asked for are made where something is doubted: what luck has of them is
less, since runs share it."""


@dataclass(frozen=True)
class Settings:
    """How many runs of what length, and where. ``narrow`` is a relative half width, 0.01 for 1 %.

    With ``narrow`` runs are added, up to ``most`` for each variant, until the interval of good
    reams is that narrow for every variant. ``level`` is that of all intervals, 0 to 1. ``fewest``
    is how many runs of each variant make an answer. Without ``processes`` there are as many as
    the hours are worth.
    """

    replications: int = 20
    seed: int = 1
    hours: float = WEEK_H
    warm_up_h: float = 0.0
    level: float = 0.95
    narrow: float | None = None
    most: int = 200
    processes: int | None = None
    cluster: str | None = None
    fewest: int = 2

    def __post_init__(self) -> None:
        if self.replications < self.fewest:
            raise ValueError(
                f"replications is {self.replications}; a study needs {self.fewest} runs or more:"
                " one says nothing about the spread"
            )
        if self.most < self.replications:
            raise ValueError(f"{self.most} runs at most are fewer than {self.replications}")


class StoppedError(KeyboardInterrupt):
    """Stopped before every variant had as many runs as an answer needs."""


class Runner:
    """Makes runs for a study. Use it as a context manager; one study may ask it several times."""

    def __init__(
        self,
        settings: Settings,
        *,
        file: StudyFile | None = None,
        progress: Callable[[Progress], None] | None = None,
        executor: Executor | None = None,
        stop: Callable[[], bool] | None = None,
        known: dict[str, Outcome] | None = None,
    ) -> None:
        """``executor`` of the standard library's kind replaces what ``settings`` say.

        ``stop`` is asked between runs, several times a second; once it says True the study ends
        as on an interrupt from the keyboard. Runs in ``known``, by the keys of their specs, are
        not made again; what is made is added.
        """
        self.settings = settings
        self.doubted: tuple[Doubted, ...] = ()
        """What is not known of the lines that are asked about; see :meth:`as_stated`."""
        self._met_by: dict[str, PlantsMet] = {}
        self.replications = settings.replications
        """How many runs of each variant were asked for last."""
        self._growing_to: int | None = None
        self._grown_from = 0
        self.open_ended = settings.narrow is not None
        """Whether the runs themselves say how many there will be, though ``settings`` do not."""
        self._asked = 0
        self._sure = False
        self.interrupted = False
        self.whole: int | None = None
        """Of how many runs of each variant the figures are where it was interrupted."""
        self.orders_made_ns: int | None = None
        """The first moment at which a run had made all its orders; None while none has."""
        self.from_file = 0
        self.made = 0
        self.seconds = 0.0
        self._file = file
        self._progress = progress
        self._stop = stop
        self._executor: Executor | None = executor
        self._alone_for_now = False
        self._hours = 0.0
        self._in_flight = 2 * (os.cpu_count() or 1)
        self._stack = ExitStack()
        self._known: dict[str, Outcome] = {} if known is None else known
        self._unwritten: dict[str, str] = {}
        self._written = -math.inf
        self._told = self._show_from = 0.0
        self.so_far: Callable[[Any], None] | None = None
        """Told what a study knows on the way; None where nobody watches."""
        self.answered = 0
        """So many answers from fewer runs of every variant were given before."""

    def __enter__(self) -> Runner:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        # An executor left with runs in flight must know that nobody waits for them.
        cut_short = kind is None and self.interrupted
        self._stack.__exit__(KeyboardInterrupt if cut_short else kind, error, trace)

    def show_so_far(self, make: Callable[[], Any]) -> None:
        """Tell who watches what ``make`` says is known by now.

        Not more often than it can be read, nor so often that it takes much of the time.
        """
        now = time.monotonic()
        if self.so_far is not None and not self.interrupted and now > self._show_from:
            self.so_far(make())
            took = time.monotonic() - now
            self._show_from = now + took + max(_SHOWN_S, _WORK_TO_SHOWING * took)

    def as_stated(self, scenarios: Mapping[str, Scenario]) -> dict[str, Scenario]:
        """The scenarios with all figures as stated; what they doubt is drawn in the runs from now.

        A variant that goes by the name of one of them is doubted as that, any other as the first.
        """
        seed = self.settings.seed
        self._met_by = {name: PlantsMet(each, seed) for name, each in scenarios.items()}
        every = {each.name: each for met in self._met_by.values() for each in met.figures}
        self.doubted = tuple(every.values())
        return {name: met.stated for name, met in self._met_by.items()}

    @property
    def crossed(self) -> bool:
        """Whether runs are of plants that agree with what is known, crossed with luck."""
        return any(not each.is_money for each in self.doubted)

    def runs_for(self, asked: int) -> int:
        """So many runs of each variant: whole squares where they are crossed, and some more."""
        if not self.crossed:
            return asked
        return SQUARE * max(FEWEST_SQUARES, math.ceil(_MORE_RUNS * asked / SQUARE))

    def outcomes(
        self,
        variants: Mapping[str, Scenario],
        *,
        first: int = 0,
        active_periods: bool = False,
        buckets: int = 0,
        last: bool = False,
        report: bool = False,
        check: bool = False,
        state: str = "",
    ) -> dict[str, tuple[Outcome, ...]]:
        """Outcomes of each variant, replication by replication: the same rows met the same draws.

        ``first`` is the number of the first replication: draws that no earlier question has used.
        ``active_periods``, ``buckets``, ``report``, ``check`` and ``state`` are those of a
        :class:`RunSpec`.
        ``last``: the question asks for nothing after this, whatever the outcomes are.
        Stopped early it gives the replications that every variant has, and
        ``interrupted`` is true. Raises :class:`StoppedError` if those are fewer than an
        interval needs.
        """
        settings = self.settings
        self.replications = self.runs_for(settings.replications)
        self._sure = self._sure or (last and not self.open_ended)
        specs = {
            name: spec_of(
                scenario,
                seed=settings.seed,
                replication=first,
                hours=settings.hours,
                warm_up_h=settings.warm_up_h,
                buckets=buckets,
                active_periods=active_periods,
                report=report,
                check=check,
                state=state,
            )
            for name, scenario in variants.items()
        }
        while True:
            found = self._rows(specs, first, self.replications, crossed=self.crossed)
            more = 0 if self.interrupted else self._more(found)
            if not more:
                break
            # Two runs of a square share their luck, so that it takes twice as many.
            self.replications += -(-2 * more // SQUARE) * SQUARE if self.crossed else more
        fewest = FEWEST_SQUARES * SQUARE if self.crossed else settings.fewest
        whole = min(len(rows) for rows in found.values())
        if whole < fewest:
            raise StoppedError
        if self.interrupted:
            self.whole = min(whole, self.whole or whole)
        made = [row.orders_made_ns for rows in found.values() for row in rows]
        ends = [end for end in (self.orders_made_ns, *made) if end is not None]
        self.orders_made_ns = min(ends, default=None)
        return found

    def pilot(
        self, scenario: Scenario, buckets: int, runs: int, hours: float
    ) -> tuple[Outcome, ...]:
        """Runs of ``hours`` without warm-up, with good reams in ``buckets`` equal parts."""
        seed = self.settings.seed
        spec = spec_of(scenario, seed=seed, replication=0, hours=hours, buckets=buckets)
        found = self._rows({"": spec}, 0, runs)[""]
        if not found:
            raise StoppedError
        return found

    def _rows(
        self, firsts: Mapping[str, RunSpec], first: int, count: int, *, crossed: bool = False
    ) -> dict[str, tuple[Outcome, ...]]:
        # Replication by replication: what is cut short still has whole pairs.
        numbers = range(first, first + count)
        specs = {
            (name, n): self._met(name, spec, first, n - first)
            if crossed
            else replace(spec, replication=n)
            for n in numbers
            for name, spec in firsts.items()
        }
        self._make(list(specs.values()))
        keys = {place: spec.key for place, spec in specs.items()}
        whole = [n for n in numbers if all(keys[name, n] in self._known for name in firsts)]
        return {name: tuple(self._known[keys[name, n]] for n in whole) for name in firsts}

    def _met(self, name: str, spec: RunSpec, first: int, n: int) -> RunSpec:
        """The n-th run of a variant as a corner of a square: a plant, and its luck."""
        plants = self._met_by.get(name) or next(iter(self._met_by.values()))
        plant, replication = corner_of(n, first)
        return replace(
            spec,
            scenario=plants.text(spec.scenario, plant),
            replication=replication,
            plant=plant,
            foreseen=plants.foreseen(abs(plant)),
        )

    def _more(self, found: Mapping[str, Sequence[Outcome]]) -> int:
        settings = self.settings
        if settings.narrow is None:
            return 0
        return max(
            more_runs_needed(
                lucks([float(each.good_reams) for each in rows])
                if self.crossed
                else [float(each.good_reams) for each in rows],
                settings.narrow,
                settings.most // 2 if self.crossed else settings.most,
                settings.level,
            )
            for rows in found.values()
        )

    def _make(self, specs: Sequence[RunSpec]) -> None:
        """Make the specs not known yet. Ends early, with ``interrupted``, when told to stop."""
        wanted: dict[str, RunSpec] = {}
        for spec in specs:
            key = spec.key
            if key in self._known or key in wanted:
                continue
            kept = self._file.get(key) if self._file is not None else None
            if kept is None:
                wanted[key] = spec
            else:
                self._known[key] = kept
                self.from_file += 1
        if not wanted or self.interrupted:
            return
        began, before = time.monotonic(), self.made
        asked = self.made + self.from_file + len(wanted)
        self._tell(asked, began, before)
        handed: HandedOut | None = None

        def under_way(part: float) -> bool:
            if time.monotonic() - self._told > _POLL_S:
                self._end_if_told()
                self._tell(asked, began, before, part)
            return True

        try:
            self._end_if_told()
            specs = list(wanted.values())
            handed = HandedOut(self._open(specs), specs, self._in_flight, under_way)
            while handed.left:
                for together in handed.ended(None if self._stop is None else _POLL_S):
                    self._keep(together)
                    self._tell(asked, began, before)
                if handed.left:
                    self._end_if_told()
            self._write()
        except KeyboardInterrupt:
            self.interrupted = True
            self._save_what_ended(handed)
        except Exception as error:
            self.interrupted = isinstance(error, CancelledError) or _by_keyboard(error)
            if not isinstance(error, OSError):
                self._save_what_ended(handed)
            if not self.interrupted:
                raise
        finally:
            self.seconds += time.monotonic() - began
            if handed is not None:
                handed.cancel()

    def _end_if_told(self) -> None:
        if self._stop is not None and self._stop():
            raise KeyboardInterrupt

    def _save_what_ended(self, handed: HandedOut | None) -> None:
        for together in handed.ended_meanwhile() if handed is not None else ():
            self._keep(together)
        self._write()

    def _open(self, specs: Sequence[RunSpec]) -> Executor:
        if self._executor is None or self._alone_for_now:
            settings = self.settings
            processes = settings.processes
            if processes is None:
                hours = sum(spec.hours + spec.warm_up_h for spec in specs)
                processes = processes_for(self._hours + hours * self._growth())
                # A question that asks for a few runs at a time may come to be worth more.
                self._hours += hours
                self._alone_for_now = processes == 1 and settings.cluster is None
            if settings.cluster is not None:
                # How much it is says nothing of how many workers somebody wants for it.
                processes = settings.processes or os.cpu_count() or 1
            if self._executor is None or processes > 1:
                opened: AbstractContextManager[tuple[Executor, int]] = executor_for(
                    processes, settings.cluster
                )
                self._executor, self._in_flight = self._stack.enter_context(opened)
        return self._executor

    def _keep(self, together: Sequence[tuple[RunSpec, str]]) -> None:
        if self._file is not None:
            self._unwritten.update((spec.key, text) for spec, text in together)
            if time.monotonic() - self._written > _WRITTEN_S:
                self._write()
        for spec, text in together:
            # Read back what is written, so that a resumed study cannot differ from an unbroken one.
            self._known[spec.key] = spec.read(text)
        self.made += len(together)

    def _write(self) -> None:
        """Let the file have what it has not got yet, which is lost for it if that fails."""
        unwritten, self._unwritten = self._unwritten, {}
        if self._file is not None and unwritten:
            self._file.put_all(unwritten)
        self._written = time.monotonic()

    def _tell(self, asked: int, began: float, before: int, under_way: float = 0.0) -> None:
        self._told = time.monotonic()
        if self._progress is None:
            return
        made = self.made - before
        done = self.made + self.from_file
        grown = self._grown_from + round((asked - self._grown_from) * self._growth())
        # What was said once is not taken back.
        self._asked = asked = max(done, grown, self._asked)
        left = (time.monotonic() - began) / made * (asked - done) if made else None
        self._progress(Progress(done, asked, self.from_file, left, not self._sure, under_way))

    def grow_to(self, replications: int | None) -> None:
        """``settings`` will ask for more and more, up to so many; None: for no more than they do.

        What was run before, to find out how long the start takes, does not grow.
        """
        self._growing_to, self._grown_from = replications, self.made + self.from_file

    def _growth(self) -> float:
        """How many times as many runs there will be in the end."""
        if self._growing_to is None:
            return 1.0
        now = self.runs_for(self.settings.replications)
        return max(1.0, self.runs_for(self._growing_to) / now)


def _by_keyboard(error: BaseException | None) -> bool:
    """Whether an interrupt is behind this: cut off in the middle, a run may fail in its wake."""
    while error is not None:
        if isinstance(error, KeyboardInterrupt):
            return True
        error = error.__context__
    return False
