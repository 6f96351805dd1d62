"""No module uses what another keeps to itself: what begins with one ``_``."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

CLONE = Path(__file__).parents[2]
FILES = sorted(path for folder in ("linesim", "gui") for path in (CLONE / folder).rglob("*.py"))

NOT_OURS = {
    ("linesim/studies/executors.py", "os._exit"),
    ("gui/window/abnormal_exit.py", "os._exit"),
}
"""Other people's functions that are public in spite of their names: the only exceptions but one."""
NAMED_TUPLES = {"_asdict", "_fields", "_make", "_replace"}
"""Public by the rules of Python's named tuples."""

BY_NAME = ("getattr", "setattr", "hasattr")


def _is_private(name: object) -> bool:
    return isinstance(name, str) and name.startswith("_") and not name.startswith("__")


def _own(value: ast.expr) -> bool:
    """``self``, ``cls`` or ``super()``."""
    if isinstance(value, ast.Call):
        return isinstance(value.func, ast.Name) and value.func.id == "super"
    return isinstance(value, ast.Name) and value.id in ("self", "cls")


def uses(tree: ast.Module) -> Iterator[str]:
    """Every private name of another object or module that a module uses."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and _is_private(node.attr):
            if not _own(node.value) and node.attr not in NAMED_TUPLES:
                yield ast.unparse(node)
        elif isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{n.name}" for n in node.names if _is_private(n.name))
        elif isinstance(node, ast.Call) and ast.unparse(node.func) in BY_NAME:
            parts = [] if _own(node.args[0]) else ast.walk(node.args[1])
            if any(isinstance(part, ast.Constant) and _is_private(part.value) for part in parts):
                yield ast.unparse(node)


@pytest.mark.parametrize(
    "text",
    ["line._x", "a.b._c = 1", "from linesim.line import _y", 'getattr(gate, "_" + name)'],
)
def test_a_private_name_is_found(text: str) -> None:
    assert len(list(uses(ast.parse(text)))) == 1


@pytest.mark.parametrize(
    "text", ["self._x", "cls._x", "super()._x()", "line.__name__", "_x", "row._replace(y=1)"]
)
def test_what_is_ones_own_is_free(text: str) -> None:
    assert not list(uses(ast.parse(text)))


def test_no_module_needs_its_neighbours_privates() -> None:
    found = {
        (path.relative_to(CLONE).as_posix(), use)
        for path in FILES
        for use in uses(ast.parse(path.read_text(encoding="utf-8")))
    }
    assert found == NOT_OURS
