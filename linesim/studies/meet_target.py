"""The cheapest bridge, levels, reels changed together, crew and wrappers that reach an output."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from linesim.scenario import Scenario
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
from linesim.studies.outcome import Outcome
from linesim.studies.plants import Plants, plants_of
from linesim.studies.runner import Runner, StoppedError
from linesim.studies.target_search import TargetSearch
from linesim.studies.target_settings import (
    Prices,
    Rows,
    Setting,
    beyond,
    kg_wasted_per_ream,
    paired,
)
from linesim.studies.worth import Market, Worth, market_of, worth_of


@dataclass(frozen=True)
class TriedSetting:
    """A setting on the draws of the search, weeks of 168 h. They chose: that flatters."""

    setting: Setting
    fixed_cost: float
    """Places, wrappers and people beyond the present ones, money a year."""
    paper_cost: Interval | None
    """Paper wasted by changing reels together beyond the present, money a year."""
    reams_per_week: Interval
    certain_of: float
    """Good reams a week that the mean is above with the asked certainty."""
    reaches: bool | None
    waste_kg_per_week: Interval
    beside: bool
    """Levels tried beside others, not a step of the walk by cost."""


@dataclass(frozen=True)
class Checked:
    """A setting with fresh random numbers, against the line as it is on the same."""

    setting: Setting
    fixed_cost: float
    reams_per_week: Interval
    certain_of: float
    reaches: bool | None
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
    waste_kg_per_week: Interval
    gain: Difference
    """Good reams a week beyond the present."""
    wasted_more: Difference
    """Paper wasted a week beyond the present, kg."""
    paper_cost: Interval | None
    """Paper wasted beyond the present for as many reams as are asked, money a year."""
    worth: Worth | None
    """What the change brings in a year; None where nothing is changed or a price is not known."""


@dataclass(frozen=True)
class MetTarget:
    """What reaches the asked output, and all that was tried.

    ``answer`` is the setting that the answer speaks of: the cheapest that holds on fresh draws;
    where none does, what came nearest. None where the search was not complete.
    """

    asked: float
    certainty: float
    prices: Prices
    present: TriedSetting
    tried: tuple[TriedSetting, ...]
    """Cheapest first."""
    best: TriedSetting
    """The cheapest that reached on the draws of the search, or what came nearest."""
    present_checked: Checked | None
    checked: tuple[Checked, ...]
    """Cheapest first."""
    market: Market | None
    """What the line as it is makes in a year; None where nothing was checked."""
    answer: Checked | None
    cut_short: bool
    runs: int
    """Of each setting."""
    runs_in_all: int
    hours: float


def meet_target(
    scenario: Scenario,
    runner: Runner,
    asked: float,
    *,
    certainty: float = 0.9,
    places: Sequence[int],
    more_people: int = 2,
    person_cost: float = 0.0,
    years: float = 10.0,
    fill: bool = True,
    check: bool = True,
) -> MetTarget:
    """Search settings on the same draws, cheapest first, and check the best on fresh draws.

    ``asked`` good reams a week are reached where the one-sided lower bound of the mean at
    ``certainty`` is at least as much. The cheapest that reached and a few dearer ones are run on
    draws that none has met, and accepted from the dearest down to the last before one that fails:
    so tested, all accepted hold together with the asked certainty (Maurer, Hothorn and Lehmacher
    1995, from memory). Without ``check`` pairs are run by cost and nothing is checked.

    Stopped early it says what it has. Raises :class:`StoppedError` if that is not even the line
    as it is.
    """
    # Priced so, run as it stands: what a person costs changes nothing on the line.
    priced = scenario
    if person_cost:
        priced = scenario.varied(money={"person_cost_per_year": person_cost})
    prices = Prices.of(priced, years)
    crew = range(scenario.crew.size, scenario.crew.size + more_people + 1)
    most = len(scenario.wrapper) + (1 if prices.wrapper else 0)
    wrappers = range(len(scenario.wrapper), most + 1)
    search = TargetSearch(scenario, runner, asked, certainty, prices, places, crew, wrappers, fill)
    ladder: list[Setting] = []
    fresh: dict[Setting, Rows] = {}
    try:
        if check:
            search.search()
            ladder = search.ladder()
            fresh = search.fresh(ladder)
        else:
            search.quick()
    except StoppedError:
        if search.present not in search.rows:
            raise
    plants = plants_of(priced, runner, fresh[search.present]) if fresh else None
    said = _Said(search, priced, prices, asked, years, runner.settings.level, plants)
    checked = tuple(said.checked(each, fresh) for each in ladder if each in fresh)
    tried = tuple(said.tried(each) for each in sorted(search.rows, key=search.rank))
    reaching = search.reaching()
    best = reaching[0] if reaching else search.nearest()
    return MetTarget(
        asked=asked,
        certainty=certainty,
        prices=prices,
        present=said.tried(search.present),
        tried=tried,
        best=said.tried(best),
        present_checked=said.checked(search.present, fresh) if fresh else None,
        checked=checked,
        market=market_of(priced, fresh[search.present], runner.settings.level, plants)
        if fresh
        else None,
        answer=accepted(checked),
        cut_short=runner.interrupted,
        runs=len(search.rows[search.present]),
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
    priced: Scenario
    prices: Prices
    asked: float
    years: float
    level: float
    plants: Plants | None

    def tried(self, setting: Setting) -> TriedSetting:
        rows = self.search.rows[setting]
        return TriedSetting(
            setting,
            self.prices.fixed(self.search.present, setting),
            self.search.paper_a_year.get(setting.change_together_below_m),
            mean_of(rows, reams, self.level),
            self.search.certain(rows).low,
            self.search.reaches(setting),
            mean_of(rows, _kg_per_week, self.level),
            setting in self.search.beside,
        )

    def checked(self, setting: Setting, fresh: dict[Setting, Rows]) -> Checked:
        search, level = self.search, self.level
        rows, now = paired(fresh[setting], fresh[search.present])
        certain = search.certain(rows)
        reaches = search.judged(rows)
        paper = between(rows, now, kg_wasted_per_ream, level).interval
        a_kg = self.prices.paper * search.asked_a_year
        return Checked(
            setting,
            self.prices.fixed(search.present, setting),
            mean_of(rows, reams, level),
            certain.low,
            reaches,
            exact_proportion(
                sum(reams(each) >= self.asked for each in rows),
                len(rows),
                level,
                crossed=is_crossed(rows),
            ),
            self._in_plants(rows, mean_of(rows, reams, level)),
            runs_to_tell(certain, self.asked, crossed=crossed(rows)) if reaches is None else 0,
            certain.doubt if reaches is None and beyond_runs(certain, self.asked) else 0.0,
            mean_of(rows, _kg_per_week, level),
            between(rows, now, reams, level),
            between(rows, now, _kg_per_week, level),
            paper.times(a_kg) if a_kg else None,
            self._worth(setting, now, rows),
        )

    def _in_plants(self, rows: Rows, mean: Interval) -> Bounds | None:
        if self.plants is None or not self.plants.crossed:
            return None
        made = self.plants.of([reams(each) for each in rows])
        above = replace(mean, mean=mean.mean - self.asked)
        return share_of_plants(made - self.asked, above)

    def _worth(self, setting: Setting, now: Rows, rows: Rows) -> Worth | None:
        present = self.search.present
        if setting == present or not self.priced.money.contribution_per_ream:
            return None
        more = beyond(present, setting)
        return worth_of(
            self.priced,
            now,
            rows,
            self.years,
            self.level,
            self.plants,
            bridge=more.places,
            wrappers=more.wrappers,
            people=more.people,
        )


def _kg_per_week(outcome: Outcome) -> float:
    return outcome.avoidable_waste_kg / outcome.hours * 168
