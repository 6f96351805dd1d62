"""Doubts that cannot be: about no figure, or with ends that leave out what is stated."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.scenario.doubts import Doubted, doubted_figure, tables_of
from linesim.scenario.faults import Contradiction, Path
from linesim.scenario.field_descriptions import descriptions
from linesim.scenario.fields import DOUBT, Doubt, Figures, values_of
from linesim.scenario.laws import AnyLaw
from linesim.scenario.scenario import Scenario
from linesim.scenario.spelling import nearest

_PRICES_OF_LEVERS = ("_price", "_cost_per_year")


def _doubts(scenario: Scenario) -> Iterator[Contradiction]:
    for name, number, table in tables_of(scenario):
        path: Path = (name,) if number is None else (name, number)
        seen: set[str] = set()
        for n, doubt in enumerate(table.doubt):
            here = (*path, DOUBT, n)
            of = doubt.of.removesuffix(".mean")
            if of in seen:
                right = "one entry for each figure"
                yield Contradiction((*here, "of"), "is doubted twice", right)
            seen.add(of)
            figure = doubted_figure(name, number, table, doubt)
            if figure is None:
                yield _no_figure(table, doubt, here, path)
            elif name == "levers" and not figure.field.endswith(_PRICES_OF_LEVERS):
                right = "a doubt about one of its prices, such as faster_wrapper_price"
                yield Contradiction((*here, "of"), "is chosen: there is nothing to know", right)
            else:
                yield from _ends(table, figure, here, path)


def _no_figure(table: Figures, doubt: Doubt, here: Path, path: Path) -> Contradiction:
    values = values_of(table)
    figures = []
    for name, field in descriptions(type(table)).items():
        value = values[name]
        if isinstance(value, AnyLaw):
            parts = (p for p, v in value if isinstance(v, float) and p != "mean")
            figures += [name, *(f"{name}.{part}" for part in parts)]
        elif field.is_figure and value is not None:
            figures.append(name)
    guess = nearest(doubt.of, figures)
    meant = doubt.of.partition(".")[0]
    there = descriptions(type(table)).get(meant)
    problem = "has no value here" if there is not None and guess is None else "is no figure here"
    right = (f"{guess}; or " if guess else "") + "one of " + ", ".join(figures[:12])
    # Of a field with a fault of its own nobody knows which figures it has.
    concerns: tuple[Path, ...] = () if there is None else ((*path, meant),)
    return Contradiction((*here, "of"), problem, right, concerns)


def _ends(table: Figures, figure: Doubted, here: Path, path: Path) -> Iterator[Contradiction]:
    low, high = figure.doubt.between
    between, stated = (*here, "between"), (*path, figure.field)
    least, most = _range(table, figure)
    if not low < high:
        yield Contradiction(between, "its ends are in the wrong order", "[lower end, upper end]")
    elif not low <= figure.value <= high:
        problem = f"leaves out what is stated, {figure.value:g}"
        right = f"ends with {figure.value:g} between them"
        yield Contradiction(between, problem, right, (stated,))
    elif low < least or high > most:
        legal = f"{least:g} or more" if most == math.inf else f"within {least:g} to {most:g}"
        yield Contradiction(between, "goes beyond what is legal", legal, (stated,))
    if figure.doubt.correlation is not None and not figure.part:
        problem = "only goes with the spread of a law, such as restore_min.sd"
        yield Contradiction((*here, "correlation"), problem, "no correlation")


def _range(table: Figures, figure: Doubted) -> tuple[float, float]:
    value = values_of(table)[figure.field]
    owner, field = (
        (type(value), figure.part or "mean")
        if isinstance(value, AnyLaw)
        else (type(table), figure.field)
    )
    said = descriptions(owner).get(field)
    if said is None:
        return 0.0, math.inf
    least = said.above if said.low is None else said.low
    return -math.inf if least is None else least, math.inf if said.high is None else said.high


CHECKS = (_doubts,)
