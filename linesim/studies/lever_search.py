"""Levers moved together: lines run on the same luck, and the way from one to a better one."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial

import numpy as np
from numpy.typing import NDArray

from linesim.money import Purchase, yearly_cost, yearly_sum
from linesim.scenario import Scenario, ScenarioFaults
from linesim.statistics import SQUARE
from linesim.studies.differences import all_and_each_left_out, is_crossed, reams
from linesim.studies.lever import Lever, Step
from linesim.studies.orders_pace import while_orders_last
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner, StoppedError
from linesim.studies.worth import prices_of, year_of, years_as_one

Moved = tuple[int, ...]
"""How far each lever is moved: 0 as it is, else the number of its step from 1."""
Rows = Sequence[Outcome]

_SWEEPS = 3
_PAIRED = 3


class LeverSearch:
    """Runs lines with levers moved, and looks for the one worth most.

    Worth is money a year, capital spread over ``years`` taken off; good reams a week where the
    scenario has no contribution of a ream. Levers without a price stay where they are.
    """

    def __init__(
        self,
        scenario: Scenario,
        runner: Runner,
        levers: Sequence[Lever],
        years: float,
        indifference: float = 0.0,
    ) -> None:
        self.scenario, self.runner, self.levers, self.years = scenario, runner, levers, years
        self.indifference = indifference
        """What is worth no more than this more is as good."""
        self.now: Moved = (0,) * len(levers)
        self.rows: dict[Moved, Rows] = {}
        self.watch: Callable[[], None] = lambda: None
        """Called whenever lines have been run."""
        self._lines: dict[Moved, Scenario | None] = {self.now: scenario}

    def alone(self, lever: int, step: int) -> Moved:
        """One lever moved, the others as they are."""
        return self._with(self.now, lever, step)

    def steps(self, moved: Moved) -> list[tuple[Lever, Step]]:
        """What is changed, lever by lever."""
        pairs = zip(self.levers, moved, strict=True)
        return [(lever, lever.steps[n - 1]) for lever, n in pairs if n]

    def line(self, moved: Moved) -> Scenario | None:
        """The line changed so; None where that makes none."""
        if moved not in self._lines:
            line: Scenario | None = self.scenario
            try:
                for _, step in self.steps(moved):
                    assert line is not None
                    line = step.change(line)
            except ScenarioFaults:
                line = None
            self._lines[moved] = line
        return self._lines[moved]

    def cost(self, moved: Moved, priced: Scenario | None = None) -> Purchase | None:
        """What it costs in all, at the scenario's prices; None where a price is not known."""
        spent = Purchase(0.0, 0.0, 0.0, self.years)
        for _, step in self.steps(moved):
            more = step.cost(priced or self.scenario, self.years)
            if more is None:
                return None
            spent = Purchase(
                spent.capital + more.capital,
                spent.running_cost + more.running_cost,
                spent.wages + more.wages,
                self.years,
            )
        return spent

    def cost_or_nothing(self, moved: Moved, priced: Scenario) -> Purchase:
        """What it costs; nothing where a price is not known, to say what it would be worth."""
        return self.cost(moved, priced) or Purchase(0.0, 0.0, 0.0, self.years)

    def capital(self, moved: Moved) -> float:
        """What it costs once; of what has no price, nothing."""
        return float(np.mean(self.cost_or_nothing(moved, self.scenario).capital))

    def can_be_had(self, moved: Moved) -> bool:
        """Whether all of it has a price, and there is no more to pay than may be spent."""
        limit = self.scenario.levers.capital_limit
        if self.line(moved) is None or self.cost(moved) is None:
            return False
        return limit is None or self.capital(moved) <= limit

    def run(self, wanted: Iterable[Moved]) -> None:
        """Run those not run yet, on the luck of the search, with the line as it is.

        Raises :class:`StoppedError` once told to stop; what was run until then is kept.
        """
        new = {str(each): each for each in wanted if each not in self.rows}
        lines = {name: line for name, each in new.items() if (line := self.line(each)) is not None}
        if not lines:
            return
        found = self.outcomes(lines)
        self.rows |= {new[name]: rows for name, rows in found.items()}
        if self.runner.interrupted:
            raise StoppedError
        self.watch()

    def outcomes(self, lines: Mapping[str, Scenario], first: int = 0) -> dict[str, Rows]:
        """Runs of lines by name; of orders, up to the end of the last."""
        found = self.runner.outcomes(lines, first=first)
        return dict(while_orders_last(lines, found, self.runner.settings.warm_up_h))

    def best_so_far(self) -> Moved:
        """What is worth most of all that was run and may be had."""
        there = [each for each in self.rows if self.can_be_had(each)]
        return max(there, key=self.value, default=self.now)

    def values(self, moved: Moved) -> NDArray[np.float64]:
        """What it is worth beyond the line as it is, one value for each independent luck."""
        return worth_by_luck(self, *self.pair(moved), moved)

    def pair(self, moved: Moved) -> tuple[Rows, Rows]:
        """Runs of it, and those of the line as it is on the same luck: where it was stopped on
        the way it has fewer."""
        then = self.rows[moved]
        return then, self.rows[self.now][: len(then)]

    def value(self, moved: Moved) -> float:
        """The mean of that."""
        return float(self.values(moved).mean())

    def gain(self, moved: Moved) -> float:
        """Good reams a week more, the mean."""
        then, now = self.pair(moved)
        return _mean_reams(then) - _mean_reams(now)

    def search(self) -> Moved:
        """To what is worth most on this luck, from both ends.

        Up, from the line as it is: lever by lever, the most promising first, each to where it is
        best with the others as they are by then; again until none moves. Down, from everything
        that may be had: what brings nothing there is put back, the least promising first, and then
        lever by lever as before: so is found what pays only together, of however many. The better
        of the two; then pairs of the levers that promise most. Last, what brings too little is put
        back.
        """
        order = self._promising()
        best = self._climb(self.now, order)
        down = self._climb(self._put_back(self._everything(order), order[::-1], 0.0), order)
        best = max(best, down, key=self.value)
        while (further := self._pairs(best, order)) != best:
            best = further
        dearest = sorted(order, key=lambda n: -self.capital(self.alone(n, best[n])))
        return self._put_back(best, dearest, self.indifference)

    def _climb(self, best: Moved, order: Sequence[int]) -> Moved:
        for _ in range(_SWEEPS):
            before = best
            for lever in order:
                best = self._best([self._with(best, lever, n) for n in self._range(lever)], best)
            if best == before:
                break
        return best

    def _everything(self, order: Sequence[int]) -> Moved:
        """Each lever where it makes most alone, but for those that make less, and conflicts.

        Where that is more than may be spent, what gives up least for its price is left.
        """
        made = self.now
        for lever in order:
            steps = [n for n in self._range(lever) if n and self.alone(lever, n) in self.rows]
            most = max(steps, key=lambda n: (self.gain(self.alone(lever, n)), n))
            tried = self._with(made, lever, most)
            if not self._makes_less(self.alone(lever, most)) and self.line(tried) is not None:
                made = tried
        self.run([made])
        while not self.can_be_had(made):
            fewer = [self._with(made, n, 0) for n in order if self.capital(self.alone(n, made[n]))]
            fewer = [each for each in fewer if self.line(each) is not None]
            if not fewer:
                return self.now
            self.run(fewer)
            made = max(fewer, key=partial(self._given_up_for, made))
        return made

    def _given_up_for(self, made: Moved, fewer: Moved) -> float:
        """What is given up for each of the money that is then not spent, as a negative."""
        saved = self.capital(made) - self.capital(fewer)
        return min(0.0, self.gain(fewer) - self.gain(made)) / saved if saved > 0 else -math.inf

    def _makes_less(self, moved: Moved) -> bool:
        """Whether it is likelier than not by chance alone that it makes fewer reams."""
        pairs = zip(*self.pair(moved), strict=True)
        more = np.array([reams(a) - reams(b) for a, b in pairs])
        return bool(more.mean() + more.std(ddof=1) / math.sqrt(len(more)) < 0)

    def _promising(self) -> list[int]:
        """Levers that can be bought, by what they are worth alone at their best step."""
        found = []
        for lever, each in enumerate(self.levers):
            steps = [self.alone(lever, n + 1) for n in range(len(each.steps))]
            worth = [self.value(m) for m in steps if m in self.rows and self.can_be_had(m)]
            if worth:
                found.append((-max(worth), lever))
        return [lever for _, lever in sorted(found)]

    def _range(self, lever: int) -> range:
        return range(len(self.levers[lever].steps) + 1)

    @staticmethod
    def _with(moved: Moved, lever: int, step: int) -> Moved:
        return (*moved[:lever], step, *moved[lever + 1 :])

    def _best(self, tried: Sequence[Moved], at: Moved) -> Moved:
        """What is worth most of these, where that is more than where the levers are."""
        there = [each for each in tried if self.can_be_had(each)]
        self.run(there)
        best = max(there, key=self.value, default=at)
        return best if best != at and self.value(best) > self.value(at) else at

    def _pairs(self, best: Moved, order: Sequence[int]) -> Moved:
        for a, b in itertools.combinations(order[:_PAIRED], 2):
            tried = [
                self._with(self._with(best, a, i), b, j)
                for i in self._near(best, a)
                for j in self._near(best, b)
            ]
            best = self._best(tried, best)
        return best

    def _near(self, moved: Moved, lever: int) -> list[int]:
        """As it is, where it is best alone, and a step on either side of where it is."""
        at, steps = moved[lever], self._range(lever)
        alone = [n for n in steps if self.alone(lever, n) in self.rows]
        best = max(alone, key=lambda n: self.value(self.alone(lever, n)))
        return sorted({0, best, *(n for n in (at - 1, at, at + 1) if n in steps)})

    def _put_back(self, best: Moved, order: Sequence[int], indifference: float) -> Moved:
        """Without what is worth no more than ``indifference`` beside the rest, one by one."""
        for lever in order:
            less = self._with(best, lever, 0)
            if not best[lever] or not self.can_be_had(less):
                continue
            self.run([less])
            if self.value(best) - self.value(less) <= indifference:
                best = less
        return best

    def in_order(self, chosen: Moved) -> list[Moved]:
        """The way to it, one lever after the other: what is paid back soonest first."""
        way, left = [self.now], [n for n, step in enumerate(chosen) if step]
        while left:
            steps = {n: self._with(way[-1], n, chosen[n]) for n in left}
            self.run(steps.values())
            there = {n: each for n, each in steps.items() if each in self.rows}
            if not there:
                break
            first = max(there, key=lambda n: self._return(way[-1], there[n]))
            way.append(there[first])
            left.remove(first)
        return way

    def _return(self, before: Moved, then: Moved) -> tuple[float, float]:
        """What a step brings a year for what is spent on it; what costs nothing comes first."""
        more, spent = self.value(then) - self.value(before), self.capital(then)
        spent -= self.capital(before)
        if spent <= 0:
            return math.copysign(math.inf, more), more
        return more / spent, more

    def frontier(self) -> list[Moved]:
        """Of all that was run: what brings more in a year than anything that costs no more."""
        priced = [each for each in self.rows if self.can_be_had(each)]

        found: list[Moved] = []
        most = -np.inf
        for each in sorted(priced, key=lambda m: (self.capital(m), -self.value(m))):
            if self.value(each) > most:
                most = self.value(each)
                found.append(each)
        return found

    def fresh(self, wanted: Sequence[Moved], batch: int) -> dict[Moved, Rows]:
        """These on luck that nothing has met; ``batch`` 0 is the first of such runs."""
        count = self.runner.replications
        lines = {str(each): self.line(each) for each in wanted}
        known = {name: line for name, line in lines.items() if line is not None}
        found = self.outcomes(known, first=(batch + 1) * count)
        return {each: found[str(each)] for each in wanted if str(each) in found}


def _mean_reams(rows: Rows) -> float:
    return float(np.mean([reams(each) for each in rows]))


def worth_by_luck(search: LeverSearch, then: Rows, now: Rows, moved: Moved) -> NDArray[np.float64]:
    """What a change is worth a year in each luck, capital spread over the years taken off.

    Sales are cut off by demand over the year, so that single runs have no worth: pseudo-values of
    the jackknife stand for them. Crossed runs count square by square. Without a contribution of a
    ream it is good reams a week.
    """
    scenario = search.scenario
    if scenario.money.contribution_per_ream:
        sets = all_and_each_left_out(len(now))
        years = [
            years_as_one([year_of(scenario, [rows[n] for n in which]) for which in sets])
            for rows in (now, then)
        ]
        spent, prices = search.cost_or_nothing(moved, scenario), prices_of(scenario)
        made = np.asarray(yearly_sum(years[0], years[1], prices, spent).total)
        count = len(now)
        values = count * made[0] - (count - 1) * made[1:]
        values = values - yearly_cost(spent.capital, prices.rate, search.years)
    else:
        values = np.array([reams(a) - reams(b) for a, b in zip(then, now, strict=True)])
    by_luck: NDArray[np.float64] = (
        values.reshape(-1, SQUARE).mean(axis=1) if is_crossed(now) else values
    )
    return by_luck
