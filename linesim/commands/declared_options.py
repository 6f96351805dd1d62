"""Options of commands made from declarations."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from linesim.commands.run_options import Decorator, Number
from linesim.questions import Option, RunSettings

_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


def declared_option(option: Option) -> Decorator:
    """Gives a command an option that has a flag of its own."""
    if option.kind is tuple:
        return click.argument(option.name, nargs=-1, required=True, metavar=option.metavar)
    if option.argument:
        return click.argument(option.name, required=option.required, metavar=option.metavar)
    more: dict[str, Any] = {"help": option.help, "required": option.required}
    if option.kind is bool:
        # What is on already needs a flag that turns it off.
        off = f"/--no-{option.flag.removeprefix('--')}" if option.default else ""
        return click.option(
            option.flag + off, option.name, is_flag=True, default=option.default, help=option.help
        )
    if option.choices:
        more["type"] = click.Choice(option.choices)
    else:
        more["metavar"] = option.metavar
    if option.kind in (int, float):
        more["type"] = _range(option)
        if not option.required and option.default is not None:
            more |= {"default": option.default, "show_default": True}
    elif option.file:
        more["type"] = _FILE
    elif option.several:
        more |= {"multiple": True, "help": f"{option.help} May be given several times."}
    return click.option(option.flag, option.name, **more)


def _range(option: Option) -> click.IntRange | Number:
    if option.kind is int:
        assert option.least is not None
        assert option.most is not None
        return click.IntRange(int(option.least), int(option.most))
    # Where the option is required its default says nothing, and cannot be given.
    above = option.above_least or (option.required and option.default == option.least)
    return Number(min=option.least, max=option.most, min_open=above)


def run_option(name: str, **other: Any) -> Decorator:
    """Gives a command an option of :class:`RunSettings`, with ``other`` words, default or range."""
    return declared_option(replace(RunSettings.declared()[name], **other))
