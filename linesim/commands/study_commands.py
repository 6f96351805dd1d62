"""The commands of the studies, made from what each study declares."""

from __future__ import annotations

import re
import textwrap
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
    pictures_option,
    processes_option,
    scenario_argument,
    start_option,
    wide_option,
)
from linesim.commands.run_study import run_study
from linesim.questions import STUDIES, Option, RunSettings, Study

_EXAMPLE_WIDTH = 80


def _gone_option(flag: str, instead: str) -> Decorator:
    """An option of former versions: whoever gives it is told what to do instead."""

    def refuse(_: click.Context, __: click.Parameter, given: tuple[str, ...]) -> None:
        if given:
            raise RefusedError(f"{flag} is no longer there: {instead}")

    return click.option(flag, multiple=True, hidden=True, expose_value=False, callback=refuse)


def _study_options(replications: int) -> tuple[Decorator, ...]:
    """What every study takes, in the order of its help."""
    return (
        run_option("replications", default=replications),
        *(run_option(name) for name in RunSettings.declared() if name != "replications"),
        start_option,
        processes_option,
        click.option(
            "--cluster",
            metavar="WHERE",
            help="Make the runs on the workers of a Dask scheduler: local for workers of this"
            " machine (as many as --processes), an address such as tcp://10.0.0.5:8786, or the"
            " scheduler's file, which ends in .json. What a scheduler sends back is unpacked as"
            " Python objects, which can run code: name only one that you trust, on a network that"
            " you trust.",
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
        csv_option("Write each table to FOLDER as CSV, and the pictures."),
        pictures_option("Draw each chart to FOLDER as SVG and PDF."),
        click.option(
            "--xlsx",
            type=click.Path(dir_okay=False, path_type=Path),
            metavar="FILE",
            help="Write the tables to FILE as a workbook.",
        ),
        wide_option("--csv FOLDER", "--xlsx FILE"),
    )


def study_command(study: Study) -> click.Command:
    """The command that asks a study, prints the answer and writes it to files."""
    declared = study.options.declared()
    decorators = [_scenarios(study)]
    decorators += [declared_option(each) for each in declared.values() if not each.unless]
    gone = {flag: instead for flag, instead in study.gone.items() if flag.startswith("--")}
    decorators += [_gone_option(flag, instead) for flag, instead in gone.items()]
    decorators += _study_options(study.replications)

    @click.pass_context
    def command(ctx: click.Context, /, scenario: str | tuple[str, ...], **given: Any) -> None:
        names = (scenario,) if isinstance(scenario, str) else scenario
        if study.several and (len(names) < 2 or len(set(names)) < len(names)):
            raise RefusedError("name two or more different scenarios to compare")
        scenarios = {name if study.several else "": loaded(name) for name in names}
        options: dict[str, Any] = {}
        for option in declared.values():
            if option.unless:
                source = ctx.get_parameter_source(option.unless)
                options[option.name] = source is ParameterSource.DEFAULT
            else:
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
