"""What is not known of a line: the doubted figures of a scenario, and plants that agree with them.

A figure is said to lie ``between`` two ends with 95 %. A plant that agrees with that takes it at a
normal score z: as stated at 0, at the ends at -1.96 and 1.96. In between it goes by the logarithm
where all three are above 0 (it may be half as great or twice), else in a straight line. Then all of
it is moved so that plants have on average what is stated, intervals between stops in their rate:
else plants would stop more often than stated, on average over half as often and twice as often. The
spread of a law that was fitted to the same values as its mean goes with it (a normal copula).
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import scipy

from linesim.scenario.fields import Doubt, Figures, values_of
from linesim.scenario.laws import AnyLaw
from linesim.scenario.scenario import Scenario
from linesim.scenario.stops import METERS

SCORE = 1.959963984540054
"""The normal score of the ends, which hold 95 %."""

_PRICES_BESIDE = ("wage_per_h", "rarer_price", "shorter_price")
"""Prices in tables of the line. What parts cost is none: it is counted in the runs."""

_GOLDEN = (math.sqrt(5) - 1) / 2
_FARTHEST = 3.0

Scores = Mapping[str, float]
"""Normal scores by the names of doubted figures: a plant."""


@dataclass(frozen=True)
class Doubted:
    """A doubted figure of a scenario.

    ``name`` is the same in every variant of a line, such as
    ``stop.wrapper jam at wrapper.restore_min``; ``entry`` names the entry of a list. ``field`` and
    ``part`` are those of ``doubt.of``. ``value`` is what is stated, in the unit of the field.
    """

    name: str
    table: str
    entry: str
    field: str
    part: str
    value: float
    doubt: Doubt

    @property
    def is_money(self) -> bool:
        """Whether it is a price: the line runs the same, whatever it is."""
        return self.table in ("money", "levers") or self.field in _PRICES_BESIDE

    @property
    def is_interval(self) -> bool:
        """Whether it is the mean interval between stops, so that its rate is what counts."""
        return self.field in METERS and not self.part

    def moved(self, value: float, score: float) -> float:
        """What stands as ``value`` in a variant of the line, in a plant of that score."""
        low, high = self.doubt.between
        if min(low, self.value) > 0:
            down, up = math.log(self.value / low) / SCORE, math.log(high / self.value) / SCORE
            turn = -1.0 if self.is_interval else 1.0
            mean = _mean_of_exp(turn * up) + _mean_of_exp(-turn * down)
            mean = mean if self.is_interval else 1 / mean
            return value * mean * math.exp(score * (up if score > 0 else down))
        down, up = (self.value - low) / SCORE, (high - self.value) / SCORE
        mean = (up - down) / math.sqrt(2 * math.pi)
        return value + score * (up if score > 0 else down) - mean


def _mean_of_exp(spread: float) -> float:
    """Mean of exp(spread z), counting only the normal scores z above 0."""
    return math.exp(spread * spread / 2) * float(scipy.special.ndtr(spread))


def doubted(scenario: Scenario) -> tuple[Doubted, ...]:
    """Every doubted figure of the scenario, in the order of the file.

    A doubt about what is no figure is left out: it is a fault of the file.
    """
    return tuple(
        found
        for table, number, figures in tables_of(scenario)
        for doubt in figures.doubt
        if (found := doubted_figure(table, number, figures, doubt)) is not None
    )


def tables_of(scenario: Scenario) -> Iterator[tuple[str, int | None, Figures]]:
    """Each table that has figures: its name, its number in a list, and itself."""
    for name, value in values_of(scenario).items():
        if isinstance(value, Figures):
            yield name, None, value
        elif isinstance(value, tuple):
            for number, each in enumerate(value):
                if isinstance(each, Figures):
                    yield name, number, each


def entry_name(figures: Figures, number: int | None) -> str:
    """What an entry of a list goes by in all variants of a line; a cause with its station."""
    if number is None:
        return ""
    cause, name = getattr(figures, "cause", None), getattr(figures, "name", None)
    return f"{cause} at {getattr(figures, 'station', '')}" if cause else name or str(number)


def doubted_figure(
    table: str, number: int | None, figures: Figures, doubt: Doubt
) -> Doubted | None:
    """The figure that a doubt of a table is about; None where there is no such figure."""
    field, _, part = doubt.of.partition(".")
    value = values_of(figures).get(field)
    if isinstance(value, AnyLaw):
        part = "" if part == "mean" else part
        value = getattr(value, part, None) if part else value.average()
    elif part:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    entry = entry_name(figures, number)
    name = ".".join(each for each in (table, entry, field, part) if each)
    return Doubted(name, table, entry, field, part, float(value), doubt)


def mean_doubted(scenario: Scenario, figure: Doubted) -> Doubted | None:
    """The mean of the law that ``figure`` is another figure of, by 1 % of itself at a score of 1.

    None where it is of no law.
    """
    for table, number, figures in tables_of(scenario):
        if (table, entry_name(figures, number)) == (figure.table, figure.entry) and figure.part:
            law = values_of(figures).get(figure.field)
            if isinstance(law, AnyLaw) and 0 < (mean := law.average()) < math.inf:
                ends = (mean * math.exp(-SCORE / 100), mean * math.exp(SCORE / 100))
                return doubted_figure(table, number, figures, Doubt(of=figure.field, between=ends))
    return None


def scores(figures: tuple[Doubted, ...], seed: int, number: int) -> dict[str, float]:
    """The plant of that number, from 0: a normal score for each figure.

    Each figure has a sequence of its own, known by its name, so that scenarios that doubt the same
    figure meet the same plants. The sizes of its successive scores are spread evenly (by the golden
    ratio, from a start by chance), their signs are fair: so few plants tell much. Each plant is
    meant to be met with its mirror image, all scores turned round.
    """
    return with_correlations(figures, {e.name: _score(e.name, seed, number) for e in figures})


def with_correlations(figures: tuple[Doubted, ...], own: Scores) -> dict[str, float]:
    """Scores of figures, from such that have nothing to do with each other."""
    found = dict(own)
    for each in figures:
        share, mean = each.doubt.correlation, each.name.removesuffix(f".{each.part}")
        if share is not None and each.part and mean in own:
            found[each.name] = share * own[mean] + math.sqrt(1 - share * share) * own[each.name]
    return found


def _score(name: str, seed: int, number: int) -> float:
    start = _hashed(f"{seed}\x1f{name}") / 2**64
    sign = 1 if _hashed(f"{seed}\x1f{name}\x1f{number}") % 2 else -1
    size = (start + number * _GOLDEN) % 1.0
    return sign * min(_FARTHEST, float(scipy.special.ndtri((1 + size) / 2)))


def _hashed(text: str) -> int:
    return int.from_bytes(hashlib.blake2b(text.encode(), digest_size=8).digest(), "little")
