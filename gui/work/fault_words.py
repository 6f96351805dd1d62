"""Faults of a file as the window says them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import linesim


def fault_words(found: linesim.scenario.ScenarioFaults) -> str:
    """All faults, a line each; a file by its name alone: who chose it knows its folder.

    Where all are of one file its name stands once, before the first.
    """
    named = [replace(fault, file=Path(fault.file).name) for fault in found.faults]
    files = {fault.file for fault in named}
    if len(files) == 1:
        named = [replace(fault, file="line" if fault.line else "") for fault in named]
    words = str(linesim.scenario.ScenarioFaults(named))
    if len(files) > 1:
        return words
    count, *lines = words.splitlines()
    return "\n".join([f"{count} in {files.pop()}", *map(_with_line, lines)])


def _with_line(words: str) -> str:
    placed = words.removeprefix("line:")
    return words.removeprefix(": ") if placed == words else f"line {placed}"
