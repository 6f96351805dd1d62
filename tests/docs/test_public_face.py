"""What ``linesim`` offers to others says what it takes, gives and raises."""

from __future__ import annotations

import ast
import dataclasses
import inspect
import re
import textwrap
from importlib import import_module
from pathlib import Path
from typing import Any

import linesim

CLONE = Path(__file__).parents[2]
UNIT = re.compile(
    r"_(ns|s|min|minutes|h|hours|years?|mm|um|m|km|kg|t|percent|reams|cuts|places|sheets|people)(_|$)"
    r"|_per_|^(hours|minutes|percent|reams|people|years|seed|replications?|processes|runs|places)$"
)
"""A name that says its unit, or counts what it names."""
NUMBER = re.compile(r"\b(float|int)\b")

PACKAGES = ("fast", "lessons", "plant", "questions", "record", "report", "scenario", "studies")
"""Those that the window uses, which are tied to their faces."""
FACES = (linesim, *(getattr(linesim, name) for name in PACKAGES))
OFFERED = {name: getattr(face, name) for face in FACES for name in face.__all__}
ROUTINES = {name: thing for name, thing in OFFERED.items() if inspect.isroutine(thing)}
CLASSES = {name: thing for name, thing in OFFERED.items() if inspect.isclass(thing)}


def words(thing: Any) -> str:
    """The docstring of its own, not one of a class above."""
    return inspect.cleandoc(
        vars(thing).get("__doc__") or "" if inspect.isclass(thing) else thing.__doc__ or ""
    )


def raised_by(routine: Any) -> set[str]:
    """Names of the exceptions that its own lines raise."""
    tree = ast.parse(textwrap.dedent(inspect.getsource(routine)))
    calls = [n.exc for n in ast.walk(tree) if isinstance(n, ast.Raise) and n.exc is not None]
    names = [call.func if isinstance(call, ast.Call) else call for call in calls]
    return {name.id for name in names if isinstance(name, ast.Name) and name.id[0].isupper()}


def test_a_user_is_offered_little() -> None:
    names = [name for name in linesim.__all__ if not inspect.ismodule(getattr(linesim, name))]
    assert len(names) <= 40


def test_the_window_takes_only_what_packages_offer() -> None:
    for module in (CLONE / "gui").rglob("*.py"):
        for package, name in re.findall(r"\blinesim\.([a-z]\w*)\.(\w+)", module.read_text("utf-8")):
            face = import_module(f"linesim.{package}")
            assert not hasattr(face, "__path__") or name in face.__all__, f"{module}: {name}"


def test_everything_says_what_it_is() -> None:
    silent = [
        name
        for name in (*ROUTINES, *CLASSES)
        # The second is what a dataclass says by itself.
        if not words(OFFERED[name]) or words(OFFERED[name]).startswith(f"{name}(")
    ]
    assert silent == []


def test_errors_are_named() -> None:
    unnamed = {}
    for name, routine in ROUTINES.items():
        unnamed[name] = [e for e in raised_by(routine) if e not in words(routine)]
    assert {name: errors for name, errors in unnamed.items() if errors} == {}


def untold(names: list[str], said: str) -> list[str]:
    """Those that neither say their unit themselves nor are told of."""
    return [n for n in names if not UNIT.search(n) and not re.search(rf"\b{n}\b", said)]


def test_numbers_have_a_unit_in_their_name_or_are_told_of() -> None:
    found = {}
    for name, routine in ROUTINES.items():
        numbers = [
            each.name
            for each in inspect.signature(routine).parameters.values()
            if NUMBER.search(str(each.annotation)) and "Callable" not in str(each.annotation)
        ]
        found[name] = untold(numbers, words(routine))
    assert {name: numbers for name, numbers in found.items() if numbers} == {}


def test_fields_that_are_numbers_have_a_unit_in_their_name_or_are_told_of() -> None:
    found = {}
    for name, kind in CLASSES.items():
        if dataclasses.is_dataclass(kind):
            # A string below a field is its docstring.
            above = [each for each in kind.__mro__ if dataclasses.is_dataclass(each)]
            said = "".join(words(each) + "".join(ast_docstrings(each)) for each in above)
            numbers = [f.name for f in dataclasses.fields(kind) if NUMBER.search(str(f.type))]
            found[name] = untold(numbers, said)
    assert len(found) > 50
    assert {name: numbers for name, numbers in found.items() if numbers} == {}


def ast_docstrings(kind: type) -> list[str]:
    """Each field that has a string of its own below it, with that string."""
    body = ast.parse(textwrap.dedent(inspect.getsource(kind))).body[0]
    assert isinstance(body, ast.ClassDef)
    return [
        f" {before.target.id} {after.value.value}"
        for before, after in zip(body.body, body.body[1:], strict=False)
        if isinstance(before, ast.AnnAssign)
        and isinstance(before.target, ast.Name)
        and isinstance(after, ast.Expr)
        and isinstance(after.value, ast.Constant)
    ]
