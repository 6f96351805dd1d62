"""The answer to: what is the cheapest way to make so many reams a week?"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from linesim.report.answers.advice import Advice
from linesim.report.answers.answer import AnswerContent, beyond_runs_words, bounded_text, plus
from linesim.report.answers.best_size_words import bridge_room_to_see
from linesim.report.answers.cells import Cell, Column, figure_of, written
from linesim.report.answers.charts import NOW, PAIRED, Curve, curve, stretches
from linesim.report.answers.choice_words import share_words
from linesim.report.answers.money_tables import (
    MONEY_NOTE,
    ORDERS_NOTE,
    market_words,
    sum_table,
    worth_table,
    worth_words,
)
from linesim.report.answers.tables import AnswerTable
from linesim.report.plain import listed
from linesim.scenario import CURRENCY, Scenario
from linesim.scenario.buffers import buffers_of
from linesim.statistics import counted
from linesim.studies.meet_target import Checked, MetTarget, Tried
from linesim.studies.what_to_measure import MainFigure
from linesim.studies.worth import prices_of

_CLEAR = {True: "reaches", False: "falls short", None: "not clear"}


def meet_target_answer(scenario: Scenario, found: MetTarget) -> AnswerContent:
    """The answer of ``meet-target``."""
    return AnswerContent(
        found,
        _words(scenario, found),
        _tables(scenario, found),
        _charts(found),
        _notes(scenario, found),
        brief=3,
        prices=("ream_place_cost", "person_cost_per_year"),
        main=MainFigure.output((found.answer or found.best).reams_per_week),
        advice=_advice(scenario, found),
    )


def _advice(scenario: Scenario, found: MetTarget) -> Advice:
    said = _answer(scenario, found)
    if found.answer is None or not found.answer.reaches:
        return Advice(said)
    answer = found.answer
    return Advice(said, "; ".join(answer.changes), answer.worth, answer.levers, found.market)


def _words(scenario: Scenario, found: MetTarget) -> list[str]:
    """What to change, what it costs, what it makes and how sure; then the line as it is."""
    words = [_answer(scenario, found)]
    if found.answer is not None:
        room = bridge_room_to_see(scenario, found.answer.levers)
        words.append(_beside(found, found.answer) + room)
        if found.answer.worth is not None:
            words.append(f"Against the line as it is. {worth_words(found.answer.worth)}")
    if found.market is not None and scenario.money.contribution_per_ream:
        words += market_words(found.market)
    return [*words, *_passed_over(found)]


def _answer(scenario: Scenario, found: MetTarget) -> str:
    asked, name = f"{found.asked:,.10g} good reams a week", f"“{scenario.line.name}”"
    sure, answer = f"{100 * found.certainty:g} %", found.answer
    if answer is None:
        return _so_far(scenario, found, asked)
    reams = answer.reams_per_week.text()
    makes = f"with fresh random numbers it makes {reams} good reams a week"
    set_so = f"with {_in_words(scenario, answer)}" if answer.changes else "as it is"
    if answer.reaches:
        costs = f"; that costs {_cost_words(answer)}" if answer.changes else ""
        return (
            f"{name} reaches {asked} {set_so}{costs}: {makes}, and its mean is at least"
            f" {_down(answer.certain_of)} with {sure} certainty."
        )
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
    made = figure_of(answer.reams_per_week)
    short = written(made._replace(mean=found.asked - made.mean))
    return (
        f"{name} reaches {asked} with nothing that was tried. The nearest, {set_so}, falls short by"
        f" {short}: {makes}."
    )


def _so_far(scenario: Scenario, found: MetTarget, asked: str) -> str:
    best, name = found.best, f"“{scenario.line.name}”"
    set_so = _in_words(scenario, best) if best.changes else "the line as it is"
    makes = f"it makes {best.reams_per_week.text()} good reams a week"
    many = counted(len(found.tried), "line") + " tried"
    if best.reaches:
        said = f"the cheapest of {many} so far that reaches {asked} is {set_so}: {makes}"
    else:
        said = f"of {many} so far none is shown to reach {asked}; nearest is {set_so}: {makes}"
    return f"{name}: {said}, in the runs it was chosen by. The search is not complete."


def _in_words(scenario: Scenario, tried: Tried | Checked) -> str:
    """The changes in a sentence, where a buffer has its article."""
    buffers = tuple(f"{b.words.removeprefix('the ')} of " for b in buffers_of(scenario).values())
    return listed([f"a {each}" if each.startswith(buffers) else each for each in tried.changes])


def _cost_words(answer: Checked) -> str:
    """What is bought and hired; the paper, which is simulated, with its interval."""
    parts = [f"{_three(answer.fixed_cost):,.0f} {CURRENCY} a year"] if answer.fixed_cost else []
    if answer.unpriced:
        parts.append(f"what {listed(answer.unpriced)} takes, which has no price in the scenario")
    said = ", and ".join(parts) or "nothing"
    paper = answer.paper_cost
    if paper is None or not (paper.mean or paper.half_width):
        return said
    if paper.low > 0:
        return f"{said} and {paper.text()} {CURRENCY} a year for more paper waste"
    if paper.high < 0:
        return f"{said}, less {paper.times(-1).text()} {CURRENCY} a year for less paper waste"
    return f"{said} (no difference in paper waste shown)"


def _beside(found: MetTarget, answer: Checked) -> str:
    """The share of single runs, so that nobody takes it for the certainty, and the present."""
    reach = answer.weeks_that_reach
    week = "week" if found.hours == 168 else f"run of {found.hours:,.10g} h"
    said = (
        f"By {counted(reach.n, 'run')}, a single {week} makes as much with a chance of"
        f" {bounded_text(reach, '%')} %: the certainty is about the mean, not about every week."
    )
    if answer.in_plants is not None:
        said += (
            f" In {share_words(answer.in_plants)} plants that agree with what is known the mean"
            " reaches it."
        )
    if found.present_checked is not None and answer.changes:
        said += (
            f" The line as it is makes {found.present_checked.reams_per_week.text()} with the same"
            " fresh random numbers, which are not those of the search: the change is"
            f" {plus(answer.gain)} reams a week."
        )
    return said


def _passed_over(found: MetTarget) -> list[str]:
    """Cheaper ways that reached in the search but not with fresh random numbers."""
    if found.answer is None or not found.answer.reaches:
        return []
    cheaper = found.checked.index(found.answer)
    if not cheaper:
        return []
    ways = counted(cheaper, "cheaper way")
    return [f"{ways} reached it in the search, but not with fresh random numbers."]


def _down(reams: float) -> str:
    """Three digits, rounded down: never more than is certain."""
    unit = 10.0 ** max(0, len(str(int(abs(reams)))) - 3)
    return f"{reams // unit * unit:,.0f}"


def _tables(scenario: Scenario, found: MetTarget) -> tuple[AnswerTable, ...]:
    """What was checked on fresh luck, against the present; the money of it; all that was tried."""
    tables = []
    if found.present_checked is not None:
        checked = [each for each in found.checked if each.changes]
        ways = [f"way {n}" for n in range(1, len(checked) + 1)]
        tables.append(
            AnswerTable.of(
                "checked",
                "Checked with fresh random numbers (a week of 168 h)",
                list(zip([None, *ways], [found.present_checked, *checked], strict=True)),
                ("change", lambda row: ": ".join(filter(None, [row[0], _named(row[1])]))),
                (_COST, lambda row: _cost(row[1])),
                ("good reams", lambda row: row[1].reams_per_week),
                (_REACHES, lambda row: _CLEAR[row[1].reaches]),
                (Column("gain", rank=2), lambda row: row[1].gain if row[1].changes else None),
                (
                    Column("single runs that reach", "%", rank=1),
                    lambda row: row[1].weeks_that_reach,
                ),
            )
        )
        priced = [(way, each.worth) for way, each in zip(ways, checked, strict=True) if each.worth]
        if priced and found.market is not None:
            tables.append(sum_table(priced, prices_of(scenario), found.market))
            tables.append(worth_table(priced))
    tables.append(
        AnswerTable.of(
            "tried",
            "What the search tried: what reached, cheapest first, then what came nearest",
            found.tried,
            ("change", _named),
            (_COST, _cost),
            ("good reams", lambda each: each.reams_per_week),
            (_REACHES, lambda each: _CLEAR[each.reaches]),
        )
    )
    return tuple(tables)


_COST = Column("cost", "money a year")
_REACHES = Column("asked output", left=True)


def _named(each: Tried) -> str:
    return "; ".join(each.changes) or "as it is"


def _cost(each: Tried) -> Cell:
    if each.unpriced:
        return "not known"
    if each.paper_cost is None:
        return _three(each.fixed_cost)
    paper = figure_of(each.paper_cost)
    return paper._replace(mean=each.fixed_cost + paper.mean)


def _three(cost: float) -> float:
    """Three digits, as of the output that is asked for: how far levers go was searched in runs."""
    return float(f"{cost:.3g}")


def _charts(found: MetTarget) -> tuple[Curve, Curve]:
    """Output and gain against cost: of what was tried, what makes more than all that is cheaper."""
    most: dict[float, Tried] = {}
    made = -math.inf
    for each in sorted(_priced(found.tried), key=lambda e: (_spent(e), -e.reams_per_week.mean)):
        if each.reams_per_week.mean > made or each is found.best:
            made = each.reams_per_week.mean
            most[_spent(each)] = each
    costs, x_axis = sorted(most), Column("cost beyond the present line", "money a year")
    cheapest = found.best if found.best.reaches and not found.best.unpriced else None
    drawn: dict[str, Any] = {
        "pays": stretches((x, most[x].reaches is True) for x in costs),
        "pays_name": "reaches what is asked",
        "best": None if cheapest is None else _spent(cheapest),
        "best_name": "cheapest",
    }
    return (
        curve(
            "output",
            "What the money brings",
            x_axis,
            Column("good reams", "reams a week"),
            ((x, most[x].reams_per_week) for x in costs),
            0.0,
            theory=dict.fromkeys(most, found.asked),
            theory_name="asked output",
            **drawn,
        ),
        curve(
            "gain",
            "What the money brings against the line as it is",
            x_axis,
            Column("good reams more", "reams a week"),
            ((x, most[x].gain) for x in costs),
            0.0,
            of=PAIRED,
            gain=NOW,
            **drawn,
        ),
    )


def _spent(each: Tried) -> float:
    return each.fixed_cost + (each.paper_cost.mean if each.paper_cost else 0.0)


def _priced(tried: Iterable[Tried]) -> list[Tried]:
    return [each for each in tried if not each.unpriced]


def _notes(scenario: Scenario, found: MetTarget) -> list[str]:
    """What certainty means here, how it was searched, and what costs what."""
    sure = f"{100 * found.certainty:g} %"
    return [
        f"“Reaches” means: the mean of good reams a week is at least what is asked with {sure}"
        " certainty (the one-sided lower bound by Student). It does not mean that so many single"
        " weeks reach it; their share is given beside it, with its exact interval (Clopper and"
        " Pearson).",
        "It is the search of what-to-change asked the other way round: first what reaches, then"
        " what costs least a year, capital spread over the years it lasts; what has no price comes"
        " last, the least of it. Then the bridge is shortened by halving. It is a search, not a"
        " proof: a combination it passed over may be cheaper. [levers] in the scenario says what"
        " may be changed, how far, and for how much.",
        "The best of many tries is flattered by the runs it was picked from. So the cheapest that"
        " reached, and a few dearer ones, were run again with fresh random numbers. From the"
        f" dearest down they are accepted until one fails, which keeps the {sure} over all of"
        " them.",
        "Reels changed together cost the paper left on them, for as many reams as are asked. What"
        " else saves paper is not in the order of the search: it is in the sum of a year.",
        *([ORDERS_NOTE] if scenario.order else []),
        *([MONEY_NOTE] if scenario.money.contribution_per_ream else []),
        f"{counted(len(found.tried), 'line')} tried, {found.runs_in_all:,} runs of"
        f" {found.hours:,.10g} h in all.",
    ]
