"""The answer to: what is the cheapest way to make so many reams a week?"""

from __future__ import annotations

from linesim.report.answers.answer import AnswerContent, beyond_runs_words, bounded_text, plus
from linesim.report.answers.cells import figure_of, written
from linesim.report.answers.choice_words import share_words
from linesim.report.answers.meet_target_tables import target_charts, target_tables
from linesim.report.answers.money_tables import MONEY_NOTE, market_words, worth_words
from linesim.report.answers.size_bridge import levels_text
from linesim.report.plain import listed
from linesim.scenario import Scenario
from linesim.scenario.buffers import bridge_of
from linesim.statistics import counted, rough
from linesim.studies.meet_target import Checked, MetTarget
from linesim.studies.target_settings import Setting, beyond
from linesim.studies.what_to_measure import MainFigure


def meet_target_answer(scenario: Scenario, found: MetTarget) -> AnswerContent:
    """The answer of ``meet-target``."""
    return AnswerContent(
        found,
        _words(scenario, found),
        target_tables(scenario, found),
        target_charts(found),
        _notes(scenario, found),
        prices=("ream_place_cost", "person_cost_per_year"),
        main=MainFigure.output((found.answer or found.best).reams_per_week),
    )


def _words(scenario: Scenario, found: MetTarget) -> list[str]:
    """What to set, what it costs, what it makes and how sure; then the line as it is."""
    words = [_answer(scenario, found)]
    if found.answer is not None:
        words.append(_beside(found, found.answer))
        if found.answer.worth is not None:
            words.append(f"Against the line as it is. {worth_words(found.answer.worth)}")
    if found.market is not None and scenario.money.contribution_per_ream:
        words += market_words(found.market)
    if found.present_checked is not None and found.answer is not None:
        words += _passed_over(found)
    return words


def _answer(scenario: Scenario, found: MetTarget) -> str:
    asked, name = f"{found.asked:,.10g} good reams a week", scenario.line.name
    sure, answer = f"{100 * found.certainty:g} %", found.answer
    if answer is None:
        return _so_far(scenario, found, asked)
    reams = answer.reams_per_week.text()
    makes = f"with fresh random numbers it makes {reams} good reams a week"
    what = _steps(scenario, found.present.setting, answer.setting)
    if answer.reaches:
        if answer.setting == found.present.setting:
            return (
                f"{name} reaches {asked} as it is: {makes}, and its mean is at least"
                f" {_down(answer.certain_of)} with {sure} certainty."
            )
        return (
            f"{name} reaches {asked} with {what}; that costs {_cost_words(found, answer)};"
            f" {makes}, and its mean is at least {_down(answer.certain_of)} with {sure} certainty."
        )
    set_so = "as it is" if answer.setting == found.present.setting else f"with {what}"
    made = figure_of(answer.reams_per_week)
    short = made._replace(mean=found.asked - made.mean)
    if answer.reaches is None:
        if answer.beyond_runs:
            more = beyond_runs_words(answer.beyond_runs, "reams a week")
        elif answer.more_runs is None:
            more = "it is so close that more runs are not worth making"
        else:
            more = f"{counted(answer.more_runs, 'more run')} would show it"
        return (
            f"It is not clear yet whether {name} reaches {asked} with {sure} certainty: {set_so},"
            f" {makes}; {more}."
        )
    return (
        f"{name} reaches {asked} with nothing that was tried. The nearest, {set_so}, falls short"
        f" by {written(short)}: {makes}."
    )


def _so_far(scenario: Scenario, found: MetTarget, asked: str) -> str:
    best, name = found.best, scenario.line.name
    set_so = (
        "the line as it is"
        if best.setting == found.present.setting
        else _steps(scenario, found.present.setting, best.setting)
    )
    makes = f"it makes {best.reams_per_week.text()} good reams a week"
    if best.reaches:
        said = f"the cheapest of {_counted(found)} so far that reaches {asked} is {set_so}: {makes}"
    else:
        said = (
            f"of {_counted(found)} so far none is shown to reach {asked}; nearest is {set_so}:"
            f" {makes}"
        )
    return f"{name}: {said}, in the runs it was chosen by. The search is not complete."


def _counted(found: MetTarget) -> str:
    return f"{counted(len(found.tried), 'setting')} tried"


def _steps(scenario: Scenario, present: Setting, setting: Setting) -> str:
    """What is to be changed, in words."""
    steps = []
    if setting.places != present.places:
        length, now = bridge_of(scenario).metres(setting.places), scenario.bridge_length_m
        steps.append(
            f"{setting.places:,} places on the bridge, {length:.4g} m (now {present.places:,},"
            f" {now:.4g} m)"
        )
    if setting.wrappers != present.wrappers:
        steps.append(f"{setting.wrappers} wrappers (now {present.wrappers})")
    if setting.crew != present.crew:
        steps.append(f"a crew of {setting.crew} (now {present.crew})")
    if setting.levels != present.levels:
        steps.append(f"levels of the bridge: {levels_text(setting.levels)}")
    if setting.change_together_below_m != present.change_together_below_m:
        below_m = setting.change_together_below_m
        steps.append(
            f"reels changed together below {below_m:,.10g} m"
            if below_m
            else "reels never changed together"
        )
    return listed(steps) if steps else "nothing changed"


def _cost_words(found: MetTarget, answer: Checked) -> str:
    """What is bought and hired; the paper, which is simulated, with its interval."""
    more, prices = beyond(found.present.setting, answer.setting), found.prices
    bought = [
        (more.places, prices.place, counted(more.places, "more place")),
        (more.wrappers, prices.wrapper, counted(more.wrappers, "more wrapper")),
        (more.people, prices.person, counted(more.people, "more person", "more people")),
    ]
    paid = [what for count, price, what in bought if count and price]
    free = [what for count, price, what in bought if count and not price]
    parts = [f"{rough(answer.fixed_cost)} a year for {listed(paid)}"] if paid else []
    if free:
        parts.append(f"{listed(free)}, for which the scenario has no price")
    said = ", and ".join(parts) or "nothing to buy or hire"
    paper = answer.paper_cost
    if paper is None or not (paper.mean or paper.half_width):
        return said
    if paper.low > 0:
        return f"{said} and {paper.text()} a year for more paper waste"
    if paper.high < 0:
        return f"{said}, less {paper.times(-1).text()} a year for less paper waste"
    return f"{said} (no difference in paper waste shown)"


def _beside(found: MetTarget, answer: Checked) -> str:
    """The share of single runs, so that nobody takes it for the certainty, and the present."""
    weeks = "weeks" if found.hours == 168 else f"runs of {found.hours:,.10g} h"
    said = (
        f"Of the single {weeks}, {bounded_text(answer.weeks_that_reach, '%')} % made as much:"
        " the certainty is about the mean, not about every week."
    )
    if answer.in_plants is not None:
        said += (
            f" In {share_words(answer.in_plants)} plants that agree with what is known the mean"
            " reaches it."
        )
    present = found.present_checked
    if present is not None and answer.setting != found.present.setting:
        said += (
            f" The line as it is makes {present.reams_per_week.text()} with the same"
            f" random numbers: the change is {plus(answer.gain)} reams a week."
        )
    return said


def _passed_over(found: MetTarget) -> list[str]:
    """Cheaper settings that reached in the search but not with fresh random numbers."""
    if found.answer is None or not found.answer.reaches:
        return []
    cheaper = found.checked[: found.checked.index(found.answer)]
    if not cheaper:
        return []
    return [
        f"{counted(len(cheaper), 'cheaper setting')} reached it in the search, but not with fresh"
        " random numbers."
    ]


def _down(reams: float) -> str:
    """Three digits, rounded down: never more than is certain."""
    unit = 10.0 ** max(0, len(str(int(abs(reams)))) - 3)
    return f"{reams // unit * unit:,.0f}"


def _notes(scenario: Scenario, found: MetTarget) -> list[str]:
    """What certainty means here, how it was searched, and what costs what."""
    sure, prices = f"{100 * found.certainty:g} %", found.prices
    places = max(each.setting.places for each in found.tried)
    kinds = (
        (prices.place, "a place", "year", "places"),
        (prices.wrapper, "a wrapper", "year", "one more wrapper (so none was tried)"),
        (prices.person, "a person", "year", "people"),
        (prices.paper * 1000, "avoidable waste", "tonne", "paper"),
    )
    known = [f"{what} {rough(price)} a {per}" for price, what, per, _ in kinds if price]
    unknown = [many for price, _, _, many in kinds if not price]
    order = (
        ""
        if prices.person
        else " The scenario has no price for people, so settings with the fewest people come first."
    )
    if not prices.known:
        order = (
            " The scenario has no prices, so the fewest people come first, then the fewest places."
        )
    return [
        f"“Reaches” means: the mean of good reams a week is at least what is asked with {sure}"
        " certainty (the one-sided lower bound by Student). It does not mean that so many single"
        " weeks reach it; their share is given beside it, with its exact interval (Clopper and"
        " Pearson).",
        "How the search went, all with the same random numbers: bridge levels, and the length left"
        " below which reels are changed together, are tried at the present bridge and crew; a"
        " level is moved only where it is shown to give more. Then the dearest bridge, crew and"
        " wrappers are tried, so that what cannot be reached is said at once. Then all the others"
        " by yearly cost, until one reaches; no shorter bridge where the longest"
        f" ({places:,} places, {bridge_of(scenario).metres(places):.4g} m) falls short. Last, the"
        " bridge is shortened by halving, and the levels are tried again there. It is a search,"
        " not a proof: a combination it passed over may be cheaper.",
        "The best of many tries is flattered by the runs it was picked from. So the settings that"
        " reached, and a few dearer ones, were run again with fresh random numbers. From the"
        f" dearest down they are accepted until one fails, which keeps the {sure} over all of"
        " them.",
        f"Costs beyond the line as it is: {listed(known) if known else 'none is known'}."
        + (f" No price: {listed(unknown)}." if unknown else "")
        + order
        + " Setting levels costs nothing; the paper they waste is in what stands as wasted."
        " Reels changed together cost the paper left on them, for as many reams as are asked."
        " What a longer bridge saves in paper is not in the order of the search: it is in the sum"
        " of a year.",
        *([MONEY_NOTE] if scenario.money.contribution_per_ream else []),
        f"{len(found.tried)} settings, {found.runs_in_all:,} runs of {found.hours:,.10g} h in all.",
    ]
