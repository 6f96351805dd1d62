"""Where an answer goes: the terminal, JSON, CSV, a workbook, pictures."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from linesim.report.answers import Answer
    from linesim.report.page.model import FigureBlock
    from linesim.report.plain import Terminal


def say(text: str) -> None:
    """Print a text; tables are ruled with hyphens where the terminal has no other line."""
    try:
        "─".encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:
        text = text.replace("─", "-")
    click.echo(text, nl=False)


def write_answer(
    answer: Answer,
    terminal: Terminal,
    json_file: str | None,
    csv_folder: Path | None,
    xlsx: Path | None = None,
    pictures: Path | None = None,
) -> None:
    """Write the files asked for, and print it; with "-" as ``json_file`` as JSON instead."""
    from linesim.files import write_text
    from linesim.report.answers import (
        answer_json,
        answer_text,
        write_answer_csv,
        write_answer_xlsx,
    )

    if csv_folder is not None:
        write_answer_csv(csv_folder, answer)
    if answer.charts and (csv_folder or pictures):
        from linesim.report.page.picture_files import answer_figures

        write_figures(answer_figures(answer), csv_folder, pictures)
    if xlsx is not None:
        write_answer_xlsx(xlsx, answer)
    if json_file == "-":
        click.echo(answer_json(answer), nl=False)
        return
    if json_file is not None:
        write_text(Path(json_file), answer_json(answer))
    say(answer_text(answer, terminal))


def write_figures(figures: Iterable[FigureBlock], *folders: Path | None) -> None:
    """Write each as SVG and PDF into those of the folders that were asked for."""
    from linesim.report.page.picture_files import write_pictures

    drawn = list(figures)
    for folder in dict.fromkeys(filter(None, folders)):
        write_pictures(folder, drawn)
