"""What commands share that make runs: the heads of their options, and where results may go.

An option means the same and is spelt the same wherever it is offered; what differs from one
command to the next (a default, a sentence of help) is given here as an argument.
"""

from __future__ import annotations

import math
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

import click

from linesim.commands.exit_codes import RefusedError

if TYPE_CHECKING:
    from linesim.report.plain import Terminal
    from linesim.scenario import Scenario

_LEAST_WIDTH = 40
"""Letters on a line of a terminal: on fewer no table is legible."""
F = TypeVar("F", bound=Callable[..., Any])


class Decorator(Protocol):
    """Gives a command one more option, and the command back as it was typed."""

    def __call__(self, command: F, /) -> F:
        """Add the option."""
        ...


class Number(click.FloatRange):
    """A number in a range; "nan", which lies in none, is refused too."""

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        number = float(super().convert(value, param, ctx))
        if math.isnan(number):
            self.fail(f"{value!r} is not a number", param, ctx)
        return number


def above_zero(most: float) -> Number:
    """A number above 0, up to ``most``."""
    return Number(min=0, min_open=True, max=most)


def scenario_argument(command: F) -> F:
    """The scenario a command is about: a path, or the name of a demo."""
    return click.argument("scenario", metavar="SCENARIO")(command)


def loaded(scenario: str) -> Scenario:
    """The scenario of that path or name; raises ``ScenarioFaults`` with all that is wrong."""
    from linesim.scenario import find_scenario, load

    return load(find_scenario(scenario))


def start_option(command: F) -> F:
    """In which state runs start."""
    return click.option(
        "--start",
        type=click.Choice(["as-found", "new"]),
        help="as-found: each run starts as the line is found on any day, everything part used; new:"
        " as after an overhaul, meters at zero, rolls and reels full, bridge empty. Unless given,"
        " as [start] of the scenario says.",
    )(command)


def started(scenario: Scenario, start: str | None) -> Scenario:
    """The scenario with its runs started as the option says."""
    return scenario.varied(start={"state": start.replace("-", "_")}) if start else scenario


def processes_option(command: F) -> F:
    """How many processes share the work."""
    return click.option(
        "--processes",
        type=click.IntRange(1, 256),
        metavar="P",
        help="Processes to share the runs; unless given, chosen by the work. Changes no figure.",
    )(command)


def json_option(what: str, instead: str) -> Decorator:
    """Where the answer goes as JSON; ``instead`` is what ``-`` prints it instead of."""
    return click.option(
        "--json",
        "json_file",
        metavar="FILE",
        help=f'Write {what} to FILE as JSON; "-" prints it instead of the {instead}.',
    )


def csv_option(words: str) -> Decorator:
    """Where tables go as CSV."""
    return click.option(
        "--csv", "csv_folder", type=click.Path(path_type=Path), metavar="FOLDER", help=words
    )


def wide_option(*others: str) -> Decorator:
    """Tables in full; ``others`` are the options that write all of a table elsewhere."""

    def terminal(_: click.Context, __: click.Parameter, wide: bool) -> Terminal:
        from linesim.report.plain import WIDTH, Terminal

        width = shutil.get_terminal_size().columns if sys.stdout.isatty() else WIDTH
        shown = " or ".join((", ".join(("--wide", *others[:-1])), *others[-1:]))
        return Terminal(max(_LEAST_WIDTH, width), wide, f"{shown} shows all.")

    return click.option(
        "--wide",
        "terminal",
        is_flag=True,
        callback=terminal,
        help="Show each table in full, one row a line. Otherwise columns that find no room on the"
        " terminal are left out, and named below the table.",
    )


def pictures_option(words: str) -> Decorator:
    """Where charts go."""
    return click.option(
        "--pictures", "pictures", type=click.Path(path_type=Path), metavar="FOLDER", help=words
    )


def refuse_bad_file(option: str, target: str | Path | None) -> None:
    """Say before the work, not after it, that its result could not be written to that file."""
    if target is None or str(target) == "-":
        return
    path = Path(target)
    if path.is_dir():
        raise RefusedError(f"{option}: {path} is a folder; name a file")
    if not path.parent.is_dir():
        raise RefusedError(f"{option}: there is no folder {path.parent}")


def refuse_bad_folder(option: str, target: Path | None) -> None:
    """Say before the work that its result could not be written to that folder."""
    if target is None:
        return
    # What is missing of it is made; what is there must be folders.
    there = next(each for each in (target, *target.absolute().parents) if each.exists())
    if not there.is_dir():
        raise RefusedError(f"{option}: {there} is a file; name a folder")


def say_engine(hours: float) -> None:
    """See to the engine for so many simulated hours, and say what is unusual about it."""
    from linesim.fast import ready_engine

    words = ready_engine(hours)
    if words:
        click.echo(words, err=True)
