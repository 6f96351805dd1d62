"""The run whose output is nearest the mean, made again with its history, and a shift of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from linesim.fast import simulate
from linesim.record import Record
from linesim.record.outflow import outflow
from linesim.scenario.units import HOUR
from linesim.statistics import rough
from linesim.studies import Replicated, RunFigures


class NotTheSameRunError(RuntimeError):
    """A run made again came out otherwise: the figures are not of this scenario and length."""


@dataclass(frozen=True)
class TypicalShift:
    """A window of one run, in ns, and in words why this one is shown."""

    record: Record
    start_ns: int
    end_ns: int
    why: str

    @property
    def hours(self) -> float:
        """Length of the window, h."""
        return (self.end_ns - self.start_ns) / HOUR

    def good_reams(self) -> int:
        """Good reams that left the line within the window."""
        at = np.array([self.start_ns, self.end_ns])
        before, after = outflow(self.record).good(at).tolist()
        return int(after - before)


def typical_shift(replicated: Replicated, warm_up_h: float = 0.0) -> TypicalShift:
    """The shift to show: of the run nearest the mean the shift nearest the mean.

    ``warm_up_h`` is what the replications left out at their start. Raises
    :class:`NotTheSameRunError` where the run made again is not the one that was counted.
    """
    mean = replicated.measure("good_reams_per_hour")

    def rate(run: RunFigures) -> float:
        return run.measures["good_reams_per_hour"]

    run = min(replicated.runs, key=lambda run: abs(rate(run) - mean.mean))
    record = simulate(
        replicated.line_of(run),
        seed=replicated.seed,
        replication=run.replication,
        hours=run.hours,
        warm_up_h=warm_up_h,
        history=True,
    )
    if record.books.reams.good / record.hours != rate(run):
        raise NotTheSameRunError(
            f"run {run.replication} made again gives other figures; was there a warm-up?"
        )
    count = len(replicated.runs)
    chosen = (
        f"Run {run.replication} of {count}"
        + (" (the first is 0)" if count > 1 else "")
        + f", whose {rough(rate(run))} good reams an hour are nearest the mean of {mean.text()}."
    )
    start, end = record.start_ns, record.end_ns
    shift_ns = round(replicated.scenario.line.shift_hours * HOUR)
    if end - start <= shift_ns:
        return TypicalShift(record, start, end, chosen)
    shifts = [
        TypicalShift(record, at, at + shift_ns, "")
        for at in range(start, end - shift_ns + 1, shift_ns)
    ]
    reams = [shift.good_reams() for shift in shifts]
    usual = sum(reams) / len(reams)
    best = min(range(len(shifts)), key=lambda n: abs(reams[n] - usual))
    which = f" Of its {len(shifts)} shifts, number {best + 1} is nearest their mean."
    return replace(shifts[best], why=chosen + which)
