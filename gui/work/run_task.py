"""The tasks behind taking a run away: its figures as text and JSON, its course as tables."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import linesim
from gui.work.replications import replicated
from gui.work.talk import StoppedError, Talk


@dataclass(frozen=True)
class RunAsked:
    """What is asked of a run in figures; ``within_percent`` is None where no width is asked for."""

    hours: float
    replications: int
    seed: int
    long_run: bool = False
    within_percent: float | None = None
    most: int = 200
    audit: bool = False


@dataclass(frozen=True)
class RunTold:
    """The report as text and all figures as JSON; ``sound``: no audit found a fault."""

    text: str
    json: str
    sound: bool


def run_told(talk: Talk, *, scenario: linesim.scenario.Scenario, asked: RunAsked) -> RunTold:
    """Run the line with so much luck, and say what ``linesim run`` says."""

    settled, hours = None, asked.hours
    if asked.long_run:
        talk.told(None, "finding out how long the long run is")
        try:
            settled = linesim.studies.long_run_for(
                scenario,
                hours=asked.hours,
                replications=asked.replications,
                seed=asked.seed,
                stop=talk.stopped,
            )
        except linesim.studies.StoppedError:
            raise StoppedError from None
        scenario, hours = linesim.studies.in_the_long_run(scenario), settled.hours
    result = replicated(
        talk,
        scenario,
        hours=hours,
        replications=asked.replications,
        seed=asked.seed,
        warm_up_h=settled.warm_up_h if settled is not None else 0.0,
        narrow=None if asked.within_percent is None else asked.within_percent / 100,
        most=asked.most,
        check=asked.audit,
        processes=None,
    )
    text = linesim.report.run_text(
        result, settled=settled, within_percent=asked.within_percent, audit=asked.audit
    )
    sound = not any(check.faults for run in result.runs for check in run.checks)
    return RunTold(text, linesim.report.json_text(result), sound)


def run_tables(
    talk: Talk,
    *,
    scenario: linesim.scenario.Scenario,
    hours: float,
    seed: int,
    replication: int,
    forced: tuple[linesim.scenario.ForcedStop, ...],
    folder: Path,
) -> tuple[Path, ...]:
    """Run the line once and write its course into ``folder`` as tables."""

    def so_far(part: float) -> bool:
        talk.told(part, "")
        return not talk.stopped()

    record = linesim.fast.simulate(
        scenario,
        hours=hours,
        seed=seed,
        replication=replication,
        forced=forced,
        progress=so_far,
    )
    if talk.stopped():
        raise StoppedError
    return linesim.report.write_folder(folder, record)
