"""What an answer can be drawn from: a curve with its band, bars, or a map of two fields."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from linesim.report.answers.cells import Column, Figure


class CurvePoint(NamedTuple):
    """A point of a curve; ``figure`` is None where nothing was run, ``theory`` where no formula."""

    x: float
    figure: Figure | None
    theory: float | None = None


@dataclass(frozen=True)
class Curve:
    """Simulated means with their half widths over ``x``, beside a closed form where there is one.

    ``name`` is what a file of it is called, ``present`` the value of ``x`` that the line has now.
    """

    name: str
    title: str
    x: Column
    y: Column
    points: tuple[CurvePoint, ...]
    present: float | None = None
    theory_name: str = ""


class Bar(NamedTuple):
    """One bar; ``theory`` is a closed form beside it where there is one."""

    label: str
    figure: Figure | None
    theory: float | None = None


@dataclass(frozen=True)
class Bars:
    """Simulated figures side by side, in the order given."""

    name: str
    title: str
    what: Column
    y: Column
    bars: tuple[Bar, ...]
    theory_name: str = ""


@dataclass(frozen=True)
class Map:
    """A figure over two fields: ``rows[i][j]`` at ``down_values[i]`` and ``across_values[j]``."""

    name: str
    title: str
    down: Column
    across: Column
    y: Column
    down_values: tuple[float, ...]
    across_values: tuple[float, ...]
    rows: tuple[tuple[Figure | None, ...], ...]
    present: tuple[float | None, float | None] = (None, None)


Chart = Curve | Bars | Map
