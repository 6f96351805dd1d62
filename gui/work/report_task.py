"""The task of a report: written from the figures on screen, in a process of its own."""

from __future__ import annotations

from pathlib import Path

import linesim
from gui.work.talk import Talk

REPLICATIONS = 20


def report(
    talk: Talk,
    *,
    scenario: linesim.Scenario,
    text: str,
    name: str,
    hours: float,
    seed: int,
    answers: tuple[tuple[linesim.Scenario, linesim.Answer], ...],
    target: Path,
) -> Path:
    """Run the line, and write the report to ``target`` (.html or .pdf)."""

    def so_far(done: float, asked: int) -> None:
        talk.told(done / asked, f"{int(done)} of {asked} runs")

    result = linesim.replicate(
        scenario, hours=hours, seed=seed, replications=REPLICATIONS, progress=so_far
    )
    command = (
        f"linesim report {name} --hours {hours:.10g} --replications {REPLICATIONS}"
        f" --seed {seed} -o {target.name}"
    )
    page = linesim.report_page(scenario, result, list(answers), typed=(command,), text=text)
    if target.suffix.lower() == ".pdf":
        linesim.write_bytes(target, page.pdf())
    else:
        linesim.write_bytes(target, page.html().encode())
    return target
