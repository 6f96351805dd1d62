"""The commands of the studies, made from what each study declares."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import click
from click.core import ParameterSource

from linesim.commands.declared_options import declared_option, run_option
from linesim.commands.exit_codes import RefusedError
from linesim.commands.run_options import (
    Decorator,
    csv_option,
    json_option,
    loaded,
    processes_option,
    scenario_argument,
    start_option,
)
from linesim.commands.run_study import run_study
from linesim.questions import STUDIES, Option, RunSettings, Study

_EXAMPLE_WIDTH = 80


def _items_option(flag: str, items: Iterable[Option]) -> Decorator:
    """One option for several of a study: each use of it sets one of them."""
    names = ", ".join(option.item for option in items)
    return click.option(
        flag,
        _items_name(flag),
        multiple=True,
        metavar="WHAT=PERCENT",
        help=f"Standard deviation of an input: {names}. May be given several times.",
    )


def _items_name(flag: str) -> str:
    return flag.removeprefix("--").replace("-", "_")


def _items_given(flag: str, items: dict[str, Option], given: Iterable[str]) -> dict[str, float]:
    values: dict[str, float] = {}
    for text in given:
        name, sign, value = text.partition("=")
        if not sign or name not in items:
            raise RefusedError(
                f"{flag}: {text!r}; right would be one of {', '.join(items)} with a percentage,"
                f" such as {next(iter(items))}=10"
            )
        option = items[name]
        try:
            percent = float(value.removesuffix("%"))
        except ValueError:
            percent = -1.0
        if not (option.least or 0) <= percent <= (option.most or 100):
            raise RefusedError(
                f"{flag}: {text!r}: the percentage must be {option.least:g} to {option.most:g}"
            )
        values[option.name] = percent
    return values


def _study_options(replications: int) -> tuple[Decorator, ...]:
    """What every study takes, in the order of its help."""
    return (
        run_option("replications", default=replications),
        *(run_option(name) for name in RunSettings.declared() if name != "replications"),
        start_option,
        processes_option,
        click.option(
            "--cluster",
            metavar="ADDRESS",
            help="Make the runs on the workers of a Dask scheduler, such as tcp://10.0.0.5:8786."
            " What a scheduler sends back is unpacked as Python objects, which can run code: name"
            " only one that you trust, on a network that you trust.",
        ),
        click.option(
            "--keep",
            type=click.Path(dir_okay=False, path_type=Path),
            metavar="FILE",
            help="Keep every finished run in FILE for good. Unless given, runs are kept in"
            " the cache until the study is complete, so that an interrupted one resumes.",
        ),
        click.option("--start-over", is_flag=True, help="Discard the kept runs first."),
        json_option("the answer", instead="text"),
        csv_option("Write each table to FOLDER as CSV."),
        click.option(
            "--xlsx",
            type=click.Path(dir_okay=False, path_type=Path),
            metavar="FILE",
            help="Write the tables to FILE as a workbook.",
        ),
    )


def study_command(study: Study) -> click.Command:
    """The command that asks a study, prints the answer and writes it to files."""
    declared = study.options.declared()
    items: dict[str, dict[str, Option]] = {}
    decorators = [_scenarios(study)]
    for option in declared.values():
        if option.item:
            items.setdefault(option.flag, {})[option.item] = option
        elif not option.unless:
            decorators.append(declared_option(option))
    decorators += [_items_option(flag, each.values()) for flag, each in items.items()]
    decorators += _study_options(study.replications)

    @click.pass_context
    def command(ctx: click.Context, /, scenario: str | tuple[str, ...], **given: Any) -> None:
        names = (scenario,) if isinstance(scenario, str) else scenario
        if study.several and (len(names) < 2 or len(set(names)) < len(names)):
            raise RefusedError("name two or more different scenarios to compare")
        scenarios = {name if study.several else "": loaded(name) for name in names}
        options: dict[str, Any] = {}
        for flag, each in items.items():
            options |= _items_given(flag, each, given.pop(_items_name(flag)))
        for option in declared.values():
            if option.unless:
                source = ctx.get_parameter_source(option.unless)
                options[option.name] = source is ParameterSource.DEFAULT
            elif not option.item:
                options[option.name] = _value(option, given.pop(option.name))
        run_study(ctx, study, options, scenarios, given)

    for decorate in reversed(decorators):
        command = decorate(command)
    return click.command(study.name, help=_help(study))(command)


def _scenarios(study: Study) -> Decorator:
    if study.several:
        return click.argument("scenario", nargs=-1, required=True, metavar="SCENARIO...")
    return scenario_argument


def _value(option: Option, given: Any) -> Any:
    if option.several:
        return ";".join(given) or None
    return str(given) if isinstance(given, Path) else given


def _help(study: Study) -> str:
    arguments = [each.help for each in study.options.declared().values() if each.kind is tuple]
    # A line ends before an option, not between it and its value.
    words = re.sub(r" (?!--)", "\xa0", f"linesim {study.name} {study.example}")
    example = textwrap.wrap(
        words,
        _EXAMPLE_WIDTH,
        subsequent_indent="    ",
        break_long_words=False,
        break_on_hyphens=False,
    )
    return "\n\n".join(
        (
            f"{study.title}.",
            " ".join((study.description, *arguments)),
            "\b\n    " + " \\\n    ".join(example).replace("\xa0", " "),
        )
    )


STUDY_COMMANDS = tuple(study_command(study) for study in STUDIES.values())
