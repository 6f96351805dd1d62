"""Paper and wrapping rolls to have ready for the orders: how much of what, and on which day."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from linesim.record.supplies import ReelMove, RollPutOn
from linesim.scenario import Scenario
from linesim.scenario.units import DAY, HOUR
from linesim.statistics import Interval, Quantile, quantile_of
from linesim.studies.differences import interval_over, is_crossed
from linesim.studies.outcome import Outcome

_ENOUGH = 0.9


@dataclass(frozen=True)
class Need:
    """Pieces of a kind in a stretch of time: the mean, and what is enough in 9 of 10 cases."""

    mean: Interval
    enough: Quantile


@dataclass(frozen=True)
class PaperNeed:
    """Reels of one width and grade."""

    web_width_mm: float
    grammage_g_per_m2: float
    thickness_um: float
    first_h: Quantile
    """When the first is needed, hours after the run starts (10th percentile: seldom earlier)."""
    reels: Need
    reels_by_day: dict[int, Need]
    """By number of the day, 1 for the first; days on which no run took one are missing."""
    tonnes: Interval
    """Paper on these reels."""
    back: Interval
    """Part reels that go back to the store at a change of order."""
    back_tonnes: Interval


@dataclass(frozen=True)
class RollNeed:
    """Wrapping rolls of one wrapper for one size of sheet."""

    wrapper: str
    sheet_width_mm: float
    sheet_length_mm: float
    rolls: Need
    rolls_by_day: dict[int, Need]


def paper_needs(rows: Sequence[Outcome], level: float) -> tuple[PaperNeed, ...]:
    """Reels by width and grade, in the order in which they are first needed."""
    kinds = dict.fromkeys(_material(move) for outcome in rows for move in outcome.supplies.reels)
    found = [_paper(kind, rows, level) for kind in kinds]
    return tuple(sorted(found, key=lambda each: each.first_h.value or 0.0))


def roll_needs(scenario: Scenario, rows: Sequence[Outcome], level: float) -> tuple[RollNeed, ...]:
    """Wrapping rolls by wrapper and size; those on the wrappers at the start are counted."""
    kinds = dict.fromkeys(_size(roll) for outcome in rows for roll in outcome.supplies.rolls)

    def taken(kind: tuple[int, int, int]) -> list[list[int]]:
        return [[r.at_ns for r in o.supplies.rolls if _size(r) == kind] for o in rows]

    return tuple(
        RollNeed(
            scenario.wrapper[kind[0]].name,
            kind[1] / 1000,
            kind[2] / 1000,
            _need(rows, [len(each) for each in taken(kind)], level),
            _by_day(rows, taken(kind), level),
        )
        for kind in sorted(kinds)
    )


def _material(move: ReelMove) -> tuple[int, float, int]:
    return move.web_width_um, move.thickness_um, move.grammage_mg_per_m2


def _size(roll: RollPutOn) -> tuple[int, int, int]:
    return roll.wrapper, roll.sheet_width_um, roll.sheet_length_um


def _paper(kind: tuple[int, float, int], rows: Sequence[Outcome], level: float) -> PaperNeed:
    moves = [[m for m in o.supplies.reels if _material(m) == kind] for o in rows]
    out = [[m.at_ns for m in each if not m.back] for each in moves]

    def over_runs(pick: Callable[[list[ReelMove]], float]) -> Interval:
        return interval_over(rows, [pick(each) for each in moves], level, least=0)

    return PaperNeed(
        web_width_mm=kind[0] / 1000,
        grammage_g_per_m2=kind[2] / 1000,
        thickness_um=kind[1],
        first_h=quantile_of(
            [min(each) / HOUR if each else None for each in out],
            0.1,
            level,
            crossed=is_crossed(rows),
        ),
        reels=_need(rows, [len(each) for each in out], level),
        reels_by_day=_by_day(rows, out, level),
        tonnes=over_runs(lambda ms: sum(m.mass_kg for m in ms if not m.back) / 1000),
        back=over_runs(lambda ms: sum(m.back for m in ms)),
        back_tonnes=over_runs(lambda ms: sum(m.mass_kg for m in ms if m.back) / 1000),
    )


def _need(rows: Sequence[Outcome], counts: Sequence[int], level: float) -> Need:
    values = [float(count) for count in counts]
    # Pieces are whole: the least number that is enough in so many runs.
    enough = sorted(values)[math.ceil(_ENOUGH * len(values)) - 1]
    return Need(
        interval_over(rows, values, level, least=0),
        replace(quantile_of(values, _ENOUGH, level, crossed=is_crossed(rows)), value=enough),
    )


def _by_day(
    rows: Sequence[Outcome], taken: Sequence[Sequence[int]], level: float
) -> dict[int, Need]:
    days = [Counter(at // DAY + 1 for at in each) for each in taken]
    every = sorted(set().union(*days))
    return {day: _need(rows, [each[day] for each in days], level) for day in every}
