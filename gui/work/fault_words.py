"""Faults of a file as the window says them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import linesim


def fault_words(found: linesim.scenario.ScenarioFaults) -> str:
    """All faults, a line each; a file by its name alone: who chose it knows its folder."""
    named = (replace(fault, file=Path(fault.file).name) for fault in found.faults)
    return str(linesim.scenario.ScenarioFaults(named))
