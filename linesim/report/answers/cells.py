"""What stands in a cell of an answer: text, a number, or a figure with its half width."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple


class Figure(NamedTuple):
    """A simulated figure and its half width; ``shown`` is False for a difference not shown."""

    mean: float
    half_width: float
    shown: bool = True


Cell = str | int | float | Figure | None


@dataclass(frozen=True)
class Column:
    """A column: its name, and its unit where it has one."""

    name: str
    unit: str = ""
    left: bool = False
