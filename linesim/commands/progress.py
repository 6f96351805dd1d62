"""How far the work is and how long it will take, on the error stream."""

from __future__ import annotations

import contextlib
import sys
import time
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from linesim.studies.progress import Progress

_EVERY_SECONDS = 20.0


class StderrProgress:
    """One line on a terminal that is written over; elsewhere a line now and then."""

    def __init__(self) -> None:
        self._terminal = sys.stderr.isatty()
        self._last = time.monotonic()
        self._open = False

    def __call__(self, progress: Progress) -> None:
        now = time.monotonic()
        if now - self._last < (0.2 if self._terminal else _EVERY_SECONDS):
            return
        self._last = now
        text = progress.words
        if self._terminal:
            click.echo(f"\r{text:<60}", nl=False, err=True)
            self._open = True
        else:
            click.echo(text, err=True)

    def end(self) -> None:
        """Leave the terminal's line clean."""
        if self._open:
            click.echo("\r" + " " * 60 + "\r", nl=False, err=True)
            self._open = False


@contextlib.contextmanager
def run_progress(replications: int) -> Iterator[Callable[[float, int], None] | None]:
    """A bar of the runs made on the terminal; nothing where the errors go to a file."""
    from rich.console import Console
    from rich.progress import Progress, TimeRemainingColumn

    console = Console(stderr=True)
    if not console.is_terminal:
        yield None
        return
    columns = (*Progress.get_default_columns()[:-1], TimeRemainingColumn())
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("running", total=replications)
        yield lambda done, total: bar.update(task, completed=done, total=total)
