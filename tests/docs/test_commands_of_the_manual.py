"""Every ``linesim`` command of README and manual runs, page by page, as a reader meets it.

Those of DEVELOPERS.md belong to its walks.

Runs are made shorter than the pages say: the last ``--hours`` on a command line counts.
"""

from __future__ import annotations

import re
import shlex
import shutil
from functools import cache as kept
from importlib import import_module
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from linesim.about.self_check import self_check
from linesim.commands import main
from tests.docs.pages import CLONE, MANUAL, README, answers, commands

HERE = {"--processes": "1"}
"""No other process is started; that changes no figure."""
SHORT = HERE | {"--hours": "1", "--replications": "2", "--resamples": "20"}
AT_ONCE = {"--start": "new"}
"""A line as it is found is run for hours first. A report takes studies that begin as it does."""


LONG = ("linesim add-wrapper plant-line.toml",)
PAGES = (README, *MANUAL)
PRINTED = answers(*MANUAL)
CHECKED = kept(self_check)
FIGURE = re.compile(r"[\d,]*\d(?:\.\d+)?")
WITH_HALF_WIDTH = re.compile(rf"({FIGURE.pattern})(?: ± ({FIGURE.pattern}))?")
FEW_HUNDREDTHS, FEW_STEPS = 0.03, 2


def _without_rules(text: str) -> str:
    return " ".join(word for word in text.split() if set(word) - set("─-"))


def differences(shown: str, said: str) -> list[str]:
    """What is printed and not said: other words, or a figure that has moved.

    Figures may move a little with the packages that they are made with: within the interval that
    is printed, without one by a few hundredths or steps of the last digit. Half widths may be any.
    """
    words, said = (_without_rules(text) for text in (shown, said))
    pattern = FIGURE.sub(r"([\\d,.]+)", re.escape(words).replace(r"\,", ",").replace(r"\.", "."))
    found = re.search(pattern, said)
    if found is None:
        return [words]
    numbers = [float(each.replace(",", "")) for each in FIGURE.findall(words)]
    now = [float(each.rstrip(",.").replace(",", "")) for each in found.groups()]
    at = [m.start() for m in FIGURE.finditer(words)]
    bad = []
    for number, (before, after) in enumerate(zip(numbers, now, strict=True)):
        if words[: at[number]].endswith("± "):
            continue
        figure, half_width = re.match(WITH_HALF_WIDTH, words[at[number] :]).groups()
        if half_width:
            room = float(half_width.replace(",", ""))
        else:
            room = max(FEW_HUNDREDTHS * before, FEW_STEPS * 10.0 ** -len(figure.partition(".")[2]))
        if abs(after - before) > room * (1 + 1e-9):
            bad.append(f"{before} is now {after}")
    return bad


def with_options(arguments: list[str], options: dict[str, str]) -> list[str]:
    """The same command with those of the options that it has."""
    command = main.commands[arguments[0]]
    known = {
        name
        for parameter in command.params
        if isinstance(parameter, click.Option)
        for name in parameter.opts
    }
    return [*arguments, *(part for k, v in options.items() if k in known for part in (k, v))]


def examples(name: str) -> list[str]:
    """The examples that a command's help prints, each on one line."""
    said = CliRunner().invoke(main, [name, "--help"], terminal_width=100).output
    joined = re.sub(r"\\\n\s+", "", said.split("Options:")[0])
    return re.findall(r"^\s+(linesim .*)$", joined, re.MULTILINE)


@pytest.mark.parametrize("name", main.commands)
def test_every_command_has_an_example_that_is_tried_below(name: str):
    shown = examples(name)
    assert shown
    assert [line for line in shown if line not in commands(*PAGES)] == []


def printed_first_on(page: Path) -> list[str]:
    """What is not tried for an earlier page; files that a reader copies are made on each anew."""
    earlier = commands(*PAGES[: PAGES.index(page)])
    return [line for line in commands(page) if line.startswith("cp ") or line not in earlier]


def said_in_full(line: str) -> list[str]:
    """The answers that a command is to give as printed; what takes long is only tried."""
    return [] if line.startswith(LONG) else PRINTED.get(line, [])


def test_enough_answers_are_printed_in_full():
    assert sum(len(said_in_full(line)) for line in commands(*PAGES)) > 5


@pytest.mark.parametrize(
    "page",
    [each for each in PAGES if any(line.startswith("linesim ") for line in printed_first_on(each))],
    ids=lambda page: page.stem,
)
def test_every_command_of_a_page_runs_and_says_what_is_printed(
    page: Path, tmp_path: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.chdir(tmp_path)
    # What it finds is the same whenever it is asked.
    monkeypatch.setattr(import_module("linesim.about.facts"), "self_check", CHECKED)
    shutil.copytree(CLONE / "scenarios", tmp_path / "scenarios")
    for line in printed_first_on(page):
        program, *arguments = shlex.split(line)
        if program == "cp":
            shutil.copy(*arguments)
            continue
        target = None
        if ">" in arguments:
            at = arguments.index(">")
            arguments, target = arguments[:at], Path(arguments[at + 1])
        shown = said_in_full(line)
        # What is written is what a later answer rests on.
        in_full = shown or "--into" in arguments
        options = HERE if in_full else SHORT if "--keep" in arguments else SHORT | AT_ONCE
        result = CliRunner().invoke(main, with_options(arguments, options))
        assert result.exit_code == 0, f"{line}\n{result.output}"
        assert result.output.strip()
        for each in shown:
            assert differences(each, result.output) == [], line
        if target is not None:
            target.write_text(result.stdout, encoding="utf-8")


def test_other_words_and_figures_outside_their_interval_are_found():
    shown = "It makes 1,940 ± 40 an hour.\nIt costs 3.5 EUR."
    assert differences(shown, "Note: It makes 1,950 ± 39 an hour. It costs 3.6 EUR.") == []
    assert differences(shown, "It makes 1,940 ± 40 an hour. It costs 3.8 EUR.") != []
    assert differences(shown, "It makes 1,990 ± 40 an hour. It costs 3.5 EUR.") != []
    assert differences(shown, "It makes 1,940 ± 40 a day. It costs 3.5 EUR.") != []
