"""The tasks of an answer on paper: as a file, and laid out for a printer."""

from __future__ import annotations

from pathlib import Path

import linesim
from gui.work.messages import TaskContext


def answer_pdf(
    _: TaskContext,
    *,
    scenario: linesim.scenario.Scenario,
    answer: linesim.report.Answer,
    remarks: tuple[str, ...],
    target: Path,
) -> Path:
    """Write the page of an answer as PDF."""
    page = linesim.report.answer_page(scenario, answer, remarks)
    linesim.files.write_bytes(target, page.pdf())
    return target


def answer_text(
    _: TaskContext,
    *,
    scenario: linesim.scenario.Scenario,
    answer: linesim.report.Answer,
    remarks: tuple[str, ...],
) -> linesim.report.RichText:
    """The page of an answer as text and pictures."""
    return linesim.report.answer_page(scenario, answer, remarks).rich_text()
