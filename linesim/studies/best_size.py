"""What buffers of other sizes bring beyond what they cost, and which sizes are best.

Places that stand already are paid: they cost nothing, and taking them away brings nothing back.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from linesim.money import Year, yearly_cost, yearly_sum
from linesim.record.capacity import SHEETER
from linesim.scenario import Scenario
from linesim.scenario.buffers import BRIDGE, Buffer, buffers_of
from linesim.statistics import Choice, Interval, choose
from linesim.studies.differences import Difference, between, interval_over, mean_of, reams
from linesim.studies.outcome import Outcome
from linesim.studies.paid_back import PaidBack, paid_back
from linesim.studies.plants import plants_of
from linesim.studies.runner import Runner
from linesim.studies.worth import (
    Known,
    Market,
    Worth,
    market_of,
    prices_of,
    purchase_of,
    worth_of,
)

Places = tuple[int, ...]
"""Of each buffer that is sized, in their order."""
Rows = Sequence[Outcome]
WEEK_H = 168


@dataclass(frozen=True)
class SizeRule:
    """What a place must bring: its cost spread over ``years``; where prices are not known, the
    ``asked_fraction`` of the present output. ``within_years`` is the payback asked."""

    years: float = 10.0
    asked_fraction: float = 0.0005
    within_years: float = 3.0


@dataclass(frozen=True)
class Sized:
    """The line with its buffers at these sizes. A week are 168 h."""

    places: Places
    metres: tuple[float, ...]
    reams_per_week: Interval
    gain: Difference
    """Reams a week more than the line as it is, same draws."""
    blocked_h: tuple[Interval, ...]
    """Of each buffer: hours a week that those before it stand for want of room ..."""
    starved_h: tuple[Interval, ...]
    """... and those behind it for want of pieces."""
    worth: Worth | None
    """None where nothing is bought, or its price is not known."""
    in_plants: PaidBack | None
    """In how many plants it is paid back in time; None where nothing is doubted either."""
    net: Interval
    """What it brings beyond what it costs: money a year, its capital spread over its life; or
    reams a week, the share asked of each place taken off."""
    short: Interval | None
    """What its ``net`` falls short of the best by, pair by pair; None for the best."""

    @property
    def alike(self) -> bool:
        """Whether it is not told from the best."""
        return self.short is None or self.short.contains(0)

    @property
    def shown_to_pay(self) -> bool:
        """Whether it is shown to bring more than it costs, against the line as it is."""
        return self.net.low > 0


@dataclass(frozen=True)
class BestSize:
    """All sizes that were run, smallest first."""

    buffers: tuple[Buffer, ...]
    sizes: tuple[Sized, ...]
    best: Sized
    present: Sized
    in_money: bool
    """Whether ``net`` is money a year, not reams a week."""
    rule: SizeRule
    choice: Choice | None
    """Which of the sizes is best in plants that agree with what is known; None without doubt."""
    market: Market
    runs: int
    hours: float

    @property
    def unit(self) -> str:
        """Of ``net``."""
        return "money a year" if self.in_money else "reams a week"

    def alike(self, which: int) -> tuple[int, int]:
        """Fewest and most places of that buffer among the sizes not told from the best."""
        found = [each.places[which] for each in self.sizes if each.alike]
        return min(found), max(found)


class Sizing:
    """Judges lines that differ in the sizes of these buffers, all run on the same draws."""

    def __init__(
        self,
        scenario: Scenario,
        runner: Runner,
        names: Sequence[str],
        lines: Mapping[Places, Rows],
        rule: SizeRule,
    ) -> None:
        """``lines`` are the runs by places, the present ones among them."""
        buffers = buffers_of(scenario)
        self.buffers = tuple(buffers[name] for name in names)
        self.present = present_places(self.buffers)
        self._scenario, self._runner, self._rule = scenario, runner, rule
        self.lines, self._level = dict(lines), runner.settings.level
        self._now = self.lines[self.present]
        self._plants = plants_of(scenario, runner, self._now)
        priced = purchase_of(scenario, rule.years, **dict.fromkeys(names, 1)) is not None
        self.in_money = priced and scenario.money.contribution_per_ream > 0
        self._asked = rule.asked_fraction * mean_of(self._now, reams).mean

    def added(self, places: Places) -> dict[str, int]:
        """Places more than now, by the names of their buffers."""
        return {
            buffer.name: max(0, count - buffer.places)
            for buffer, count in zip(self.buffers, places, strict=True)
        }

    def _bar(self, places: Places) -> float:
        """Reams a week asked of the places added."""
        return self._asked * sum(self.added(places).values())

    def _a_year(self, places: Places, priced: Scenario, before: Year, after: Year) -> Any:
        """Money a year beyond what the capital costs in each."""
        spent = purchase_of(priced, self._rule.years, **self.added(places))
        assert spent is not None
        prices = prices_of(priced)
        total = yearly_sum(before, after, prices, spent).total
        return total - yearly_cost(spent.capital, prices.rate, spent.years)

    def net(self, places: Places) -> Interval:
        """What these sizes bring beyond what they cost."""
        if places == self.present or not self.in_money:
            gain = between(self.lines[places], self._now, reams, self._level).interval
            return replace(gain, mean=gain.mean - self._bar(places))
        known = Known(self._scenario, (self._now, self.lines[places]), self._level, self._plants)
        found = known.interval(lambda priced, years: self._a_year(places, priced, *years))
        assert found is not None
        return found

    def short(self, places: Places, best: Places) -> Interval:
        """What ``places`` bring less than the best, pair by pair."""
        if not self.in_money:
            gain = between(self.lines[best], self.lines[places], reams, self._level).interval
            return replace(gain, mean=gain.mean - self._bar(best) + self._bar(places))
        rows = (self._now, self.lines[best], self.lines[places])

        def figure(priced: Scenario, years: Sequence[Year]) -> Any:
            now, most, less = years
            more = self._a_year(best, priced, now, most)
            return more - self._a_year(places, priced, now, less)

        found = Known(self._scenario, rows, self._level, self._plants).interval(figure)
        assert found is not None
        return found

    def best(self, among: Sequence[Places] = ()) -> Places:
        """The sizes whose ``net`` is most on average; the smallest of those alike."""
        return max(sorted(among or self.lines), key=lambda places: self.net(places).mean)

    def judged(self) -> BestSize:
        """All sizes with what can be said of each."""
        best = self.best()
        sizes = {places: self._sized(places, best) for places in sorted(self.lines)}
        return BestSize(
            buffers=self.buffers,
            sizes=tuple(sizes.values()),
            best=sizes[best],
            present=sizes[self.present],
            in_money=self.in_money,
            rule=self._rule,
            choice=self._choice(list(sizes)),
            market=market_of(self._scenario, self._now, self._level, self._plants),
            runs=len(self._now),
            hours=self._runner.settings.hours,
        )

    def _sized(self, places: Places, best: Places) -> Sized:
        rows, now, level = self.lines[places], self._now, self._level
        years, bought = self._rule.years, self.added(places)
        worth = in_plants = None
        if self.in_money and any(bought.values()):
            worth = worth_of(self._scenario, now, rows, years, level, self._plants, **bought)
            if self._plants is not None:
                within = self._rule.within_years
                in_plants = paid_back(
                    self._scenario, now, rows, years, within, level, self._plants, **bought
                )
        beside = [self._beside(buffer) for buffer in self.buffers]
        return Sized(
            places=places,
            metres=tuple(b.metres(n) for b, n in zip(self.buffers, places, strict=True)),
            reams_per_week=mean_of(rows, reams, level),
            gain=between(rows, now, reams, level),
            blocked_h=tuple(self._hours(rows, before, "blocked") for before, _ in beside),
            starved_h=tuple(self._hours(rows, behind, "starved") for _, behind in beside),
            worth=worth,
            in_plants=in_plants,
            net=self.net(places),
            short=None if places == best else self.short(places, best),
        )

    def _beside(self, buffer: Buffer) -> tuple[Sequence[str], Sequence[str]]:
        """The stations before and behind a buffer."""
        wrappers = [wrapper.name for wrapper in self._scenario.wrapper]
        places = self._scenario.end_places
        rows = [[SHEETER], wrappers, *places.values()]
        at = 1 if buffer.name == BRIDGE else 2 + list(places).index(buffer.name)
        return rows[at - 1], rows[at]

    def _hours(self, rows: Rows, stations: Sequence[str], state: str) -> Interval:
        """Hours a week in a state, the mean of stations side by side."""

        def hours(run: Outcome) -> float:
            total = sum(run.state_hours[station][state] for station in stations)
            return total / len(stations) / run.hours * WEEK_H

        return mean_of(rows, hours, self._level)

    def _choice(self, sizes: Sequence[Places]) -> Choice | None:
        plants = self._plants
        if plants is None or not (self.in_money or plants.crossed):
            return None
        if self.in_money:
            now = plants.year(self._now)
            worth = [
                self._a_year(each, plants.priced, now, plants.year(self.lines[each]))
                for each in sizes
            ]
        else:
            worth = [plants.of([reams(o) for o in self.lines[n]]) - self._bar(n) for n in sizes]
        return choose([np.broadcast_to(each, plants.count) for each in worth])

    def more_together(self, both: Places, alone: Sequence[Places]) -> Interval:
        """Reams a week that all changes bring more than the sum of what each brings alone."""
        made = [[reams(run) for run in self.lines[each]] for each in (both, *alone, self.present)]
        rows = zip(*made, strict=True)
        values = [all_of - sum(ones) + (len(alone) - 1) * now for all_of, *ones, now in rows]
        return interval_over(self._now, values, self._level)


def present_places(buffers: Sequence[Buffer]) -> Places:
    """The sizes that stand."""
    return tuple(buffer.places for buffer in buffers)
