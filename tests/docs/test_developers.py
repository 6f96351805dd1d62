"""DEVELOPERS.md: what it points at is there."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator

from linesim.commands import main
from tests.docs.pages import (
    CLONE,
    DEVELOPERS,
    README,
    RESULTS,
    TRUST,
    blocks,
    headings,
    paths_named,
    walk_steps,
)

ORDER = [
    "## Set up",
    "## How the house is laid out",
    "## How a run works",
    "## Two ways to run",
    "## How to add",
    "## Habits",
    "## Why each dependency",
]


def text() -> str:
    return DEVELOPERS.read_text(encoding="utf-8")


def test_it_is_short():
    assert len(text().encode()) < 20_480


def test_headings_stand_in_their_order():
    assert [line for line in headings(text()) if line.startswith("## ")] == ORDER


def test_how_to_add_covers_what_people_add():
    for what in ("A stop cause", "A scenario field", "A station", "A study", "A lesson"):
        assert f"### {what}" in headings(text())


def test_every_path_named_is_there():
    named = paths_named(DEVELOPERS)
    assert len(named) > 40
    made = {step.path for step in walk_steps(DEVELOPERS) if step.where in ("new", "end")}
    beside = paths_named(TRUST)
    assert len(beside) > 15
    missing = [name for name in {*named, *beside} - made if not (CLONE / name).exists()]
    assert missing == []


def test_results_stand_with_command_and_day():
    """Every section names what does it again, a file or command that is there, and a day."""
    sections = RESULTS.read_text(encoding="utf-8").split("\n## ")[1:]
    assert len(sections) > 5
    for section in sections:
        assert re.search(r"^\d{1,2} [A-Z][a-z]+ \d{4}\.$", section, re.MULTILINE), section[:40]
    for block in blocks(RESULTS):
        for line in block.lines:
            program, what = line.split()[:2]
            known = (CLONE / what).exists() if program.endswith("python") else what in main.commands
            assert known, line
    assert {block.heading for block in blocks(RESULTS)} == {
        "## " + section.split("\n")[0] for section in sections
    }


def test_every_folder_of_the_package_is_explained():
    folders = {
        f"{package}/{p.parent.name}"
        for package in ("linesim", "gui")
        for p in (CLONE / package).glob("*/__init__.py")
    }
    explained = set(re.findall(r"^\| `([\w/]+)` \|", text(), re.MULTILINE))
    assert folders <= explained


IMPORTED_AS = {
    "PySide6-Essentials": "PySide6",
    "markdown-it-py": "markdown_it",
    "import-linter": "importlinter",
    "pytest-qt": "pytestqt",
}
"""Where the name differs from the package's."""
RUN = {"ruff", "mypy", "import-linter", "pytest-timeout", "pytest-xdist"}
"""Programs and plugins: named in .ci/run or in the settings of the tests, imported by nobody."""


def names_in(lines: list[str]) -> set[str]:
    return {re.split(r"[\[<>=~!; ]", line)[0] for line in lines}


def imported_in(names: set[str], *folders: str) -> set[str]:
    """Those of the packages that modules of these folders import, anywhere in them."""
    found: set[str] = set()
    for path in sorted(path for folder in folders for path in (CLONE / folder).rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        # Only a module that has the name can import it; to read its code takes far longer.
        if any(name in text for name in names - found):
            found |= names & set(imported_by(ast.parse(text)))
    return found


def imported_by(module: ast.Module) -> Iterator[str]:
    for node in ast.walk(module):
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield (node.module or "").split(".")[0]


def test_every_dependency_is_used():
    project = tomllib.loads((CLONE / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = [line for lines in project["optional-dependencies"].values() for line in lines]
    needed = {IMPORTED_AS.get(name, name) for name in names_in(project["dependencies"])}
    assert needed - imported_in(needed, "linesim", "gui") == set()
    for_tests = {IMPORTED_AS.get(name, name) for name in names_in(extras) - RUN}
    assert for_tests - imported_in(for_tests, "linesim", "gui", "tests") == set()
    ways = (CLONE / ".ci/run").read_text("utf-8") + (CLONE / "pyproject.toml").read_text("utf-8")
    ways += README.read_text("utf-8")
    how = {"import-linter": "lint-imports", "pytest-timeout": "timeout =", "pytest-xdist": " -n "}
    assert [name for name in RUN if how.get(name, name) not in ways] == []


def test_every_dependency_has_its_reason():
    project = tomllib.loads((CLONE / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = [*project["dependencies"]]
    for extra in project["optional-dependencies"].values():
        asked += extra
    names = names_in(asked)
    table = text().split("## Why each dependency")[1].split("\n## ")[0]
    rows = re.findall(r"^\| ([^|]+) \|", table, re.MULTILINE)
    explained = {re.sub(r"\(.*", "", name).strip() for row in rows for name in row.split(",")}
    assert names <= explained
