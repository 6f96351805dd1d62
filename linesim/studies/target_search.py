"""The search of ``meet-target``: settings run with the same random numbers, cheapest first."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

from linesim.scenario import Scenario, ScenarioFaults
from linesim.statistics import Interval
from linesim.studies.bridge_levels import Levels, levels_to_try
from linesim.studies.differences import between, mean_of, reams
from linesim.studies.runner import Runner, StoppedError
from linesim.studies.target_settings import (
    Prices,
    Rows,
    Setting,
    kg_wasted_per_ream,
    moved_to,
    paired,
    present_setting,
    scenario_with,
    together_to_try,
)
from linesim.studies.worth import years_in

_LADDER = 5


class TargetSearch:
    """Runs settings, keeps what they made, and walks from cheap to dear.

    ``asked`` are good reams a week, ``certainty`` 0.5 to below 1. ``fill`` says whether lengths
    between ``places`` may be chosen. Methods that run raise :class:`StoppedError` once told to
    stop; what was run until then is in ``rows``.
    """

    def __init__(
        self,
        scenario: Scenario,
        runner: Runner,
        asked: float,
        certainty: float,
        prices: Prices,
        places: Sequence[int],
        crew: Sequence[int],
        wrappers: Sequence[int],
        fill: bool,
    ) -> None:
        self.present = self.free = present_setting(scenario)
        self.rows: dict[Setting, Rows] = {}
        self.beside: set[Setting] = set()
        """Levels tried beside others: not steps of the walk by cost."""
        self.paper_a_year: dict[float, Interval] = {}
        """Money a year for paper wasted beyond the present, by the length of changing together."""
        self._scenario, self._runner = scenario, runner
        self._asked, self._certainty = asked, certainty
        self._prices = prices
        self._places, self._crew, self._fill = sorted(places), sorted(crew), fill
        self._wrappers = sorted(wrappers)
        self._together = [self.present.change_together_below_m]
        self._none: set[Setting] = set()
        self._moved: dict[tuple[Setting, int], Setting | None] = {}

    @property
    def asked_a_year(self) -> float:
        """Good reams that are asked for in a year of the manned hours."""
        first = self.rows[self.present][0]
        return self._asked * first.hours / 168 * years_in(self._scenario, first)

    def certain(self, rows: Rows) -> Interval:
        """Interval whose ends are each passed with a chance of 1 - certainty ("Student")."""
        return mean_of(rows, reams, max(2 * self._certainty - 1, 0.001))

    def reaches(self, setting: Setting) -> bool | None:
        """Whether the mean is shown to reach what is asked, on the draws of the search."""
        return self.judged(self.rows[setting])

    def judged(self, rows: Rows) -> bool | None:
        """Whether the mean of runs is shown to reach what is asked; None where it is not told."""
        interval = self.certain(rows)
        if interval.low >= self._asked:
            return True
        return False if interval.high < self._asked else None

    def rank(self, setting: Setting) -> tuple[float, ...]:
        """What settings are sorted by, cheapest first."""
        paper = self.paper_a_year.get(setting.change_together_below_m)
        return self._prices.rank(self.present, setting, paper.mean if paper else 0.0)

    def run(self, settings: Iterable[Setting], *, beside: bool = False) -> list[Setting]:
        """Run those not run yet; those that make a line are given back."""
        wanted = list(dict.fromkeys(settings))
        new = set(wanted) - self.rows.keys()
        self.beside = self.beside | new if beside else self.beside - set(wanted)
        variants: dict[str, Scenario] = {}
        names: dict[str, Setting] = {}
        for setting in wanted:
            if setting in self.rows or setting in self._none:
                continue
            try:
                variants[str(setting)] = scenario_with(self._scenario, setting)
                names[str(setting)] = setting
            except ScenarioFaults:
                self._none.add(setting)
        if variants:
            found = self._runner.outcomes(variants)
            self.rows |= {names[name]: rows for name, rows in found.items()}
            if self._runner.interrupted:
                raise StoppedError
        return [setting for setting in wanted if setting in self.rows]

    def search(self) -> None:
        """The whole walk: free settings, pairs by cost, the shortest bridge, free settings again.

        Afterwards :meth:`ladder` names what is worth another look.
        """
        self.run([self.present])
        if self.reaches(self.present) and not self._paper_saved():
            return
        self._price_together()
        self.free = self._better_levels(self.free)
        if not self._dearest_may(tune=True) or not self._cheapest():
            return
        chosen = self.reaching()[0]
        better = self._better_levels(chosen)
        if better != chosen:
            self.free = better
            self._cheapest()

    def quick(self) -> None:
        """Pairs by cost alone: what a search says before it is complete."""
        self.run([self.present])
        if not self.reaches(self.present) and self._dearest_may(tune=False):
            self._first_reaching()

    def ladder(self) -> list[Setting]:
        """What to run on fresh draws, cheapest first: the cheapest that reached, and dearer ones.

        What came nearest, where none reached.
        """
        reaching = self.reaching()
        if not reaching:
            return [self.nearest()]
        coarse = [each for each in self._by_cost() if self.rank(each) > self.rank(reaching[0])]
        dearer = itertools.islice((each for each in coarse if self._run_reaches(each)), 2)
        last = max((self.rank(each) for each in dearer), default=None)
        steps = [each for each in self.reaching() if last is None or self.rank(each) <= last]
        if len(steps) <= _LADDER:
            return steps
        return [*steps[: _LADDER - 2], *steps[-2:]]

    def fresh(self, ladder: Sequence[Setting]) -> dict[Setting, Rows]:
        """These and the line as it is, on draws that the search has not met."""
        lines = {str(s): scenario_with(self._scenario, s) for s in (self.present, *ladder)}
        met = max(each.replication for rows in self.rows.values() for each in rows) + 1
        found = self._runner.outcomes(lines, first=met)
        return {setting: found[str(setting)] for setting in (self.present, *ladder)}

    def _paper_saved(self) -> bool:
        """Whether the line as it is could save paper by changing fewer reels together."""
        return self._prices.paper > 0 and self.present.change_together_below_m > 0

    def _price_together(self) -> None:
        """Which lengths of changing together are worth a thought, and what paper they take.

        Where paper has a price each that gives more or saves paper is one more thing to buy;
        where it has none, the one that gives most is taken, if it is shown to give more.
        """
        tried = self.run(
            self.present._replace(change_together_below_m=each)
            for each in together_to_try(self._scenario)
        )
        level = self._runner.settings.level
        now = self.rows[self.present]
        more: list[Setting] = []
        for setting in tried:
            below_m = setting.change_together_below_m
            if setting == self.present:
                continue
            gain = between(*paired(self.rows[setting], now), reams, level)
            helps = gain.shown and gain.interval.mean > 0
            if self._prices.paper:
                wasted = between(*paired(self.rows[setting], now), kg_wasted_per_ream, level)
                a_kg = self._prices.paper * self.asked_a_year
                self.paper_a_year[below_m] = wasted.interval.times(a_kg)
                if helps or below_m < self.present.change_together_below_m:
                    self._together.append(below_m)
            elif helps:
                more.append(setting)
        if more:
            best = max(more, key=self._mean)
            self._together = [best.change_together_below_m]
            self.free = best

    def _better_levels(self, at: Setting) -> Setting:
        """The levels that gave most there, if they are shown to give more than those of ``at``.

        First where to stop and restart, then where to slow: one after the other.
        """
        sets = levels_to_try(scenario_with(self._scenario, at))
        best = self._most(at, [each for each in sets if each.slow in (None, at.levels.slow)])
        slows = dict.fromkeys(each.slow for each in sets)
        best = self._most(best, [best.levels._replace(slow=each) for each in slows])
        level = self._runner.settings.level
        gain = between(*paired(self.rows[best], self.rows[at]), reams, level)
        return best if gain.shown else at

    def _most(self, at: Setting, sets: Sequence[Levels]) -> Setting:
        tried = self.run([at, *(at._replace(levels=each) for each in sets)], beside=True)
        return max(tried, key=lambda each: (self._mean(each), each == at))

    def _dearest_may(self, *, tune: bool) -> bool:
        """Whether the most that can be bought is not shown to fall short."""
        found = self.run(self._at(self._places[-1], self._crew[-1], self._wrappers[-1]))
        if tune and found and not any(self.reaches(each) for each in found):
            best = self._better_levels(max(found, key=self._mean))
            if best not in found:
                # Levels that suit the longest bridge: where even it is short, they decide.
                self.free = best
                found = self.run(self._at(self._places[-1], self._crew[-1], self._wrappers[-1]))
        return not found or any(self.reaches(each) is not False for each in found)

    def _at(self, places: int, crew: int, wrappers: int) -> list[Setting]:
        """The free settings there, for each length of changing together; none if no line."""
        moved = self._free_at(places)
        if moved is None:
            return []
        moved = moved._replace(crew=crew, wrappers=wrappers)
        return [moved._replace(change_together_below_m=m) for m in self._together]

    def _free_at(self, places: int) -> Setting | None:
        key = (self.free, places)
        if key not in self._moved:
            try:
                self._moved[key] = moved_to(self._scenario, self.free, places)
            except ScenarioFaults:
                self._moved[key] = None
        return self._moved[key]

    def _by_cost(self) -> list[Setting]:
        every = itertools.product(self._places, self._crew, self._wrappers)
        return sorted((s for each in every for s in self._at(*each)), key=self.rank)

    def _first_reaching(self) -> Setting | None:
        return next((each for each in self._by_cost() if self._run_reaches(each)), None)

    def _may_reach(self, setting: Setting) -> bool:
        """Whether the longest bridge, all else the same, is not shown to fall short."""
        longest = self._free_at(self._places[-1])
        if longest is None or setting.places >= longest.places:
            return True
        as_long = setting._replace(places=longest.places, levels=longest.levels)
        return all(self.reaches(each) is not False for each in self.run([as_long]))

    def _cheapest(self) -> bool:
        """Walk from cheap to dear, then shorten the bridge; whether any reached."""
        chosen = self._first_reaching()
        if chosen is not None:
            self._shorten(chosen)
        return chosen is not None

    def _run_reaches(self, setting: Setting) -> bool:
        if not self._may_reach(setting):
            return False
        return any(self.reaches(each) for each in self.run([setting]))

    def _shorten(self, chosen: Setting) -> None:
        """Halve the step from the next shorter bridge until the shortest that reaches is met."""
        shorter = [each for each in self._places if each < chosen.places]
        if not self._fill or not shorter:
            return
        low, high = shorter[-1], chosen.places
        while high - low > 1:
            middle = (low + high) // 2
            moved = self._free_at(middle)
            if moved is not None and self._run_reaches(
                chosen._replace(places=middle, levels=moved.levels)
            ):
                high = middle
            else:
                low = middle

    def reaching(self) -> list[Setting]:
        """One setting for each that reached, whatever its levels, cheapest first."""
        best: dict[Setting, Setting] = {}
        for setting in self._kept_first():
            if self.reaches(setting):
                best.setdefault(setting._replace(levels=self.present.levels), setting)
        return sorted(best.values(), key=self.rank)

    def nearest(self) -> Setting:
        """What made most."""
        return max(self._kept_first(), key=self._mean)

    def _kept_first(self) -> list[Setting]:
        """Settings run, those with the levels decided on before those tried beside them."""

        def decided(setting: Setting) -> bool:
            free = self._free_at(setting.places)
            return setting == self.present or (free is not None and free.levels == setting.levels)

        return sorted(self.rows, key=lambda each: (not decided(each), -self._mean(each)))

    def _mean(self, setting: Setting) -> float:
        return self.certain(self.rows[setting]).mean
