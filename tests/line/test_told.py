"""What rules reach by way of ``told`` is one thing, whichever module is looked through first."""

from __future__ import annotations

import ast
import importlib
from pathlib import Path

import linesim.line

FILES = sorted(Path(linesim.line.__file__).parent.glob("*.py"))


def _names() -> set[str]:
    return {
        node.attr
        for file in FILES
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Name)
        and node.value.id == "told"
    }


def test_every_name_is_defined_in_exactly_one_module() -> None:
    parts = [vars(importlib.import_module(f"linesim.line.{file.stem}")) for file in FILES]
    names = _names()
    assert len(names) > 50
    for name in sorted(names):
        # Others may have it too, as long as they have it from there.
        meant = {id(part[name]): part[name] for part in parts if name in part}
        assert [each.__name__ for each in meant.values()] == [name]
        [rule] = meant.values()
        assert rule.__module__ in {part["__name__"] for part in parts}
