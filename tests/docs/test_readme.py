"""README.md: the job first, then the two commands, and figures that still come out."""

from __future__ import annotations

import re
import tomllib

import pytest
from click.testing import CliRunner

from linesim.commands import main
from linesim.questions import STUDIES
from linesim.scenario import check_text, shipped_scenarios
from tests.docs.pages import CLONE, README, blocks, commands, headings

ORDER = [
    "# linesim",
    "## Run it",
    "## Run the tests",
    "## What it does",
    "## Demo lines",
    "## A worked example",
    "## Your own line",
    "## Commands",
    "## From Python",
    "## The window",
    "## A report to sign",
    "## Orders",
    "## From your own log",
    "## Believe it or not",
    "## How to read the figures",
    "## Cautions",
    "## Limits of the model",
]


def text() -> str:
    return README.read_text(encoding="utf-8")


def test_headings_stand_in_their_order():
    assert headings(text()) == ORDER


def test_first_comes_one_paragraph_that_says_the_job():
    first = text().split("\n\n")[1]
    assert re.match(r"[A-Z]", first)
    assert first.count(".") >= 2
    for word in ("line", "deliver", "why", "change", "money"):
        assert word in first


@pytest.mark.parametrize(
    ("heading", "must_hold"),
    [
        ("## Run it", ["-m venv .venv", "pip install", "linesim run short-bridge"]),
        ("## Run the tests", ["'.[dev]'", "QT_QPA_PLATFORM=offscreen", "pytest"]),
    ],
)
def test_each_of_the_two_commands_is_one_line(heading: str, must_hold: list[str]):
    under = [block for block in blocks(README) if block.heading == heading]
    assert len(under) == 1
    assert len(under[0].lines) == 1
    for part in must_hold:
        assert part in under[0].lines[0]


def test_every_demo_is_named():
    table = text().split("## Demo lines")[1].split("\n## ")[0]
    named = re.findall(r"^\| `([\w-]+)` \|", table, re.MULTILINE)
    assert sorted(named) == sorted(shipped_scenarios())
    assert all((CLONE / "scenarios" / f"{name}.toml").exists() for name in named)


def test_every_command_is_named_and_no_other():
    table = text().split("## Commands")[1].split("\n## ")[0]
    named = re.findall(r"^\| `([\w-]+)` \|", table, re.MULTILINE)
    assert sorted(named) == sorted(main.commands)


def test_a_study_is_said_as_it_is_declared():
    table = text().split("## Commands")[1].split("\n## ")[0]
    rows = re.findall(r"^\| `([\w-]+)` \| (.*) \|$", table, re.MULTILINE)
    declared = [(study.name, study.question) for study in STUDIES.values()]
    assert [row for row in rows if row[0] in STUDIES] == declared


def test_the_piece_of_a_scenario_file_is_a_scenario():
    pieces = [block for block in blocks(README) if block.kind == "toml"]
    assert pieces
    for piece in pieces:
        body = "\n".join(piece.lines)
        tomllib.loads(body)
        check_text(body)


def test_the_worked_example_still_comes_out():
    """Within its interval: figures may move a little with the packages they are made with."""
    shown = next(b for b in blocks(README) if b.kind == "text" and "good reams in" in b.lines[0])
    assert "linesim run short-bridge" in commands(README)
    ran = CliRunner().invoke(main, ["run", "short-bridge", "--processes", "1"])
    assert ran.exit_code == 0, ran.output
    figure = re.compile(r"makes ([\d,]+) ± ([\d,]+) good reams in a shift of 8 h")

    def reams(report: str) -> tuple[int, int]:
        found = figure.search(" ".join(report.split()))
        assert found
        mean, half_width = (int(part.replace(",", "")) for part in found.groups())
        return mean, half_width

    mean, half_width = reams("\n".join(shown.lines))
    mean_now, _ = reams(ran.output)
    assert abs(mean_now - mean) <= half_width
    rows_now = ran.output
    for line in shown.lines:
        label = re.match(r"(?:  - )?([a-z][a-zA-Z -]+?)  +\S", line)
        if label:
            assert label[1] in rows_now


def test_cautions_name_what_local_codes_decide():
    cautions = text().split("## Cautions")[1].split("\n## ")[0]
    for word in ("reels", "knives", "jams", "manning", "local codes", "licensed practice"):
        assert word in cautions
    assert "invented" in cautions
