"""How likely a purchase pays, from runs of the line and what is uncertain about the prices."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from linesim.money.payback import net_present_value
from linesim.money.yearly import Prices, Purchase, Year, yearly_sum

_DRAWS = 10_000


@dataclass(frozen=True)
class Uncertainty:
    """Relative standard deviations of what was stated: 0.1 for give or take 10 %."""

    contribution: float = 0.0
    demand: float = 0.0
    capital: float = 0.0
    running_cost: float = 0.0

    def __post_init__(self) -> None:
        for name, value in vars(self).items():
            if not (math.isfinite(value) and 0 <= value <= 1):
                raise ValueError(f"the uncertainty of {name} is {value}; it must be 0 to 1")

    @property
    def stated(self) -> bool:
        """Whether anything is uncertain at all."""
        return any(vars(self).values())


@dataclass(frozen=True)
class PaybackChance:
    """Shares of the draws; ``low`` and ``high`` are the middle 90 % of the net present value."""

    paid_back: float
    worth_it: float
    low: float
    high: float
    draws: int


def chance_of_payback(
    before: Sequence[Year],
    after: Sequence[Year],
    prices: Prices,
    purchase: Purchase,
    within_years: float,
    uncertainty: Uncertainty,
    *,
    seed: int = 1,
    draws: int = _DRAWS,
) -> PaybackChance:
    """Chance that the capital has come back within ``within_years``.

    ``before`` and ``after`` are pairs of runs that met the same draws, as years. Each draw takes
    as many pairs at random as there are (Efron's bootstrap, 1979, its spread widened to that of
    an unbiased estimate), and a factor for each uncertain input, lognormal with mean 1. The
    same seed gives the same answer. Raises ``ValueError`` unless there are two pairs or more.
    """
    if len(before) != len(after) or len(before) < 2:
        raise ValueError("two pairs of runs or more are needed, one of each per pair")
    bits = np.random.Generator(np.random.PCG64(np.random.SeedSequence(seed)))
    table = np.array(
        [[b.reams, b.waste_kg, a.reams, a.waste_kg] for b, a in zip(before, after, strict=True)]
    )
    count = len(table)
    means = table[bits.integers(0, count, size=(draws, count))].mean(axis=1)
    centre = table.mean(axis=0)
    means = centre + (means - centre) * math.sqrt(count / (count - 1))
    factors = {
        name: np.exp(_log_sd(sd) * bits.standard_normal(draws) - _log_sd(sd) ** 2 / 2)
        for name, sd in vars(uncertainty).items()
    }
    paid = worth = 0
    values = []
    for n in range(draws):
        row = means[n].tolist()
        drawn = {name: float(factor[n]) for name, factor in factors.items()}
        then = replace(
            prices,
            contribution=prices.contribution * drawn["contribution"],
            demand=None if prices.demand is None else prices.demand * drawn["demand"],
        )
        spent = replace(
            purchase,
            capital=purchase.capital * drawn["capital"],
            running_cost=purchase.running_cost * drawn["running_cost"],
        )
        gain = yearly_sum(Year(row[0], row[1]), Year(row[2], row[3]), then, spent).total
        value = net_present_value(spent.capital, gain, then.rate, spent.years)
        values.append(value)
        paid += gain * within_years >= spent.capital
        worth += value > 0
    low, high = np.quantile(values, [0.05, 0.95]).tolist()
    return PaybackChance(paid / draws, worth / draws, low, high, draws)


def _log_sd(sd: float) -> float:
    return math.sqrt(math.log1p(sd * sd))
