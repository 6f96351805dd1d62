"""How far the work is and how long it will take, on the error stream."""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from linesim.report.answers import Answer
    from linesim.studies.progress import Progress

_EVERY_SECONDS = 20.0


class StderrProgress:
    """One line on a terminal that is written over; elsewhere a line now and then."""

    def __init__(self) -> None:
        self._terminal = sys.stderr.isatty()
        self._last = time.monotonic()
        self._open = False
        self._said = ""

    def __call__(self, progress: Progress) -> None:
        self.say(progress.words)

    def say(self, text: str) -> None:
        """Say how far it is, where that was not said just now."""
        now = time.monotonic()
        if now - self._last < (0.2 if self._terminal else _EVERY_SECONDS):
            return
        self._last = now
        if self._terminal:
            click.echo(f"\r{text:<60}", nl=False, err=True)
            self._open = True
        else:
            click.echo(text, err=True)

    def show_so_far(self, answer: Answer) -> None:
        """What a long search knows by now, where that is something new."""
        said = answer.advised.sentence
        if said != self._said:
            self.end()
            click.echo(said, err=True)
            self._said = said

    def __enter__(self) -> StderrProgress:
        return self

    def __exit__(self, *_: object) -> None:
        self.end()

    def end(self) -> None:
        """Leave the terminal's line clean."""
        if self._open:
            click.echo("\r" + " " * 60 + "\r", nl=False, err=True)
            self._open = False
