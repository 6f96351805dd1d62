"""What the recipe of the bundle takes along and leaves out agrees with what the program needs."""

from __future__ import annotations

import ast
from pathlib import Path

from linesim.about.facts import LIBRARIES

CLONE = Path(__file__).parents[2]
RECIPE = CLONE / ".ci" / "bundle.spec"


def _named(name: str) -> set[str]:
    for node in ast.parse(RECIPE.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == name:
            return set(ast.literal_eval(node.value))
    raise KeyError(name)


def test_libraries_whose_versions_are_said_are_known_in_it_by_name() -> None:
    # numba has done its work when the bundle is made; a cluster's library is left to who has one.
    assert set(LIBRARIES) - {"numba", "distributed"} == _named("METADATA")


def test_nothing_that_the_program_imports_is_left_out() -> None:
    left_out = _named("LEFT_OUT")
    found = set()
    for package in ("linesim", "gui"):
        for file in (CLONE / package).rglob("*.py"):
            text = file.read_text(encoding="utf-8")
            near = any(name.split(".")[-1] in text for name in left_out)
            for node in ast.walk(ast.parse(text if near else "")):
                if isinstance(node, ast.ImportFrom) and node.module:
                    found |= {node.module, *(f"{node.module}.{n.name}" for n in node.names)}
                elif isinstance(node, ast.Import):
                    found |= {each.name for each in node.names}
    assert {each for each in found if each in left_out} == {"numba"}
