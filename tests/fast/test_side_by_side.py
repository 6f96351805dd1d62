"""The compiled rules lie beside the line's: what a part says it follows is there."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "linesim"
RULES = PACKAGE / "fast" / "rules"
NUMBERS_AND_WAYS_IN = {"calling", "kernel", "ledger", "states", "stations"}
"""Modules of compiled code without one of their name in ``linesim/line``."""


def _members(each: ast.ClassDef) -> set[str]:
    names = {node.name for node in each.body if isinstance(node, ast.FunctionDef)}
    for node in ast.walk(each):
        if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Store):
            names.add(node.attr)
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            names.add(node.target.id)
    return names


def _defined() -> set[str]:
    """``Class.member`` and ``module.name`` of the line and its ledger."""
    found = set()
    for path in [*(PACKAGE / "line").glob("*.py"), PACKAGE / "record" / "ledger.py"]:
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                found |= {f"{path.stem}.{node.name}", node.name}
            if isinstance(node, ast.ClassDef):
                found |= {f"{node.name}.{member}" for member in _members(node)}
    return found


def _parts() -> dict[str, ast.FunctionDef]:
    found = {}
    for path in sorted(RULES.glob("*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and "part" in map(
                ast.unparse, node.decorator_list
            ):
                found[f"{path.stem}.{node.name}"] = node
    return found


def test_every_part_names_what_it_follows_and_that_is_there() -> None:
    defined, parts = _defined(), _parts()
    assert len(parts) > 100
    for name, part in parts.items():
        words = ast.get_docstring(part) or ""
        named = re.findall(r"``(\w+(?:\.\w+)?)``", words)
        assert named or words.startswith("For compiled code"), f"{name} follows nothing"
        assert set(named) <= defined, f"{name} follows {sorted(set(named) - defined)}: not there"


@pytest.mark.parametrize("path", sorted(RULES.glob("*.py")), ids=lambda path: path.stem)
def test_every_module_is_short_and_lies_beside_one_of_the_line(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) < 350
    beside = (PACKAGE / "line" / path.name).is_file()
    assert beside or path.stem in NUMBERS_AND_WAYS_IN


def test_what_is_defined_further_on_is_defined_and_returns_nothing() -> None:
    parts = _parts()
    text = (RULES / "calling.py").read_text(encoding="utf-8")
    calls = re.findall(r'^\w+ = later\("([\w.]+)", (.+)\)$', text, re.MULTILINE)
    assert len(calls) == text.count("= later(")
    for name, takes in calls:
        assert re.findall(r"\w+", takes) == [each.arg for each in parts[name].args.args]
        returns = [node for node in ast.walk(parts[name]) if isinstance(node, ast.Return)]
        assert not any(node.value for node in returns)
