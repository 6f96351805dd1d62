"""The cheapest set of levers that reaches an output."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from linesim.scenario import Scenario
from linesim.scenario.levers_table import LeverName
from linesim.statistics import Bounds, Interval, Proportion, exact_proportion, share_of_plants
from linesim.studies.differences import (
    Difference,
    between,
    beyond_runs,
    crossed,
    is_crossed,
    mean_of,
    reams,
    runs_to_tell,
)
from linesim.studies.lever_search import Moved, Rows
from linesim.studies.levers import levers_of
from linesim.studies.plants import Plants, plants_of
from linesim.studies.runner import Runner, StoppedError
from linesim.studies.target_search import TargetSearch
from linesim.studies.worth import Market, Worth, market_of, worth_by


@dataclass(frozen=True)
class Tried:
    """A set of changes on the luck of the search, weeks of 168 h. It chose: that flatters."""

    changes: tuple[str, ...]
    """In words; none for the line as it is."""
    levers: tuple[LeverName, ...]
    """What they are changes of."""
    unpriced: tuple[str, ...]
    """Those that have no price."""
    fixed_cost: float
    """What is bought and hired, money a year."""
    paper_cost: Interval | None
    """Paper wasted by changing reels together beyond the present, money a year."""
    reams_per_week: Interval
    gain: Difference
    """Good reams a week beyond the present."""
    reaches: bool | None


@dataclass(frozen=True)
class Checked(Tried):
    """A set of changes on fresh luck, against the line as it is on the same."""

    certain_of: float
    """Good reams a week that the mean is above with the asked certainty."""
    weeks_that_reach: Proportion
    """Share of single runs that made what is asked: another question than the mean."""
    in_plants: Bounds | None
    """In what share of the plants that agree with what is known its mean reaches what is asked;
    None where nothing of the line is doubted."""
    more_runs: int | None
    """Runs that would tell, if it is as it looks; 0 where it is told, None for a million, or where
    no run tells."""
    beyond_runs: float
    """What is not known of the mean, where that is why no run tells; good reams a week."""
    worth: Worth | None
    """What the changes bring in a year; None where there are none or a price is not known."""


@dataclass(frozen=True)
class MetTarget:
    """What reaches the asked output, and all that was tried.

    ``answer`` is what the answer speaks of: the cheapest that holds on fresh luck; where none
    does, what came nearest. None where the search was not complete.
    """

    asked: float
    certainty: float
    present: Tried
    tried: tuple[Tried, ...]
    """Those that reached, cheapest first, then the others, nearest first."""
    best: Tried
    """The first of them."""
    present_checked: Checked | None
    checked: tuple[Checked, ...]
    """Cheapest first."""
    market: Market | None
    """What the line as it is makes in a year; None where nothing was checked."""
    answer: Checked | None
    cut_short: bool
    runs: int
    """Of each."""
    runs_in_all: int
    hours: float


def meet_target(
    scenario: Scenario,
    runner: Runner,
    asked: float,
    *,
    certainty: float = 0.9,
    years: float = 10.0,
    check: bool = True,
) -> MetTarget:
    """Search the levers on one luck, and check the cheapest that reach on fresh luck.

    The cheapest that reached and a few dearer ones are run on luck that none has met, and accepted
    from the dearest down to the last before one that fails: so tested, all accepted hold together
    with the asked certainty (Maurer, Hothorn and Lehmacher 1995, from memory). Without ``check``
    nothing is checked.

    Stopped early it says what it has. Raises :class:`StoppedError` if that is not even the line
    as it is.
    """
    search = TargetSearch(scenario, runner, levers_of(scenario), years, asked, certainty)
    ladder: list[Moved] = []
    fresh: dict[Moved, Rows] = {}
    try:
        search.search()
        if check:
            ladder = search.ladder()
            fresh = search.fresh([search.now, *(each for each in ladder if any(each))], 0)
            if runner.interrupted:
                fresh = {}
    except StoppedError:
        if search.now not in search.rows:
            raise
    plants = plants_of(scenario, runner, fresh[search.now]) if fresh else None
    said = _Said(search, fresh, plants)
    checked = tuple(said.checked(each) for each in ladder) if fresh else ()
    tried = tuple(said.tried(each) for each in sorted(search.rows, key=lambda m: -search.value(m)))
    return MetTarget(
        asked=asked,
        certainty=certainty,
        present=said.tried(search.now),
        tried=tried,
        best=tried[0],
        present_checked=said.checked(search.now) if fresh else None,
        checked=checked,
        market=market_of(scenario, fresh[search.now], runner.settings.level, plants)
        if fresh
        else None,
        answer=accepted(checked),
        cut_short=runner.interrupted,
        runs=len(search.rows[search.now]),
        runs_in_all=sum(map(len, search.rows.values())) + sum(map(len, fresh.values())),
        hours=runner.settings.hours,
    )


def accepted(checked: Sequence[Checked]) -> Checked | None:
    """From the dearest down, the last before one that fails; the dearest if it fails itself."""
    found = None
    for each in reversed(checked):
        if found is not None and not each.reaches:
            break
        found = each
        if not each.reaches:
            break
    return found


@dataclass(frozen=True)
class _Said:
    search: TargetSearch
    fresh: dict[Moved, Rows]
    plants: Plants | None

    def tried(self, moved: Moved) -> Tried:
        return self._of(moved, self.search.rows)

    def _of(self, moved: Moved, of: dict[Moved, Rows]) -> Tried:
        search, rows = self.search, of[moved]
        return Tried(
            changes=tuple(step.words for _, step in search.steps(moved)),
            levers=tuple(lever.key for lever, _ in search.steps(moved)),
            unpriced=tuple(search.unpriced(moved)),
            fixed_cost=search.fixed(moved)[1],
            paper_cost=search.paper_a_year(rows, moved, of[search.now]),
            reams_per_week=mean_of(rows, reams, search.runner.settings.level),
            gain=between(rows, of[search.now], reams, search.runner.settings.level),
            reaches=search.judged(rows),
        )

    def checked(self, moved: Moved) -> Checked:
        search, level = self.search, self.search.runner.settings.level
        rows, now = self.fresh[moved], self.fresh[search.now]
        certain, of = search.certain(rows), self._of(moved, self.fresh)
        return Checked(
            **vars(of),
            certain_of=certain.low,
            weeks_that_reach=exact_proportion(
                sum(reams(each) >= search.asked for each in rows),
                len(rows),
                level,
                crossed=is_crossed(rows),
            ),
            in_plants=self._in_plants(rows, of.reams_per_week),
            more_runs=runs_to_tell(certain, search.asked, crossed=crossed(rows))
            if of.reaches is None
            else 0,
            beyond_runs=certain.doubt
            if of.reaches is None and beyond_runs(certain, search.asked)
            else 0.0,
            worth=self._worth(moved, now, rows),
        )

    def _in_plants(self, rows: Rows, mean: Interval) -> Bounds | None:
        if self.plants is None or not self.plants.crossed:
            return None
        made = self.plants.of([reams(each) for each in rows])
        above = replace(mean, mean=mean.mean - self.search.asked)
        return share_of_plants(made - self.search.asked, above)

    def _worth(self, moved: Moved, now: Rows, rows: Rows) -> Worth | None:
        search = self.search
        scenario, level = search.scenario, search.runner.settings.level
        unknown = not scenario.money.contribution_per_ream or search.cost(moved) is None
        if unknown or moved == search.now:
            return None
        spent = partial(search.cost_or_nothing, moved)
        return worth_by(scenario, now, rows, spent, level, self.plants)
