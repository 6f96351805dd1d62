"""The tasks of a stop log: a look at it, and the fit of each cause with its pictures."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import linesim
from gui.work.messages import TaskCancelledError, TaskContext


@dataclass(frozen=True)
class FittedLog:
    """The fits, the answer in words and tables, and the pictures of each fit, in order."""

    fits: linesim.plant.LogFits
    answer: linesim.report.Answer
    charts: tuple[tuple[linesim.report.Scatter, ...], ...]


def look_at_log(
    context: TaskContext,
    *,
    paths: tuple[Path, ...],
    scenario: linesim.scenario.Scenario | None,
    reading: linesim.plant.LogSettings,
    settings: linesim.plant.FitSettings,
    forget: bool = False,
) -> linesim.plant.LogLook:
    """What columns are taken for, what is left out, and which causes a log or several have."""
    context.progress(None, f"reading {paths[0].name}")
    if forget and (error := linesim.plant.forget_told(paths, reading)):
        raise OSError(error)
    return linesim.plant.look_at_log(paths, scenario, reading, settings)


def fit_log(
    context: TaskContext,
    *,
    log: linesim.plant.StopLog,
    scenario: linesim.scenario.Scenario | None,
    settings: linesim.plant.FitSettings,
) -> FittedLog:
    """Fit every cause of a log that was read."""

    def so_far(done: int, asked: int, cause: str) -> None:
        context.progress(done / max(1, asked), f"{done} of {asked} causes; now {cause}")

    try:
        found = linesim.plant.fit_log(
            log, scenario, settings, progress=so_far, stop=context.cancelled
        )
    except linesim.studies.StoppedError:
        raise TaskCancelledError from None
    context.progress(1.0, "drawing")
    changing = linesim.plant.with_trend(found.fits)
    charts = tuple(linesim.report.fit_charts(fit, changes=fit in changing) for fit in found.fits)
    answer, _ = linesim.report.fit_answer(found)
    return FittedLog(found, answer, charts)
