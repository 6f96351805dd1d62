"""Who imports whom, read from the sources: no circles, and nobody reaches for the whole window."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

CLONE = Path(__file__).parent.parent

CIRCLES_LEFT = ("linesim.line", "linesim.report.answers")
"""Folders within which modules still import each other in circles."""


def modules(package: str) -> dict[str, Path]:
    """The files of a package by the names they are imported by."""
    found = {}
    for path in (CLONE / package).rglob("*.py"):
        parts = path.relative_to(CLONE).with_suffix("").parts
        found[".".join(parts).removesuffix(".__init__")] = path
    return found


def imported(path: Path) -> Iterator[tuple[str, str]]:
    """Module and name of each import, those for the type checker and within functions too."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module is not None:
            yield from ((node.module, alias.name) for alias in node.names)
        elif isinstance(node, ast.Import):
            yield from ((alias.name, "") for alias in node.names)


def imports(package: str) -> dict[str, set[str]]:
    """For each module of a package those of the same package that it imports."""
    files = modules(package)
    return {
        name: {
            target
            for module, imported_name in imported(path)
            for target in [f"{module}.{imported_name}"]
            for target in [target if target in files else module]
            if target in files and target != name
        }
        for name, path in files.items()
    }


def folder_left(circle: list[str]) -> bool:
    return any(
        all(f"{name}.".startswith(f"{folder}.") for name in circle) for folder in CIRCLES_LEFT
    )


def a_circle(graph: dict[str, set[str]]) -> list[str]:
    """One circle of imports; empty where there is none."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


@pytest.mark.parametrize("package", ["gui", "linesim"])
def test_no_modules_import_each_other_in_a_circle(package: str) -> None:
    graph = imports(package)
    assert sum(map(len, graph.values())) > 100
    while circle := a_circle(graph):
        assert folder_left(circle), " <- ".join(circle)
        # The sorter names a circle from a module back to it; one import less, and on.
        graph[circle[1]].discard(circle[0])


def test_a_circle_is_found() -> None:
    assert set(a_circle({"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}})) == {"a", "b", "c"}
    assert not folder_left(["linesim.lines.a", "linesim.line.b"])


def test_only_the_command_knows_the_main_window() -> None:
    knows = {
        name
        for name, path in modules("gui").items()
        for module, imported_name in imported(path)
        if "main_window" in module or imported_name in ("MainWindow", "main_window")
    }
    assert knows == {"gui.command"}
