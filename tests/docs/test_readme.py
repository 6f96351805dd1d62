"""README.md: the job first, then the two commands, a short tour, and where to read on."""

from __future__ import annotations

import re

import pytest

from tests.docs.pages import CLONE, MANUAL, README, blocks, commands, headings

ORDER = [
    "# linesim",
    "## Run it",
    "## Run the tests",
    "## A tour in ten lines",
    "## Where to read on",
    "## Cautions",
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


def test_it_is_a_front_door():
    assert len(text().splitlines()) < 200
    tour = [block for block in blocks(README) if block.heading == "## A tour in ten lines"]
    assert len(tour[0].lines) == 10
    assert commands(README)


def test_it_leads_to_every_chapter_and_to_nothing_that_is_not_there():
    links = re.findall(r"\]\(([^)]+)\)", text())
    assert all((CLONE / link).exists() for link in links)
    assert {page.relative_to(CLONE).as_posix() for page in MANUAL} <= set(links)


def test_cautions_name_what_local_codes_decide():
    cautions = text().split("## Cautions")[1].split("\n## ")[0]
    for word in ("reels", "knives", "jams", "nips", "lockout", "local codes", "licensed practice"):
        assert word in cautions
    assert "invented" in cautions
