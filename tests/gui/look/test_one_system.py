"""One visual system: distances, colours and sizes of letters come from where each is said."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import gui
from gui.look import APART, CLOSE, FAR, NEAR

SOURCES = sorted(Path(gui.__file__).parent.rglob("*.py"))
_DISTANCES = (
    "setContentsMargins",
    "setSpacing",
    "setHorizontalSpacing",
    "setVerticalSpacing",
    "addSpacing",
    "spaced",
)
_LETTERS = ("setPointSize", "setPointSizeF")


def calls(names: tuple[str, ...]) -> dict[Path, list[ast.Call]]:
    """Where these are called, by file."""
    found: dict[Path, list[ast.Call]] = {}
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call):
                name = getattr(node.func, "attr", getattr(node.func, "id", ""))
                if name in names:
                    found.setdefault(path, []).append(node)
    return found


def test_distances_are_those_of_the_grid() -> None:
    assert (CLOSE, NEAR, APART, FAR) == (4, 8, 16, 24)
    numbers = [
        f"{path.name}:{node.lineno}"
        for path, nodes in calls(_DISTANCES).items()
        for node in nodes
        for given in [*node.args, *(each.value for each in node.keywords)]
        if isinstance(given, ast.Constant) and given.value
    ]
    assert not numbers, "distances have names in gui.look.spacing"


def test_colours_stand_in_the_palette_alone() -> None:
    written = [
        path.name
        for path in SOURCES
        if path.name != "palette.py" and re.search(r"#[0-9a-fA-F]{6}\b", path.read_text("utf-8"))
    ]
    assert not written


def test_sizes_of_letters_are_given_in_one_place() -> None:
    assert [path.name for path in calls(_LETTERS)] == ["type.py"]
