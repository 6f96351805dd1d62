"""Who imports whom, read from the sources: no circles, and nobody reaches for the whole window."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

CLONE = Path(__file__).parent.parent

THROUGH = {"linesim.line", "linesim.line.line", "linesim.line.told"}
"""A part of the line knows the whole of which it is one, as a type, and calls further on along the
line through one module: circles through these are meant."""


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
    graph = {name: needed - THROUGH for name, needed in graph.items() if name not in THROUGH}
    assert a_circle(graph) == []


def test_a_circle_is_found() -> None:
    assert set(a_circle({"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}})) == {"a", "b", "c"}


def test_only_the_command_knows_the_main_window() -> None:
    knows = {
        name
        for name, path in modules("gui").items()
        for module, imported_name in imported(path)
        if "main_window" in module or imported_name in ("MainWindow", "main_window")
    }
    assert knows == {"gui.command"}
