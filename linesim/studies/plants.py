"""Plants that agree with what is known of a line and its prices: what each would make of it.

Runs say what a line makes in many such plants (:func:`linesim.statistics.plants_weights`); every
doubted price is drawn for itself in each. All variants and figures meet the same plants.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import scipy
from numpy.typing import NDArray

from linesim.money import Year
from linesim.scenario import Doubted, Scenario
from linesim.scenario.plants import price_at, with_values
from linesim.statistics import Choice, choose, plants_weights
from linesim.studies.differences import crossed, is_crossed, reams
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner

_MOST, _FEWEST, _WEIGHTS = 10_000, 500, 10_000_000
_PRICES = 500
"""So many values, all as likely, stand for a doubted price."""


class Plants:
    """``count`` plants of the runs of each variant, all of them or the first."""

    def __init__(self, scenario: Scenario, runner: Runner, rows: Sequence[Outcome]) -> None:
        """``scenario`` has the prices as stated; ``rows`` are the runs of any variant that was run
        most often."""
        self._rows = rows
        self.count = max(_FEWEST, min(_MOST, _WEIGHTS // len(rows)))
        self._stated, self._seed = scenario, runner.settings.seed
        self._weights: dict[int, NDArray[np.float64]] = {}
        self.prices = tuple(each for each in runner.doubted if each.is_money)
        """Those that are doubted."""
        self.priced = with_values(scenario, {each: self._price(each) for each in self.prices})
        """The scenario with an array, a value for each plant, in place of each doubted price."""

    @property
    def crossed(self) -> bool:
        """Whether anything but prices is doubted."""
        return is_crossed(self._rows)

    def _price(self, figure: Doubted) -> NDArray[np.float64]:
        scores = scipy.special.ndtri((np.arange(_PRICES) + 0.5) / _PRICES).tolist()
        values = np.array([price_at(self._stated, figure, score) for score in scores])
        seed = np.random.SeedSequence([self._seed, *figure.name.encode()])
        order = np.random.Generator(np.random.PCG64(seed)).permutation(self.count)
        return values[order % _PRICES]

    def of(self, values: Sequence[float]) -> Any:
        """A figure in each plant, an array of ``count``, from what it is in each run."""
        runs = len(values)
        if runs not in self._weights:
            crossing = crossed(self._rows[:runs])
            self._weights[runs] = plants_weights(runs, self.count, self._seed, crossed=crossing)
        return self._weights[runs] @ np.asarray(values, dtype=np.float64)

    def year(self, rows: Sequence[Outcome]) -> Year:
        """The year of a variant in each plant."""
        hours = self.priced.money.hours_per_year
        per_hour = [1 / row.manned_hours if row.manned_hours else 0.0 for row in rows]
        made = [row.good_reams * each for row, each in zip(rows, per_hour, strict=True)]
        wasted = [row.avoidable_waste_kg * each for row, each in zip(rows, per_hour, strict=True)]
        parts = [row.parts_cost * each for row, each in zip(rows, per_hour, strict=True)]
        return Year(*(self.of(each) * hours for each in (made, wasted, parts)))

    def half_width_of_prices(
        self,
        figure: Callable[[Scenario, Sequence[Year]], Any],
        years: Sequence[Year],
        level: float,
    ) -> float:
        """Half of what the doubted prices alone leave open of a figure; infinite where no end."""
        values = np.broadcast_to(np.asarray(self._at(self.priced, figure, years)), self.count)
        low, high = np.quantile(
            values, [(1 - level) / 2, (1 + level) / 2], method="closest_observation"
        )
        return float(high - low) / 2 if np.isfinite(high) else np.inf

    def by_price(
        self, figure: Callable[[Scenario, Sequence[Year]], Any], years: Sequence[Year]
    ) -> tuple[tuple[str, float], ...]:
        """What each doubted price alone does to a figure at one normal score, by its name."""

        def at(each: Doubted, score: float) -> float:
            priced = with_values(self._stated, {each: price_at(self._stated, each, score)})
            return float(self._at(priced, figure, years))

        moved = ((each.name, (at(each, 1.0) - at(each, -1.0)) / 2) for each in self.prices)
        return tuple((name, by) for name, by in moved if by)

    def _at(
        self,
        priced: Scenario,
        figure: Callable[[Scenario, Sequence[Year]], Any],
        years: Sequence[Year],
    ) -> Any:
        """A figure at other prices; years are longer where their hours are doubted."""
        longer = priced.money.hours_per_year / self._stated.money.hours_per_year
        moved = [Year(y.reams * longer, y.waste_kg * longer, y.parts * longer) for y in years]
        return figure(priced, moved)


def choice_by_reams(
    scenario: Scenario, runner: Runner, lines: Sequence[Sequence[Outcome]]
) -> Choice | None:
    """Which of these lines makes most, in plants; None where nothing of them is doubted."""
    plants = plants_of(scenario, runner, lines[0])
    if plants is None or not plants.crossed:
        return None
    return choose([plants.of([reams(each) for each in rows]) for rows in lines])


def plants_of(scenario: Scenario, runner: Runner, rows: Sequence[Outcome]) -> Plants | None:
    """The plants that agree with what is known; None where nothing is doubted."""
    return Plants(scenario, runner, rows) if runner.doubted else None
