"""The task of a report: written from the figures on screen, in a process of its own."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import linesim
from gui.work.messages import TaskContext
from gui.work.replications import helps_for, replicated


def report(
    context: TaskContext,
    *,
    scenario: linesim.scenario.Scenario,
    text: str,
    name: str,
    hours: float,
    seed: int,
    answers: tuple[tuple[linesim.scenario.Scenario, linesim.report.Answer], ...],
    target: Path,
    question: str | None = None,
    date: str | None = None,
    replications: int = 20,
    appendix: bool = False,
    fits: linesim.plant.LogFits | None = None,
    studies_typed: tuple[tuple[str, str], ...] = (),
) -> Path:
    """Run the line, and write the report to ``target`` (.html or .pdf).

    ``studies_typed`` are the command that gives each answer again, and the file it is kept in.
    """
    result = replicated(
        context,
        scenario,
        hours=hours,
        seed=seed,
        replications=replications,
        processes=None,
    )
    command = linesim.questions.report_typed(
        name,
        [file for _, file in studies_typed],
        logs=[] if fits is None else fits.log.files,
        production=[] if fits is None else fits.settings.production_files,
        words={**_dates(fits), "--question": question, "--date": date},
        hours=hours,
        replications=replications,
        seed=seed,
        appendix=appendix,
        suffix=target.suffix,
    )
    page = linesim.report.report_page(
        scenario,
        result,
        list(answers),
        question=question,
        date=date,
        typed=(*filter(None, (asked for asked, _ in studies_typed)), command),
        text=text,
        appendix=appendix,
        fits=fits,
        # A study says it better.
        helps="" if answers else helps_for(context, result),
    )
    if target.suffix.lower() == ".pdf":
        linesim.files.write_bytes(target, page.pdf())
    else:
        linesim.files.write_bytes(target, page.html().encode())
    return target


def _dates(fits: linesim.plant.LogFits | None) -> dict[str, str | None]:
    """From when to when the log was used, as the command takes it: its last day is used."""
    if fits is None:
        return {}
    since, until = fits.settings.since, fits.settings.until
    last = None if until is None else until - dt.timedelta(days=1)
    ends = {"--from": since, "--to": last}
    return {flag: f"{day:%Y-%m-%d}" for flag, day in ends.items() if day is not None}
