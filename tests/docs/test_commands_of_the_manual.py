"""Every ``linesim`` command in the manual runs, in the order in which a reader meets it.

Those of DEVELOPERS.md belong to its walks.

Runs are made shorter than the pages say: the last ``--hours`` on a command line counts.
"""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from linesim.commands import main
from tests.docs.pages import CLONE, README, commands

SHORT = {
    "--hours": "1",
    "--replications": "2",
    "--processes": "1",
    "--resamples": "20",
}
AT_ONCE = {"--start": "new"}
"""A line as it is found is run for hours first. A report takes studies that begin as it does."""


def shortened(arguments: list[str]) -> list[str]:
    """The same command with little to do, where it has options for that."""
    command = main.commands[arguments[0]]
    known = {
        name
        for parameter in command.params
        if isinstance(parameter, click.Option)
        for name in parameter.opts
    }
    short = SHORT if "--keep" in arguments else SHORT | AT_ONCE
    return [*arguments, *(part for k, v in short.items() if k in known for part in (k, v))]


def examples(name: str) -> list[str]:
    """The examples that a command's help prints, each on one line."""
    said = CliRunner().invoke(main, [name, "--help"], terminal_width=100).output
    joined = re.sub(r"\\\n\s+", "", said.split("Options:")[0])
    return re.findall(r"^\s+(linesim .*)$", joined, re.MULTILINE)


@pytest.mark.parametrize("name", main.commands)
def test_every_command_has_an_example_that_is_tried_below(name: str):
    shown = examples(name)
    assert shown
    assert [line for line in shown if line not in commands(README)] == []


# Some twenty commands in a row: on a busy machine they need longer than one test may.
@pytest.mark.timeout(400)
def test_every_command_of_the_manual_runs(
    tmp_path: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.chdir(tmp_path)
    shutil.copytree(CLONE / "scenarios", tmp_path / "scenarios")
    lines = commands(README)
    assert lines
    for line in dict.fromkeys(lines):
        program, *arguments = shlex.split(line)
        if program == "cp":
            shutil.copy(*arguments)
            continue
        target = None
        if ">" in arguments:
            at = arguments.index(">")
            arguments, target = arguments[:at], Path(arguments[at + 1])
        result = CliRunner().invoke(main, shortened(arguments))
        assert result.exit_code == 0, f"{line}\n{result.output}"
        assert result.output.strip()
        if target is not None:
            target.write_text(result.stdout, encoding="utf-8")
