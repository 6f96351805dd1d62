"""DEVELOPERS.md: what it points at is there."""

from __future__ import annotations

import re
import tomllib

from tests.docs.pages import CLONE, DEVELOPERS, headings, paths_named, walk_steps

ORDER = [
    "## Set up",
    "## How the house is laid out",
    "## How a run works",
    "## The compiled engine",
    "## How to add",
    "## Habits",
    "## Why each dependency",
    "## Benchmarks",
    "## Trust",
    "## Sources",
]


def text() -> str:
    return DEVELOPERS.read_text(encoding="utf-8")


def test_headings_stand_in_their_order():
    assert [line for line in headings(text()) if line.startswith("## ")] == ORDER


def test_how_to_add_covers_what_people_add():
    for what in ("A stop cause", "A scenario field", "A station", "A study", "A lesson"):
        assert f"### {what}" in headings(text())


def test_every_path_named_is_there():
    named = paths_named(DEVELOPERS)
    assert len(named) > 40
    made = {step.path for step in walk_steps(DEVELOPERS) if step.where in ("new", "end")}
    assert [name for name in named if not (CLONE / name).exists() and name not in made] == []


def test_every_folder_of_the_package_is_explained():
    folders = {
        f"{package}/{p.parent.name}"
        for package in ("linesim", "gui")
        for p in (CLONE / package).glob("*/__init__.py")
    }
    explained = set(re.findall(r"^\| `([\w/]+)` \|", text(), re.MULTILINE))
    assert folders <= explained


def test_every_dependency_has_its_reason():
    project = tomllib.loads((CLONE / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = [*project["dependencies"]]
    for extra in project["optional-dependencies"].values():
        asked += extra
    names = {re.split(r"[\[<>=~! ]", line)[0] for line in asked}
    table = text().split("## Why each dependency")[1].split("\n## ")[0]
    rows = re.findall(r"^\| ([^|]+) \|", table, re.MULTILINE)
    explained = {re.sub(r"\(.*", "", name).strip() for row in rows for name in row.split(",")}
    assert names <= explained
