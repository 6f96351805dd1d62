"""The rules with which a run begins, and the names that all have in machine code."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from linesim.line.counting import begin_as_said, begin_counting, end_counting, run_some

ENTRIES: tuple[Callable[..., Any], ...] = (run_some, begin_as_said, begin_counting, end_counting)


def symbol_of(rule: Callable[..., Any]) -> str:
    """The name of a rule in machine code."""
    return f"{rule.__module__}.{rule.__name__}"
