"""The tasks that worker processes know, by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import linesim
from gui.work.ask_task import ask, kept_answer
from gui.work.lesson_task import lesson
from gui.work.report_task import report
from gui.work.talk import StoppedError, Talk


@dataclass(frozen=True)
class ShiftRun:
    """A run with its history and, where a stop was forced, the same run without it."""

    record: linesim.Record
    ghost: linesim.Record | None
    disturbance: linesim.Disturbance | None


def shift(
    talk: Talk,
    *,
    scenario: linesim.Scenario,
    hours: float,
    seed: int,
    replication: int,
    forced: tuple[linesim.ForcedStop, ...] = (),
) -> ShiftRun:
    """Run the line once, with history. With a forced stop also without it, on the same luck."""
    runs = [()] if not forced else [(), forced]
    records = []
    for number, stops in enumerate(runs):

        def so_far(part: float, number: int = number) -> bool:
            talk.told((number + part) / len(runs), "")
            return not talk.stopped()

        records.append(
            linesim.simulate(
                scenario,
                seed=seed,
                replication=replication,
                hours=hours,
                forced=stops,
                progress=so_far,
            )
        )
        if talk.stopped():
            raise StoppedError
    if not forced:
        return ShiftRun(records[0], None, None)
    quiet, disturbed = records
    return ShiftRun(disturbed, quiet, linesim.disturbance(quiet, disturbed, forced[0]))


def figures(
    talk: Talk,
    *,
    scenario: linesim.Scenario,
    hours: float,
    seed: int,
    replications: int,
) -> linesim.Replicated:
    """The same line with other luck, several times: figures with intervals."""

    def so_far(done: float, asked: int) -> None:
        talk.told(done / asked, f"{int(done)} of {asked} runs")
        if talk.stopped():
            raise StoppedError

    return linesim.replicate(
        scenario, hours=hours, seed=seed, replications=replications, progress=so_far
    )


TASKS: dict[str, Callable[..., Any]] = {
    "shift": shift,
    "figures": figures,
    "ask": ask,
    "kept_answer": kept_answer,
    "lesson": lesson,
    "report": report,
}
