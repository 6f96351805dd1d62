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
from linesim.scenario.plants import legal
from linesim.statistics import Choice, choose, plants_weights
from linesim.studies.differences import crossed, reams
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner

_MOST, _FEWEST, _WEIGHTS = 10_000, 500, 10_000_000
_PRICES = 500
"""So many values, all as likely, stand for a doubted price."""


class Plants:
    """``count`` plants of as many runs of each variant as the runner has made."""

    def __init__(self, scenario: Scenario, runner: Runner, rows: Sequence[Outcome]) -> None:
        """``scenario`` has the prices as stated, ``rows`` are the runs of any variant."""
        self._runs, self._crossing = len(rows), crossed(rows)
        self.count = max(_FEWEST, min(_MOST, _WEIGHTS // self._runs))
        self._stated, self._seed = scenario, runner.settings.seed
        self._weights: NDArray[np.float64] | None = None
        self._prices = [each for each in runner.doubted if each.is_money]
        self.prices_doubted = bool(self._prices)
        self.priced = self._with({each.field: self._price(scenario, each) for each in self._prices})
        """The scenario with an array, a value for each plant, in place of each doubted price."""

    @property
    def crossed(self) -> bool:
        """Whether anything but prices is doubted."""
        return self._crossing is not None

    def _price(self, scenario: Scenario, figure: Doubted) -> NDArray[np.float64]:
        scores = scipy.special.ndtri((np.arange(_PRICES) + 0.5) / _PRICES).tolist()
        values = np.array([self._price_at(figure, score) for score in scores])
        seed = np.random.SeedSequence([self._seed, *figure.name.encode()])
        order = np.random.Generator(np.random.PCG64(seed)).permutation(self.count)
        return values[order % _PRICES]

    def _price_at(self, figure: Doubted, score: float) -> float:
        money = self._stated.money
        return legal(type(money), figure.field, figure.moved(getattr(money, figure.field), score))

    def _with(self, prices: dict[str, Any]) -> Scenario:
        money = self._stated.money.model_copy(update=prices)
        return self._stated.model_copy(update={"money": money})

    def of(self, values: Sequence[float]) -> Any:
        """A figure in each plant, an array of ``count``, from what it is in each run."""
        if self._weights is None:
            self._weights = plants_weights(
                self._runs, self.count, self._seed, crossed=self._crossing
            )
        return self._weights @ np.asarray(values, dtype=np.float64)

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
            priced = self._with({each.field: self._price_at(each, score)})
            return float(self._at(priced, figure, years))

        moved = ((each.name, (at(each, 1.0) - at(each, -1.0)) / 2) for each in self._prices)
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
