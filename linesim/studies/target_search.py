"""The search over levers asked the other way round: what reaches an output, and costs least."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from linesim.money import yearly_cost
from linesim.scenario import Scenario
from linesim.scenario.buffers import bridge_of
from linesim.statistics import Interval
from linesim.studies.differences import between, mean_of, reams
from linesim.studies.lever import Lever, Step
from linesim.studies.lever_search import LeverSearch, Moved, Rows
from linesim.studies.levers import longer_step
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner
from linesim.studies.worth import prices_of, years_in

_LADDER = 5
_SHORT, _UNPRICED = 1e14, 1e11
"""A ream a week short weighs more than what has no price, and that more than all money."""


class TargetSearch(LeverSearch):
    """Worth most is what reaches ``asked`` good reams a week at the least cost a year.

    It is reached where the one-sided lower bound of the mean at ``certainty`` (0.5 to below 1) is
    at least as much. What has no price comes after all that has one: the least of it.
    """

    def __init__(
        self,
        scenario: Scenario,
        runner: Runner,
        levers: Sequence[Lever],
        years: float,
        asked: float,
        certainty: float,
    ) -> None:
        super().__init__(scenario, runner, levers, years)
        self.asked, self.certainty = asked, certainty

    def certain(self, rows: Rows) -> Interval:
        """Interval whose ends are each passed with a chance of 1 - certainty ("Student")."""
        return mean_of(rows, reams, max(2 * self.certainty - 1, 0.001))

    def judged(self, rows: Rows) -> bool | None:
        """Whether the mean of runs is shown to reach what is asked; None where it is not told."""
        interval = self.certain(rows)
        if interval.low >= self.asked:
            return True
        return False if interval.high < self.asked else None

    def can_be_had(self, moved: Moved) -> bool:
        """Whether it makes a line, and what is known of its price may be spent."""
        limit = self.scenario.levers.capital_limit
        return self.line(moved) is not None and (limit is None or self.fixed(moved)[0] <= limit)

    def fixed(self, moved: Moved) -> tuple[float, float]:
        """Capital, and what it makes a year with wages and running cost; known prices alone."""
        capital = a_year = 0.0
        for _, step in self.steps(moved):
            spent = step.cost(self.scenario, self.years)
            if spent is not None:
                capital += spent.capital
                a_year += spent.running_cost + spent.wages
        spread = yearly_cost(capital, self.scenario.money.discount_rate, self.years)
        return capital, a_year + spread

    def unpriced(self, moved: Moved) -> list[str]:
        """What has no price of it, in words."""
        return [step.words for step in self._without_price(moved)]

    def _without_price(self, moved: Moved) -> list[Step]:
        steps = (step for _, step in self.steps(moved))
        return [step for step in steps if step.cost(self.scenario, self.years) is None]

    def paper_a_year(self, then: Rows, moved: Moved, now: Rows) -> Interval | None:
        """Money a year for paper wasted beyond the present, for as many reams as are asked.

        None where reels change together as now, or paper costs nothing: what else saves paper is
        in the sum of a year, not in the order of the search.
        """
        a_kg = prices_of(self.scenario).waste_per_t / 1000
        if not a_kg or all(lever.key != "change_together" for lever, _ in self.steps(moved)):
            return None
        both = min(len(then), len(now))
        level = self.runner.settings.level
        wasted = between(then[:both], now[:both], _kg_per_ream, level)
        first = now[0]
        asked_a_year = self.asked * first.hours / 168 * years_in(self.scenario, first)
        return wasted.interval.times(a_kg * asked_a_year)

    def cost_a_year(self, moved: Moved) -> float:
        """All of it, money a year."""
        paper = self.paper_a_year(self.rows[moved], moved, self.rows[self.now])
        return self.fixed(moved)[1] + (paper.mean if paper is not None else 0.0)

    def value(self, moved: Moved) -> float:
        """The less it is short, then the less of it has no price, then the less it costs."""
        short = max(0.0, self.asked - self.certain(self.rows[moved]).low)
        far = sum(step.far for step in self._without_price(moved))
        return -(short * _SHORT + far * _UNPRICED + self.cost_a_year(moved))

    def search(self) -> Moved:
        """As before; then the bridge is shortened by halving to the shortest that reaches."""
        self.run([self.now])
        if self.judged(self.rows[self.now]):
            return self.now
        self.run(
            self.alone(n, step + 1)
            for n, lever in enumerate(self.levers)
            for step in range(len(lever.steps))
        )
        return self._shorten(super().search())

    def _shorten(self, best: Moved) -> Moved:
        at = next((n for n, each in enumerate(self.levers) if each.key == "longer_bridge"), None)
        if at is None or not best[at] or not self.judged(self.rows[best]):
            return best
        line, shorter = self.line(best), self.line(self._with(best, at, best[at] - 1))
        assert line is not None
        low = (shorter or self.scenario).bridge_places
        high = line.bridge_places
        while high - low > 1:
            middle = (low + high) // 2
            lever = self.levers[at]
            step = longer_step(self.scenario, bridge_of(self.scenario), middle)
            steps = (*lever.steps, step)
            self.levers = [*self.levers[:at], replace(lever, steps=steps), *self.levers[at + 1 :]]
            tried = self._with(best, at, len(steps))
            if self.line(tried) is not None:
                self.run([tried])
            if tried in self.rows and self.judged(self.rows[tried]):
                best, high = tried, middle
            else:
                low = middle
        return best

    def ladder(self) -> list[Moved]:
        """What to run on fresh luck, cheapest first: the cheapest that reached, and dearer ones.

        What came nearest, where none reached.
        """
        reaching = sorted(
            (each for each, rows in self.rows.items() if self.judged(rows)),
            key=lambda each: -self.value(each),
        )
        if not reaching:
            return [max(self.rows, key=lambda each: mean_of(self.rows[each], reams).mean)]
        if len(reaching) <= _LADDER:
            return reaching
        apart = (len(reaching) - 1) / (_LADDER - 1)
        return [reaching[round(n * apart / 2) if n < _LADDER - 1 else -1] for n in range(_LADDER)]


def _kg_per_ream(outcome: Outcome) -> float:
    return outcome.avoidable_waste_kg / outcome.good_reams if outcome.good_reams else 0.0
