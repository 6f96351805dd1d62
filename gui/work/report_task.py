"""The task of a report: written from the figures on screen, in a process of its own."""

from __future__ import annotations

import shlex
from pathlib import Path

import linesim
from gui.work.messages import TaskContext
from gui.work.replications import replicated


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
) -> Path:
    """Run the line, and write the report to ``target`` (.html or .pdf)."""
    result = replicated(
        context,
        scenario,
        hours=hours,
        seed=seed,
        replications=replications,
        processes=None,
    )
    command = ["linesim", "report", name, "--hours", f"{hours:.10g}"]
    command += ["--replications", str(replications), "--seed", str(seed)]
    command += ["--appendix"] if appendix else []
    command += ["-o", target.name]
    page = linesim.report.report_page(
        scenario,
        result,
        list(answers),
        question=question,
        date=date,
        typed=(shlex.join(command),),
        text=text,
        appendix=appendix,
        fits=fits,
    )
    if target.suffix.lower() == ".pdf":
        linesim.files.write_bytes(target, page.pdf())
    else:
        linesim.files.write_bytes(target, page.html().encode())
    return target
