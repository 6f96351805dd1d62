"""What stands in a cell of an answer: text, a number, or a figure with its interval."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple


class Figure(NamedTuple):
    """A simulated figure and its half width; ``shown`` is False for a difference not shown."""

    mean: float
    half_width: float
    shown: bool = True


class Bounded(NamedTuple):
    """A figure whose interval has ends of its own; None for what so few runs cannot tell."""

    value: float | None
    low: float | None
    high: float | None


Cell = str | int | float | Figure | Bounded | None


@dataclass(frozen=True)
class Column:
    """A column: its name, and its unit where it has one."""

    name: str
    unit: str = ""
    left: bool = False
