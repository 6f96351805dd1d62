"""The answer to: does one more wrapper pay?"""

from __future__ import annotations

from linesim.report.answers.answer import (
    AnswerTable,
    Cell,
    Chart,
    Column,
    Figure,
    change,
    figure,
    pairing_note,
    plus,
    two_digits,
    verdict,
    written,
)
from linesim.report.answers.charts import Bar, Bars
from linesim.report.plain import rough
from linesim.scenario import Scenario
from linesim.studies.add_wrapper import ONE_MORE, AddWrapper, Option, Payback


def wrapper_words(scenario: Scenario, found: AddWrapper) -> list[str]:
    """With and without, what then holds the line, the money, and the cheaper things."""
    first = next(option for option in found.options if option.name == ONE_MORE)
    words = [
        f"{scenario.line.name} makes {written(figure(found.now))} good reams a week, held by its"
        f" {found.held_now_by}. One more wrapper: {verdict(first.gain, 'reams a week')}."
        f" Then the {first.held_by} holds it (by the pattern of waiting)."
    ]
    money = scenario.money
    if money.contribution_per_ream <= 0:
        words.append("No money is said: the scenario has no contribution_per_ream in [money].")
    elif first.payback is None:
        words.append("No payback is said: the scenario has no wrapper_price in [money].")
    else:
        words.append(_money(first, first.payback, found))
    if found.demand_met:
        words.append(
            f"The line makes {rough(found.reams_per_year_now.mean)} reams in its"
            f" {rough(found.hours_per_year)} h a year, and the market takes"
            f" {rough(money.demand_reams_per_year or 0)}: what nobody buys earns nothing."
        )
    words.append(_cheaper(first, found))
    return words


def _money(option: Option, pay: Payback, found: AddWrapper) -> str:
    yearly = pay.yearly
    if not option.gain.shown or yearly.contains(0):
        return (
            f"In money: {written(figure(yearly))} a year, from which nothing can be concluded yet."
        )
    if yearly.mean < 0:
        return f"In money: it loses {written(Figure(-yearly.mean, yearly.half_width))} a year."
    years = "when it is paid back is not known yet"
    if pay.payback_years is not None:
        years = f"paid back in {written(figure(pay.payback_years))} years"
        if not pay.payback_years.mean:
            years = "paid at once"
    demand = pay.break_even_demand
    even = (
        f"It breaks even at a demand of {written(figure(demand))} reams a year."
        if demand is not None
        else "No demand is shown at which it breaks even."
    )
    stated = any(vars(found.uncertainty).values())
    doubt = "the stated uncertainty of the inputs" if stated else "no uncertainty of the inputs"
    return (
        f"In money: {written(figure(yearly))} a year for {rough(pay.capital)}, {years} (interest"
        f" not counted); present value over {pay.years:g} years"
        f" {written(figure(pay.present_value))}."
        f" Chance of being paid back within {pay.within_years:g} years:"
        f" {100 * pay.chance.paid_back:.0f} % (from the runs and {doubt}). {even}"
    )


def _cheaper(first: Option, found: AddWrapper) -> str:
    others = [option for option in found.options if option is not first]
    parts = [f"{option.name}: {verdict(option.gain, 'reams a week')}" for option in others]
    return "On the same luck, " + "; ".join(parts) + "."


def wrapper_tables(found: AddWrapper) -> tuple[AnswerTable, ...]:
    """Options with their gains and money, and how busy each wrapper is."""
    options = AnswerTable(
        "options",
        "What each thing brings, a week of 168 h",
        (
            Column("change"),
            Column("good reams"),
            Column("gain"),
            Column("unpaired ±"),
            Column("then held by", left=True),
        ),
        (
            ("as it is", figure(found.now), None, None, found.held_now_by),
            *(
                (
                    o.name,
                    figure(o.reams_per_week),
                    change(o.gain),
                    two_digits(o.gain),
                    o.held_by,
                )
                for o in found.options
            ),
        ),
    )
    use = AnswerTable(
        "wrappers",
        "How much of the time each wrapper works, with the added one",
        (Column("wrapper"), Column("works", "%")),
        tuple((name, figure(share, 100)) for name, share in found.utilisation.items()),
    )
    priced = [o for o in found.options if o.payback is not None]
    if not priced:
        return options, use
    money = AnswerTable(
        "money",
        "Money, where the price is known",
        (
            Column("change"),
            Column("capital"),
            Column("a year"),
            Column("payback", "years"),
            Column("present value"),
            Column("5 % to 95 %"),
            Column("paid back in time", "%"),
            Column("break-even demand", "reams a year"),
        ),
        tuple(_money_row(o, o.payback) for o in priced if o.payback is not None),
    )
    return options, use, money


def _money_row(option: Option, pay: Payback) -> tuple[Cell, ...]:
    sure = not pay.yearly.contains(0)
    return (
        option.name,
        pay.capital,
        Figure(pay.yearly.mean, pay.yearly.half_width, sure),
        figure(pay.payback_years) if sure and pay.payback_years is not None else None,
        figure(pay.present_value),
        f"{_three(pay.chance.low)} to {_three(pay.chance.high)}",
        100 * pay.chance.paid_back,
        figure(pay.break_even_demand) if pay.break_even_demand is not None else None,
    )


def _three(value: float) -> str:
    """Three digits: an end of an interval is no surer than that."""
    return f"{float(f'{value:.3g}'):,.0f}"


def wrapper_charts(found: AddWrapper) -> tuple[Chart, ...]:
    """What each thing gains, and how busy the wrappers are."""
    return (
        Bars(
            "gains",
            "What each change brings",
            Column("change"),
            Column("gain", "reams a week"),
            tuple(Bar(o.name, change(o.gain)) for o in found.options),
        ),
        Bars(
            "utilisation",
            "How much of the time each wrapper works, with the added one",
            Column("wrapper"),
            Column("works", "%"),
            tuple(Bar(name, figure(share, 100)) for name, share in found.utilisation.items()),
        ),
    )


def wrapper_notes(found: AddWrapper) -> list[str]:
    """What was assumed."""
    stated = ", ".join(
        f"{name.replace('_', ' ')} {100 * value:g} %"
        for name, value in vars(found.uncertainty).items()
        if value
    )
    doubt = (
        f"Stated uncertainty (standard deviation): {stated}."
        if stated
        else ("No uncertainty of the inputs was stated: the chance is that of the runs alone.")
    )
    first = found.options[0]
    return [
        "The added wrapper is like the last one, with the same kinds of stops. Paper wasted is"
        " counted at its cost less what it brings as pulp. " + doubt,
        pairing_note(first.gain.narrowing) + f" (For the wrapper: {plus(first.gain)}.)",
    ]
