"""What to change on a line: every lever alone, then together, and the order to buy in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import numpy as np

from linesim.money import Purchase
from linesim.scenario import Scenario
from linesim.scenario.levers_table import LeverName
from linesim.statistics import Interval
from linesim.studies.changes import without_cause
from linesim.studies.differences import Difference, between, mean_of, reams
from linesim.studies.lever import Lever
from linesim.studies.lever_choice import confirmed, frontier_of
from linesim.studies.lever_search import LeverSearch, Moved, Rows, worth_by_luck
from linesim.studies.levers import levers_of
from linesim.studies.paid_back import PaidBack, paid_back_by
from linesim.studies.plants import Plants, plants_of
from linesim.studies.runner import Runner, StoppedError
from linesim.studies.waiting import held_by
from linesim.studies.worth import Market, Worth, market_of, worth_by

_INDIFFERENT = 0.0025
"""Part of what the line's reams earn in a year: choices that lie closer are as good."""


@dataclass(frozen=True)
class Alone:
    """One lever at its best step, all else as it is; output in reams a week."""

    key: LeverName
    name: str
    words: str
    gain: Difference
    reams_per_week: Interval
    held_by: str
    """The station the others wait for (pattern of waiting)."""
    purchase: Purchase | None
    """None where its price is not known."""
    worth: Worth | None
    """What it brings; where its price is not known, what it would bring for nothing. None without
    a contribution of a ream."""
    in_plants: PaidBack | None


@dataclass(frozen=True)
class Bought:
    """The line after so many steps of the way, on luck that nothing was chosen by."""

    changes: tuple[str, ...]
    """All that is changed by then; the last is what this step adds."""
    levers: tuple[LeverName, ...]
    """What is moved by then."""
    purchase: Purchase
    gain: Difference
    step: Difference
    """Reams a week more than the step before."""
    step_worth: Worth | None
    """What the step brings for what is spent on it, the steps before taken as done."""
    reams_per_week: Interval
    held_by: str
    worth: Worth | None
    in_plants: PaidBack | None


@dataclass(frozen=True)
class WhatToChange:
    """Every lever alone, largest first; and the way to what is worth most, step by step."""

    now: Interval
    now_afresh: Interval | None
    """The same on the luck of ``way``, to which its gains add; None where that is not known."""
    held_now_by: str
    alone: tuple[Alone, ...]
    way: tuple[Bought, ...]
    """Empty where nothing that can be had is shown to pay."""
    frontier: tuple[Bought, ...]
    """What brings more in a year than anything that costs no more, cheapest first; the end of the
    way is always among them."""
    beyond: Bought | None
    """The end of the way against what comes before it there, where it is not shown to be worth
    more than that."""
    as_good: tuple[tuple[str, ...], ...]
    """Other sets of changes that the runs do not tell from the best."""
    so_far: Bought | None
    """What is worth most of what was moved together, in the runs it was chosen by; None once that
    is confirmed, or where one lever alone is as good."""
    indifference: float
    """Choices closer than this are as good: money a year, or reams a week."""
    market: Market | None
    years: float
    within_years: float
    tried: int
    runs: int
    """Of each."""
    runs_in_all: int
    complete: bool
    """Whether the levers were moved together, too."""


def what_to_change(
    scenario: Scenario,
    runner: Runner,
    *,
    years: float = 10.0,
    within_years: float = 3.0,
    indifference: float | None = None,
    together: bool = True,
    show: Callable[[Callable[[], WhatToChange]], None] | None = None,
) -> WhatToChange:
    """Move every lever alone, search for what is worth most together, confirm on fresh luck.

    What is bought lasts ``years``. Choices closer than ``indifference`` (money a year; reams a week
    without a contribution) are as good; unless given, it is a four-hundredth of what the line's
    reams earn. Without ``together`` levers are moved alone. ``show`` is given, as levers are
    measured and then as they are moved together, a call that says what is known by then.

    Stopped early it says what it has. Raises :class:`StoppedError` if that is not even one lever.
    """
    search = before = LeverSearch(scenario, runner, levers_of(scenario), years)

    def known(choice: _Choice | None = None) -> WhatToChange:
        return _known(search, within_years, indifference, choice)

    def tell() -> None:
        if show is not None:
            show(known)

    choice = None
    # Answers of fewer runs have shown all levers before: not one by one again.
    each_lever = (lambda: None) if runner.answered else tell
    try:
        _move_alone(search, each_lever)
        dearest, told = _dearest(search), len(search.levers)
        search = LeverSearch(scenario, runner, levers_of(scenario, dearest), years)
        _move_alone(search, each_lever, told)
        search.indifference = known().indifference
        if together:
            search.watch = tell
            chosen, others, fresh = confirmed(search)
            choice = _Choice(search.in_order(chosen), others, fresh)
    except StoppedError:
        # The second begins with nothing.
        search = max(search, before, key=lambda each: len(each.rows))
        if len(search.rows) < 2:
            raise
    return known(choice)


@dataclass(frozen=True)
class _Choice:
    """What was confirmed: the way to it, what is as good, and the runs on fresh luck."""

    way: list[Moved]
    others: list[Moved]
    fresh: dict[Moved, Rows]


def _move_alone(search: LeverSearch, each_lever: Callable[[], None], told: int = 0) -> None:
    search.run([search.now])
    for n, lever in enumerate(search.levers):
        new = [search.alone(n, step + 1) for step in range(len(lever.steps))]
        search.run(new)
        if n >= told:
            each_lever()


def _known(
    search: LeverSearch, within_years: float, indifference: float | None, choice: _Choice | None
) -> WhatToChange:
    scenario, runner = search.scenario, search.runner
    now, level = search.rows[search.now], runner.settings.level
    if indifference is None:
        indifference = _INDIFFERENT * _earned(scenario, now)
    said = _Said(search, within_years, search.rows, plants_of(scenario, runner, now))
    alone, so_far = said.alone(), None
    way: tuple[Bought, ...] = ()
    frontier: tuple[Bought, ...] = ()
    beyond: Bought | None = None
    now_afresh: Interval | None = None
    if choice is not None:
        plants = plants_of(scenario, runner, choice.fresh[search.now])
        sure = _Said(search, within_years, choice.fresh, plants)
        way = sure.way(choice.way)
        chosen = choice.way[-1]
        afresh = choice.fresh[search.now][: len(choice.fresh[chosen])]
        now_afresh = mean_of(afresh, reams, level)
        best_for_money, shown = frontier_of(search, choice.fresh, chosen)
        frontier = sure.each(best_for_money)
        if way and not shown:
            beyond = sure.against(chosen, best_for_money[best_for_money.index(chosen) - 1])
    elif sum(map(bool, best := search.best_so_far())) > 1:
        (so_far,) = said.each([best])
    return WhatToChange(
        now=mean_of(now, reams, level),
        now_afresh=now_afresh,
        held_now_by=held_by([each.waits for each in now]),
        alone=alone,
        way=way,
        frontier=frontier,
        beyond=beyond,
        as_good=tuple(_words(search, each) for each in choice.others) if choice else (),
        so_far=so_far,
        indifference=indifference,
        market=market_of(scenario, now, level, said.plants)
        if scenario.money.contribution_per_ream
        else None,
        years=search.years,
        within_years=within_years,
        tried=len(search.rows),
        runs=len(now),
        runs_in_all=runner.made + runner.from_file,
        complete=choice is not None,
    )


def _dearest(search: LeverSearch) -> list[str]:
    """The stop causes that cost most: those whose absence gains most reams, dearest first.

    Looked for among those that stand longest, some more than are wanted: what stands a while may
    cost nothing, what hardly stands costs little.
    """
    scenario, now = search.scenario, search.rows[search.now]
    stood = dict.fromkeys((stop.cause for stop in scenario.stop), 0)
    for row in now:
        for each in row.stops:
            if each.cause in stood:
                stood[each.cause] += each.ns
    count = scenario.levers.causes
    longest = sorted(stood, key=lambda cause: -stood[cause])[: 2 * count]
    if len(longest) <= count:
        return longest
    rows = search.outcomes({cause: without_cause(scenario, cause) for cause in longest})
    if search.runner.interrupted:
        raise StoppedError

    def made(cause: str) -> float:
        return float(np.mean([reams(each) for each in rows[cause]]))

    return sorted(longest, key=lambda cause: -made(cause))[:count]


def _earned(scenario: Scenario, now: Rows) -> float:
    """What the line's reams earn in a year; a week's reams where a ream earns nothing known."""
    made = float(np.mean([reams(each) for each in now]))
    money = scenario.money
    if not money.contribution_per_ream:
        return made
    manned = float(np.mean([each.manned_hours / each.hours for each in now]))
    return made / 168 / manned * money.hours_per_year * money.contribution_per_ream


def each_alone(search: LeverSearch, within_years: float = 3.0) -> tuple[Alone, ...]:
    """Each lever that was moved alone, at its best step, what is worth most first."""
    return _Said(search, within_years, search.rows, None).alone()


def _words(search: LeverSearch, moved: Moved) -> tuple[str, ...]:
    return tuple(step.words for _, step in search.steps(moved))


@dataclass(frozen=True)
class _Said:
    """What runs say of levers moved."""

    search: LeverSearch
    within_years: float
    rows: dict[Moved, Rows]
    plants: Plants | None

    def alone(self) -> tuple[Alone, ...]:
        """Every lever at its best step, what brings most first."""
        found = []
        for n, lever in enumerate(self.search.levers):
            steps = [self.search.alone(n, step + 1) for step in range(len(lever.steps))]
            there = [each for each in steps if each in self.rows]
            if there:
                best = max(there, key=self._ranked)
                found.append((self._ranked(best), self._alone(lever, best)))
        return tuple(each for _, each in sorted(found, key=lambda pair: pair[0], reverse=True))

    def _ranked(self, moved: Moved) -> float:
        return float(worth_by_luck(self.search, *self._pair(moved), moved).mean())

    def _pair(self, moved: Moved) -> tuple[Rows, Rows]:
        then = self.rows[moved]
        return then, self.rows[self.search.now][: len(then)]

    def _alone(self, lever: Lever, moved: Moved) -> Alone:
        then, now = self._pair(moved)
        level = self.search.runner.settings.level
        worth, in_plants = self._worth(moved)
        return Alone(
            key=lever.key,
            name=lever.name,
            words=_words(self.search, moved)[0],
            gain=between(then, now, reams, level),
            reams_per_week=mean_of(then, reams, level),
            held_by=held_by([each.waits for each in then]),
            purchase=self.search.cost(moved),
            worth=worth,
            in_plants=in_plants,
        )

    def _worth(self, moved: Moved) -> tuple[Worth | None, PaidBack | None]:
        search = self.search
        if not search.scenario.money.contribution_per_ream or moved == search.now:
            return None, None
        then, now = self._pair(moved)
        level = search.runner.settings.level
        spent = partial(search.cost_or_nothing, moved)
        worth = worth_by(search.scenario, now, then, spent, level, self.plants)
        in_plants = None
        if self.plants is not None and search.cost(moved) is not None:
            in_plants = paid_back_by(
                search.scenario, now, then, spent, self.within_years, level, self.plants
            )
        return worth, in_plants

    def way(self, way: Sequence[Moved]) -> tuple[Bought, ...]:
        """The steps after the line as it is, each against the one before."""
        there = [each for each in way if each in self.rows]
        return tuple(self.against(then, before) for before, then in pairwise(there))

    def each(self, moved: Sequence[Moved]) -> tuple[Bought, ...]:
        """Each against the line as it is, that itself left out."""
        now = self.search.now
        return tuple(self.against(each, now) for each in moved if each != now)

    def against(self, moved: Moved, before: Moved) -> Bought:
        """It, and what it adds to the one before."""
        search, level = self.search, self.search.runner.settings.level
        then, now = self._pair(moved)
        steps = _words(search, moved)
        new = [each for each in steps if each not in _words(search, before)]
        spent = search.cost(moved)
        assert spent is not None
        worth, in_plants = self._worth(moved)
        both = min(len(then), len(self.rows[before]))
        pair = self.rows[before][:both], then[:both]
        step_worth = worth
        if worth is not None and before != search.now:
            step_worth = worth_by(
                search.scenario, *pair, partial(self._more, before, moved), level, self.plants
            )
        return Bought(
            changes=(*[each for each in steps if each not in new], *new),
            levers=tuple(lever.key for lever, _ in search.steps(moved)),
            purchase=spent,
            gain=between(then, now, reams, level),
            step=between(pair[1], pair[0], reams, level),
            step_worth=step_worth,
            reams_per_week=mean_of(then, reams, level),
            held_by=held_by([each.waits for each in then]),
            worth=worth,
            in_plants=in_plants,
        )

    def _more(self, before: Moved, then: Moved, priced: Scenario) -> Purchase:
        """What is spent beyond the step before."""
        less, more = (self.search.cost_or_nothing(each, priced) for each in (before, then))
        return Purchase(
            more.capital - less.capital,
            more.running_cost - less.running_cost,
            more.wages - less.wages,
            more.years,
        )
