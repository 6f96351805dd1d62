"""The yearly sum in words and tables, the same in every answer that speaks of money."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from linesim.money import Prices
from linesim.report.answers.advice import payback_cell
from linesim.report.answers.cells import (
    Cell,
    Column,
    Figure,
    Found,
    cell_text,
    figure_of,
    value_written,
)
from linesim.report.answers.choice_words import share_words, told_in_plants
from linesim.report.answers.tables import AnswerTable
from linesim.scenario import CURRENCY
from linesim.statistics import Interval, rough
from linesim.studies.differences import beyond_runs
from linesim.studies.paid_back import PaidBack
from linesim.studies.runner import WEEK_H
from linesim.studies.worth import Market, Worth

Row = tuple[str, Worth]
_Term = tuple[str, Callable[[Worth], Cell]]
_ROUNDING = "rounding"
_NO_MONEY = ("more reams sold", "more avoidable waste, t", _ROUNDING)
_Priced = tuple[str, Worth, PaidBack | None]


def market_words(market: Market) -> list[str]:
    """That nothing more can be sold, where the demand is met."""
    if market.met_in is None:
        said = "Nothing more can be sold" if market.met else ""
    else:
        said = told_in_plants(market.met_in, "nothing more can be sold")
    if not said:
        return []
    return [
        f"{said}: the line makes {market.reams_per_year.text()} reams"
        f" in its {market.hours_per_year:,.10g} h a year, and the market takes"
        f" {market.demand:,.10g}. Reams that nobody buys earn nothing."
    ]


def _sold_words(worth: Worth, market: Market, gain: Interval) -> str:
    """How much of a gain (reams a week) somebody buys, where that is less than all of it."""
    more = gain.times(market.hours_per_year / WEEK_H)
    if market.demand is None or market.met or worth.reams.high >= more.mean:
        return ""
    return (
        f" Of the {more.text()} reams a year more that it makes, {worth.reams.text()} can be sold:"
        f" the market takes {market.demand:,.10g}, and reams that nobody buys earn nothing."
    )


def worth_words(worth: Worth, market: Market | None = None, gain: Interval | None = None) -> str:
    """What a change brings and costs; nothing is concluded from what is not told.

    The break-even demand stands beside it; so does how much of the ``gain``, reams a week, the
    market takes, where that is not all of it.
    """
    said = _worth_words(worth)
    return said if market is None or gain is None else said + _sold_words(worth, market, gain)


def _worth_words(worth: Worth) -> str:
    yearly, capital, even = worth.yearly, worth.purchase.capital, worth.break_even_demand
    if not yearly.mean and not yearly.half_width:
        spent = f" for {rough(capital)} {CURRENCY}" if capital else ""
        return f"In money: it brings nothing{spent}."
    if beyond_runs(yearly):
        decides = "what is not known decides whether it earns or loses"
        return f"In money: {yearly.text()} {CURRENCY} a year: {decides}."
    if yearly.contains(0):
        said = "not clear yet whether it earns or loses"
        return f"In money: {yearly.text()} {CURRENCY} a year: {said}."
    if yearly.mean < 0:
        return f"In money: it loses {yearly.times(-1).text()} {CURRENCY} a year."
    if not capital:
        spent = "with nothing to buy"
    elif worth.payback_years is None:
        spent = f"for {rough(capital)} {CURRENCY}, when it is paid back is not known yet"
    else:
        back = cell_text(payback_cell(worth.payback_years))
        spent = f"for {rough(capital)} {CURRENCY}, paid back in {back} years (interest not counted)"
    said = (
        f"In money: {yearly.text()} {CURRENCY} a year {spent}; present value over"
        f" {worth.purchase.years:g} years {worth.present_value.text()} {CURRENCY}."
    )
    if even is None:
        return f"{said} No demand is shown at which it breaks even."
    if not even.mean:
        return said
    return f"{said} It breaks even at a demand of {even.text()} reams a year."


def paid_back_words(found: PaidBack, within_years: float) -> str:
    """In how many plants it is paid back in time."""
    return (
        f"In {share_words(found.in_time)} plants that agree with what is known it is paid back"
        f" within {within_years:g} years."
    )


def sum_table(rows: Sequence[Row], prices: Prices, market: Market) -> AnswerTable:
    """How the yearly money of each change adds up: a column for each."""
    title = f"Money in a year of {market.hours_per_year:,.10g} manned hours"
    if prices.demand is not None:
        title += f" and {prices.demand:,.10g} reams bought"

    def parts(worth: Worth) -> Cell:
        return _difference(worth.parts)

    terms: list[_Term] = [
        ("more reams sold", lambda w: _difference(w.reams)),
        (f"at {prices.contribution:.10g} {CURRENCY} a ream", lambda w: _difference(w.contribution)),
        ("more avoidable waste, t", lambda w: _difference(w.waste_t)),
        (f"at {prices.waste_per_t:,.10g} {CURRENCY} a tonne", lambda w: _difference(w.waste)),
        ("wages", lambda w: 0.0 - w.purchase.wages),
        ("running cost", lambda w: 0.0 - w.purchase.running_cost),
        *([("parts", parts)] if any(worth.parts.mean for _, worth in rows) else []),
        ("total a year", lambda w: _difference(w.yearly)),
    ]
    if any(_rounding(terms, worth) for _, worth in rows):
        # Each figure has the digits that its interval bears: their sum has others. As text: what a
        # file holds is not rounded.
        terms.insert(-1, (_ROUNDING, lambda w: cell_text(_rounding(terms, w))))
    return AnswerTable.of(
        "sum",
        f"{title}, {CURRENCY}",
        terms,
        ("term", lambda term: term[0]),
        *((name, lambda term, worth=worth: term[1](worth)) for name, worth in rows),
    )


def _rounding(terms: Sequence[_Term], worth: Worth) -> float:
    """What is missing from the money terms to their total, as both are written."""
    written = {name: value_written(of(worth)) for name, of in terms if name not in _NO_MONEY}
    total = written.pop("total a year")
    return round(total - math.fsum(written.values()), 6)


def worth_table(
    rows: Sequence[Row], in_plants: Sequence[PaidBack | None] | None = None
) -> AnswerTable:
    """What the yearly sum makes of the capital."""

    def range_of(row: _Priced) -> Cell:
        found = row[2]
        return None if found is None else f"{_three(found.low)} to {_three(found.high)}"

    def in_time(row: _Priced) -> Found:
        return None if row[2] is None else row[2].in_time

    doubt: tuple[tuple[str | Column, Callable[[_Priced], Found]], ...] = (
        (Column("5 % to 95 %", "money"), range_of),
        (Column("paid back in time", "%"), in_time),
    )
    of = in_plants or [None] * len(rows)
    return AnswerTable.of(
        "money",
        "Payback and present value, where the price is known",
        [(*row, found) for row, found in zip(rows, of, strict=True)],
        ("change", lambda row: row[0]),
        (Column("capital", "money"), lambda row: row[1].purchase.capital),
        (Column("a year", "money"), lambda row: _difference(row[1].yearly)),
        (Column("payback", "years"), _payback),
        (
            Column("present value", "money", rank=1),
            lambda row: _difference(row[1].present_value),
        ),
        (Column("break-even demand", "reams a year", rank=2), lambda row: row[1].break_even_demand),
        *(doubt if any(of) else ()),
    )


def _payback(row: _Priced) -> Cell:
    years = row[1].payback_years
    return None if years is None else payback_cell(years)


def _difference(interval: Interval) -> Figure:
    """A difference; marked where the runs do not tell it from nothing."""
    sure = not interval.contains(0) or not interval.half_width
    return figure_of(interval, shown=sure)


def _three(value: float) -> str:
    """Three digits: an end of an interval is no surer than that."""
    return f"{float(f'{value:.3g}'):,.0f}"


ORDERS_NOTE = (
    "Orders: reams a week are those of the pace at which the orders are made, until the last is"
    " wrapped, in a week of 168 manned hours; a year is taken to be full of such orders."
)
MONEY_NOTE = (
    "Money a year, in every study: the contribution of the extra reams sold, less extra avoidable"
    " waste, wages, running cost and parts. Edge trim and sheets above the count are paper of the"
    " ream, already off its contribution. A line that can make more than is bought runs fewer"
    " hours. Present values: the capital at the start, the yearly sum at the end of each year."
    " Tax and inflation are left out: every year's money is worth what today's is, so the discount"
    " rate is a real rate before tax: what is asked for money, less inflation."
)
