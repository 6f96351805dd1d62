"""Every example in a docstring of the package gives what it says."""

from __future__ import annotations

import doctest
from importlib import import_module
from pathlib import Path

import pytest

import linesim

PACKAGE = Path(linesim.__file__).parent
MODULES = sorted(
    ".".join(("linesim", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(
        ".__init__"
    )
    for path in PACKAGE.rglob("*.py")
    if path.name != "__main__.py" and ">>>" in path.read_text("utf-8")
)


@pytest.mark.parametrize("name", MODULES)
def test_its_examples_are_true(name: str) -> None:
    failed, tried = doctest.testmod(import_module(name))
    assert tried > 0
    assert failed == 0
