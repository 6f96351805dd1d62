"""A wearing part changed at a certain age or when it fails before: the closed form.

Source: R. E. Barlow and F. Proschan, *Mathematical Theory of Reliability*, 1965, chapter 4 (age
replacement). With c_p lost by a change by plan, c_f by a failure, F the law of the life and
R = 1 - F, what is lost for each unit of use, in the long run, is

    (c_p R(T) + c_f F(T)) / integral of R from 0 to T
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy

from linesim.limits import zero_or_more
from linesim.scenario.laws import AnyLaw, Constant, Empirical, Exponential

_SHORTEST, _LONGEST = 1e-4, 1 - 1e-6
"""Shares of all parts that have failed by the ends of the ages looked at."""
_AGES = 400
_JUST_BEFORE = 1 - 1e-9
_TOLD = 1e-6
"""What a plan must save at least, as a share, to be told from none."""


@dataclass(frozen=True)
class AgeReplacement:
    """A law of life, and what a change by plan and a failure cost, in whatever they are counted.

    >>> from linesim.scenario.laws import law_of
    >>> from math import gamma
    >>> knife = law_of({"law": "weibull", "mean": gamma(4 / 3), "shape": 3})
    >>> wears = AgeReplacement(knife, planned=1, failed=5)
    >>> best = wears.best_age()
    >>> round(best, 5), round(wears.lost_per_unit(best), 5), round(wears.lost_per_unit(None), 5)
    (0.50261, 3.0314, 5.59923)
    """

    life: AnyLaw
    planned: float
    failed: float

    def __post_init__(self) -> None:
        zero_or_more("planned", self.planned)
        zero_or_more("failed", self.failed)

    def lost_per_unit(self, age: float | None) -> float:
        """What is lost for a unit of use with a change at ``age``; None: every part runs to
        failure."""
        if age is None:
            return self.failed / self.life.average()
        fails = self.life.below(age)
        return (self.planned * (1 - fails) + self.failed * fails) / self.life.mean_up_to(age)

    def best_age(self) -> float | None:
        """The age of least loss; None where no plan pays: none loses less than running to failure.

        So it is where the chance to fail does not rise with age (exponential law), and where a
        change by plan costs as much as a failure.
        """
        if self.planned >= self.failed or isinstance(self.life, Exponential):
            return None
        ages = self._ages()
        losses = [self.lost_per_unit(age) for age in ages]
        least = int(np.argmin(losses))
        best = ages[least]
        if not isinstance(self.life, Constant | Empirical):
            between = ages[max(0, least - 1)], ages[min(least + 1, len(ages) - 1)]
            found = scipy.optimize.minimize_scalar(
                self.lost_per_unit, bounds=between, method="bounded", options={"xatol": 1e-9 * best}
            )
            best = min(best, float(found.x), key=self.lost_per_unit)
        pays = self.lost_per_unit(best) < (1 - _TOLD) * self.lost_per_unit(None)
        return best if pays else None

    def _ages(self) -> list[float]:
        """Ages to look at. Where lives have single values, a part is changed just before one."""
        if isinstance(self.life, Constant):
            return [self.life.mean * _JUST_BEFORE]
        if isinstance(self.life, Empirical):
            return [life * _JUST_BEFORE for life in sorted(set(self.life.values)) if life > 0]
        ends = self.life.quantile(np.array([_SHORTEST, _LONGEST]))
        low = max(float(ends[0]), float(ends[1]) * 1e-6)
        return [float(age) for age in np.geomspace(low, float(ends[1]), _AGES)]
