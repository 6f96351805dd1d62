"""The answer to: what to change on this line, and in which order?"""

from __future__ import annotations

from linesim.report.answers.advice import Advice, payback_cell, worth_clause
from linesim.report.answers.answer import AnswerContent, pairing_note, plus, verdict
from linesim.report.answers.best_size_words import bridge_room_to_see
from linesim.report.answers.cells import Cell, Column, cell_text, figure_of
from linesim.report.answers.charts import NOW, Chart, bars, curve, stretches
from linesim.report.answers.choice_words import PLANTS_NOTE
from linesim.report.answers.money_tables import (
    MONEY_NOTE,
    ORDERS_NOTE,
    market_words,
    paid_back_words,
    sum_table,
    worth_table,
    worth_words,
)
from linesim.report.answers.tables import AnswerTable
from linesim.report.plain import listed, station_name, the_station
from linesim.scenario import CURRENCY, Scenario
from linesim.statistics import counted, half_width_text, rough
from linesim.studies.what_to_change import Alone, Bought, WhatToChange
from linesim.studies.what_to_measure import MainFigure
from linesim.studies.worth import Worth, prices_of

_IN_WORDS = 5
"""So many of what has no price are named; the table has all."""
_NO_PRICE = "* "
"""Before the names of what has no price."""


def what_to_change_answer(scenario: Scenario, found: WhatToChange) -> AnswerContent:
    """The answer of ``what-to-change``."""
    return AnswerContent(
        found,
        _words(scenario, found),
        _tables(scenario, found),
        _charts(found),
        _notes(scenario, found),
        brief=3,
        prices=("wrapper_price", "ream_place_cost", "person_cost_per_year"),
        main=_main_figure(scenario, found),
        advice=_in_one_sentence(found),
    )


def _in_one_sentence(found: WhatToChange) -> Advice:
    if not found.way:
        return Advice(_advice(found))
    last = found.way[-1]
    steps = [each.changes[-1] for each in found.way]
    if len(steps) == 1:
        change, of = f"Change one thing: {steps[0]}", "it"
    else:
        listed_so = "; ".join(f"{n}. {step}" for n, step in enumerate(steps, 1))
        change, of = f"Change, in this order: {listed_so}", "all of it"
    brings = verdict(last.gain, "reams a week", of=of)
    if last.worth is not None:
        brings = worth_clause(last.worth, of)
    said = f"{change}; {brings}."
    return Advice(said, "; ".join(steps), last.worth, last.levers, found.market)


def _main_figure(scenario: Scenario, found: WhatToChange) -> MainFigure | None:
    if not found.way:
        return MainFigure.output(found.now)
    last = found.way[-1]
    if last.worth is None or found.market is None:
        return MainFigure.gain(last.gain, last.reams_per_week)
    made = found.market.reams_per_year.mean * scenario.money.contribution_per_ream
    return MainFigure.money(last.worth.yearly, made)


def _words(scenario: Scenario, found: WhatToChange) -> list[str]:
    """What to change first and what it brings, then the rest of the way, then what has no price."""
    name = f"The line “{scenario.line.name}”"
    now = f"{name} makes {found.now.text()} good reams a week; {_held(scenario, found)} holds it."
    words = [f"{_advice(found)} {now}", *_way_words(scenario, found)]
    if scenario.money.contribution_per_ream <= 0:
        words.append(
            "Nothing is said about money: the scenario does not say what a ream contributes"
            " (contribution_per_ream in [money])."
        )
    if found.market is not None:
        words += market_words(found.market)
    return [*words, *_unpriced_words(found)]


def _held(scenario: Scenario, found: WhatToChange) -> str:
    return the_station(scenario, found.held_now_by)


def _advice(found: WhatToChange) -> str:
    if not found.complete:
        if found.so_far is not None:
            return _so_far(found.so_far)
        priced = [each for each in found.alone if _helps(each)]
        if not priced:
            return "So far, of each lever alone, nothing that can be had is shown to bring more."
        best = priced[0]
        return f"So far, of each lever alone, most is brought by: {best.words} ({plus(best.gain)})."
    if not found.way:
        return "Nothing that can be had is shown to pay."
    if len(found.way) == 1:
        return f"Change one thing: {found.way[0].changes[-1]}."
    return f"Change, in this order: {'; '.join(each.changes[-1] for each in found.way)}."


def _so_far(best: Bought) -> str:
    brings = verdict(best.gain, "reams a week", of="all of it")
    if best.worth is not None:
        brings = worth_clause(best.worth, "all of it")
    return (
        f"So far the best together is: {'; '.join(best.changes)}; {brings}, in the runs it was"
        " chosen by. It is not confirmed with fresh random numbers yet."
    )


def _helps(each: Alone) -> bool:
    return each.purchase is not None and each.gain.shown and each.gain.interval.mean > 0


def _way_words(scenario: Scenario, found: WhatToChange) -> list[str]:
    if not found.way:
        return []
    last = found.way[-1]
    all_of_it = "It" if len(found.way) == 1 else "All of it"
    words = [
        f"{verdict(last.gain, 'reams a week', of=all_of_it)}:"
        f" {last.reams_per_week.text()} in all{_afresh(found)}. What holds the line then:"
        f" {the_station(scenario, last.held_by)}.{bridge_room_to_see(scenario, last.levers)}"
    ]
    if last.worth is not None:
        said = worth_words(last.worth, found.market, last.gain.interval)
        if last.in_plants is not None:
            said += " " + paid_back_words(last.in_plants, found.within_years)
        words.append(said)
    if len(found.way) > 1:
        words.append(" ".join(_step_words(n, each) for n, each in enumerate(found.way, 1)))
    if found.beyond is not None:
        words.append(_cheaper_words(found, found.beyond))
    if found.as_good:
        others = "; or ".join(listed(each) if each else "nothing" for each in found.as_good)
        words.append(f"As good, as far as the runs tell: {others}.")
    return words


def _afresh(found: WhatToChange) -> str:
    """What the gain is counted from: the line as it is has other luck there than above."""
    if found.now_afresh is None:
        return ""
    return (
        f", with fresh random numbers, on which the line as it is makes {found.now_afresh.text()}"
    )


def _cheaper_words(found: WhatToChange, beyond: Bought) -> str:
    """What costs less, where the runs do not show that the rest of the money pays."""
    cheaper = found.frontier[_advised(found, beyond) - 1]
    brings = f"{plus(cheaper.gain)} reams a week"
    rest = f"what lies beyond it is not shown to bring more ({plus(beyond.step)} reams a week)"
    if cheaper.worth is not None and beyond.step_worth is not None:
        brings = f"{cheaper.worth.yearly.text()} {CURRENCY} a year"
        spent = rough(beyond.purchase.capital - cheaper.purchase.capital)
        rest = (
            f"the {spent} {CURRENCY} beyond it are not shown to pay: they bring"
            f" {beyond.step_worth.yearly.text()} {CURRENCY} a year, a present value of"
            f" {beyond.step_worth.present_value.text()} {CURRENCY}"
        )
    capital = rough(cheaper.purchase.capital)
    return f"For {capital} {CURRENCY}: {listed(cheaper.changes)}, {brings}; {rest}."


def _advised(found: WhatToChange, beyond: Bought) -> int:
    """The row of the frontier that is the end of the way."""
    end = beyond.purchase, beyond.gain
    return next(n for n, each in enumerate(found.frontier) if (each.purchase, each.gain) == end)


def _step_words(number: int, each: Bought) -> str:
    """What one step adds, and when it is paid back, those before taken as done."""
    said = f"Step {number}: {verdict(each.step, 'reams a week', of='')}"
    worth = each.step_worth
    if worth is None or worth.payback_years is None:
        return f"{said}."
    if not each.step.shown or each.step.interval.mean < 0:
        # What pays in another way than by reams.
        said = (
            f"Step {number}: {worth.yearly.text()} {CURRENCY} a year more, by less waste"
            f" ({plus(each.step)} reams a week)"
        )
    if worth.purchase.capital:
        return f"{said}, paid back in {cell_text(payback_cell(worth.payback_years))} years."
    a_year = worth.purchase.wages + worth.purchase.running_cost
    to_pay = f" and {rough(a_year)} {CURRENCY} a year to pay" if a_year else ""
    return f"{said}, with nothing to buy{to_pay}."


def _unpriced_words(found: WhatToChange) -> list[str]:
    """What has no price: up to how much a year it would be worth, the largest few."""
    found_so = [
        each
        for each in found.alone
        if each.purchase is None and each.gain.shown and each.gain.interval.mean > 0
    ]
    if not found_so:
        return []
    said = "; ".join(f"{each.words}: {_up_to(each)}" for each in found_so[:_IN_WORDS])
    rest = len(found_so) - _IN_WORDS
    more = f"; {rest} more below" if rest > 0 else ""
    return [f"No price is known for these; alone they would be worth at most: {said}{more}."]


def _up_to(each: Alone) -> str:
    if each.worth is None:
        return f"{each.gain.interval.text()} reams a week"
    return f"{each.worth.yearly.text()} {CURRENCY} a year"


def _tables(scenario: Scenario, found: WhatToChange) -> tuple[AnswerTable, ...]:
    alone = AnswerTable.of(
        "alone",
        "Each lever alone, all else as it is, a week of 168 h",
        found.alone,
        ("change", lambda each: each.words),
        ("good reams more", lambda each: each.gain),
        (Column("a year", "money"), lambda each: _money(each.worth)),
        (Column("capital", "money", rank=1), _price),
        (Column("cost a year", "money", rank=3), _running),
        (
            Column("then held by", left=True, rank=2),
            lambda each: station_name(scenario, each.held_by),
        ),
    )
    tables = [alone]
    if found.way:
        tables.append(
            AnswerTable.of(
                "order",
                "In this order, with fresh random numbers",
                list(enumerate(found.way, 1)),
                ("step", lambda row: row[0]),
                (Column("change", left=True), lambda row: row[1].changes[-1]),
                ("good reams more", lambda row: row[1].step),
                (Column("a year", "money"), lambda row: _money(row[1].step_worth)),
                (Column("capital", "money"), lambda row: _capital(row[1].step_worth)),
                (Column("payback", "years"), lambda row: _payback(row[1].step_worth)),
            )
        )
        priced = [
            (f"step {n}" if n == 1 else f"steps 1 to {n}", each.worth)
            for n, each in enumerate(found.way, 1)
            if each.worth is not None
        ]
        if priced and found.market is not None:
            in_plants = [each.in_plants for each in found.way if each.worth is not None]
            tables.append(sum_table(priced, prices_of(scenario), found.market))
            tables.append(worth_table(priced, in_plants))
    if len(found.frontier) > 1:
        unsure = _advised(found, found.beyond) if found.beyond is not None else None
        tables.append(
            AnswerTable.of(
                "frontier",
                "The most for the money: what is worth more than all that costs less",
                list(enumerate(found.frontier)),
                ("change", lambda row: "; ".join(row[1].changes)),
                (Column("capital", "money"), lambda row: row[1].purchase.capital),
                ("good reams more", lambda row: row[1].gain),
                (
                    Column("a year", "money"),
                    lambda row: None if row[1].worth is None else row[1].worth.yearly,
                ),
                (
                    "more than the row above",
                    lambda row: "not shown" if row[0] == unsure else "shown",
                ),
            )
        )
    return tuple(tables)


def _money(worth: Worth | None) -> Cell:
    if worth is None:
        return None
    sure = not worth.yearly.contains(0) or not worth.yearly.half_width
    return figure_of(worth.yearly, shown=sure)


def _capital(worth: Worth | None) -> Cell:
    return None if worth is None else worth.purchase.capital


def _payback(worth: Worth | None) -> Cell:
    if worth is None or worth.payback_years is None:
        return None
    return payback_cell(worth.payback_years) if worth.purchase.capital else "at once"


def _price(each: Alone) -> Cell:
    if each.purchase is None:
        return "not known"
    return each.purchase.capital


def _running(each: Alone) -> Cell:
    """Wages and running cost of it."""
    return None if each.purchase is None else each.purchase.wages + each.purchase.running_cost


def _marked(each: Alone) -> str:
    """The largest bar is not always what is advised: its mark says why."""
    return f"{_NO_PRICE}{each.name}" if each.purchase is None else each.name


def _charts(found: WhatToChange) -> tuple[Chart, ...]:
    charts: list[Chart] = []
    money = all(each.worth is not None for each in found.alone)
    if found.alone:
        column = Column("gain", "money a year") if money else Column("gain", "reams a week")
        rows = [(_marked(each), _money(each.worth) if money else each.gain) for each in found.alone]
        title = "What each lever brings alone"
        if any(each.purchase is None for each in found.alone):
            title += f" ({_NO_PRICE}no price is known, so it is not advised)"
        charts.append(bars("alone", title, "change", column, rows))
    paid = [each for each in found.frontier if each.worth is not None]
    if len(paid) > 1:
        charts.append(
            curve(
                "frontier",
                "The most that money brings",
                Column("capital", "money"),
                Column("gain", "money a year"),
                [
                    (float(each.purchase.capital), each.worth.yearly)
                    for each in paid
                    if each.worth is not None
                ],
                gain=NOW,
                pays=stretches(
                    (each.purchase.capital, each.worth.present_value.low > 0)
                    for each in paid
                    if each.worth is not None
                ),
                best=next(
                    (float(each.purchase.capital) for each in found.way[-1:] if each.worth), None
                ),
                best_name="advised",
            )
        )
    return tuple(charts)


def _notes(scenario: Scenario, found: WhatToChange) -> list[str]:
    gains = [each.gain for each in found.alone]
    money = scenario.money.contribution_per_ream > 0
    unit = f"{CURRENCY} a year" if money else "reams a week"
    notes = [
        "How it was searched, from both ends: up from the line as it is, lever by lever, the most"
        " promising first, each to where it is worth most with the others as they are by then,"
        " until none moves; and down from everything that can be had, what brings nothing put back:"
        " that finds what pays only together. Then pairs of the three that promise most; last, what"
        " brings too little is put back. All on the same random numbers. It is a search, not a"
        " proof: a combination it passed over may be better.",
        "The best, and those that the runs did not tell from it, were then run with fresh random"
        " numbers, until one was left or the runs were used up: the sequential procedure of Kim and"
        " Nelson (2001) with 95 % certainty; choices closer than"
        f" {half_width_text(found.indifference)} {unit} are as good.",
        f"{counted(found.tried, 'line')} tried, {found.runs_in_all:,} runs in all."
        " [levers] in the scenario says what may be changed, how far, and for how much.",
    ]
    if scenario.order:
        notes.append(ORDERS_NOTE)
    if money:
        notes.append(MONEY_NOTE)
    if any(each.in_plants is not None for each in found.alone):
        notes.append(PLANTS_NOTE)
    if gains:
        notes.append(pairing_note(gains[0].narrowing))
    return notes
