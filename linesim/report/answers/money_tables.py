"""The yearly sum in words and tables, the same in every answer that speaks of money."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from linesim.money import PaybackChance, Prices
from linesim.report.answers.cells import Cell, Column, Figure, figure_of
from linesim.report.answers.tables import AnswerTable
from linesim.statistics import Interval, rough
from linesim.studies.worth import Market, Worth

Row = tuple[str, Worth]
_Priced = tuple[str, Worth, PaybackChance | None]


def market_words(market: Market) -> list[str]:
    """That nothing more can be sold, where the demand is met."""
    if not market.met:
        return []
    return [
        f"Nothing more can be sold: the line makes {market.reams_per_year.text()} reams"
        f" in its {market.hours_per_year:,.10g} h a year, and the market takes"
        f" {market.demand:,.10g}. Reams that nobody buys earn nothing."
    ]


def worth_words(worth: Worth) -> str:
    """What a change brings and costs, in one sentence; nothing is concluded from what is not told.

    The break-even demand stands beside it.
    """
    yearly, capital, even = worth.yearly, worth.purchase.capital, worth.break_even_demand
    if not yearly.mean and not yearly.half_width:
        spent = f" for {rough(capital)}" if capital else ""
        return f"In money: it brings nothing{spent}."
    if yearly.contains(0):
        return f"In money: {yearly.text()} a year: not clear yet whether it earns or loses."
    if yearly.mean < 0:
        return f"In money: it loses {yearly.times(-1).text()} a year."
    if not capital:
        spent = "with nothing to buy"
    elif worth.payback_years is None:
        spent = f"for {rough(capital)}, when it is paid back is not known yet"
    else:
        back = worth.payback_years.text()
        spent = f"for {rough(capital)}, paid back in {back} years (interest not counted)"
    said = (
        f"In money: {yearly.text()} a year {spent}; present value over"
        f" {worth.purchase.years:g} years {worth.present_value.text()}."
    )
    if even is None:
        return f"{said} No demand is shown at which it breaks even."
    if not even.mean:
        return said
    return f"{said} It breaks even at a demand of {even.text()} reams a year."


def chance_words(chance: PaybackChance, within_years: float) -> str:
    """The chance of being paid back in time."""
    return (
        f"Chance of being paid back within {within_years:g} years: {_share(chance)} %"
        " (from the runs and the stated uncertainty of the inputs)."
    )


def _share(chance: PaybackChance) -> str:
    """Of the draws, in per cent: all of so many are not all there are."""
    share = chance.paid_back
    if not 0 < share < 1:
        return "more than 99.9" if share else "less than 0.1"
    return f"{100 * share:.0f}" if 0.01 <= share <= 0.99 else f"{100 * share:.1f}"


def sum_table(rows: Sequence[Row], prices: Prices, market: Market) -> AnswerTable:
    """How the yearly money of each change adds up: a column for each."""
    title = f"Money in a year of {market.hours_per_year:,.10g} manned hours"
    if prices.demand is not None:
        title += f", {prices.demand:,.10g} reams bought"

    terms: list[tuple[str, Callable[[Worth], Cell]]] = [
        ("more reams sold", lambda w: _difference(w.reams)),
        (f"at {prices.contribution:.10g} a ream", lambda w: _difference(w.contribution)),
        ("more avoidable waste, t", lambda w: _difference(w.waste_t)),
        (f"at {prices.waste_per_t:,.10g} a tonne", lambda w: _difference(w.waste)),
        ("wages", lambda w: 0.0 - w.purchase.wages),
        ("running cost", lambda w: 0.0 - w.purchase.running_cost),
        ("total a year", lambda w: _difference(w.yearly)),
    ]
    return AnswerTable.of(
        "sum",
        title,
        terms,
        ("term", lambda term: term[0]),
        *((name, lambda term, worth=worth: term[1](worth)) for name, worth in rows),
    )


def worth_table(
    rows: Sequence[Row], chances: Sequence[PaybackChance | None] | None = None
) -> AnswerTable:
    """What the yearly sum makes of the capital."""

    def range_of(row: _Priced) -> Cell:
        chance = row[2]
        return None if chance is None else f"{_three(chance.low)} to {_three(chance.high)}"

    def in_time(row: _Priced) -> Cell:
        return None if row[2] is None else _share(row[2])

    doubt = (("5 % to 95 %", range_of), (Column("paid back in time", "%"), in_time))
    return AnswerTable.of(
        "money",
        "Payback and present value, where the price is known",
        [(*row, chance) for row, chance in zip(rows, chances or [None] * len(rows), strict=True)],
        ("change", lambda row: row[0]),
        ("capital", lambda row: row[1].purchase.capital),
        ("a year", lambda row: _difference(row[1].yearly)),
        (
            Column("payback", "years"),
            lambda row: None if row[1].yearly.contains(0) else row[1].payback_years,
        ),
        ("present value", lambda row: row[1].present_value),
        (Column("break-even demand", "reams a year"), lambda row: row[1].break_even_demand),
        *(doubt if any(chances or ()) else ()),
    )


def _difference(interval: Interval) -> Figure:
    """A difference; marked where the runs do not tell it from nothing."""
    sure = not interval.contains(0) or not interval.half_width
    return figure_of(interval, shown=sure)


def _three(value: float) -> str:
    """Three digits: an end of an interval is no surer than that."""
    return f"{float(f'{value:.3g}'):,.0f}"


MONEY_NOTE = (
    "Money a year, in every study: the contribution of the extra reams sold, less extra avoidable"
    " waste, wages and running cost. Edge trim and sheets above the count are paper of the ream,"
    " already off its contribution. A line that can make more than is bought runs fewer hours."
    " Present values: the capital at the start, the yearly sum at the end of each year."
)
