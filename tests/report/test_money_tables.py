"""Money in words: what is said of chances, demand and what the runs do not tell."""

import re
from dataclasses import replace
from typing import Any

import numpy as np

from linesim.money import Case, Input, Prices, Purchase, Year
from linesim.report.answers import AnswerContent, Bars, Bounded, Column, Figure, Tornado
from linesim.report.answers.advice import Advice, worth_clause
from linesim.report.answers.cells import cell_text, value_written
from linesim.report.answers.charts import bars
from linesim.report.answers.money_shown import money_shown
from linesim.report.answers.money_tables import (
    market_words,
    paid_back_words,
    sum_table,
    worth_table,
    worth_words,
)
from linesim.report.answers.tables import AnswerTable
from linesim.report.answers.tornado import break_even_words, tornado_table, with_tornado
from linesim.statistics import Bounds, Interval
from linesim.studies.paid_back import PaidBack
from linesim.studies.worth import Market, Worth
from tests.report.shown_strings import ROOT


def known(mean: float, half: float = 0.0) -> Interval:
    return Interval(mean, half, 0.95, 20)


MARKET = Market(known(11_000_000, 50_000), 12_000_000.0, 6000.0)
PRICES = Prices(contribution=0.35, demand=12_000_000.0, waste_per_t=680.0, rate=0.08)
CASE = Case(
    before=Year(10_000_000, 300_000),
    after=Year(10_900_000, 273_000),
    prices=replace(PRICES, demand=None),
    purchase=Purchase(450_000.0, 40_000.0, 0.0, 10.0),
    hours=6000.0,
    weeks=50.0,
)
WORTH = Worth(
    purchase=Purchase(450_000.0, 40_000.0, 0.0, 10.0),
    reams=known(900_000, 90_000),
    contribution=known(315_000, 31_500),
    waste_t=known(-27, 9),
    waste=known(18_360, 6_000),
    parts=known(0.0),
    yearly=known(293_360, 32_000),
    present_value=known(1_518_000, 215_000),
    payback_years=Bounds(1.534, 1.383, 1.722, 0.95, 20),
    break_even_demand=known(11_700_000, 400_000),
    case=CASE,
    inputs=(
        Input("more_reams", 16_200.0, 19_800.0, "runs"),
        Input("contribution", 0.3, 0.4, "doubt"),
        Input("rate", 0.064, 0.096, "assumed"),
    ),
)


def test_the_terms_add_up_to_what_is_printed_last() -> None:
    rows: dict[Any, Any] = dict(sum_table([("a", WORTH)], PRICES, MARKET).rows)  # type: ignore[arg-type]
    means = {n: each.mean if isinstance(each, Figure) else each for n, each in rows.items()}
    assert list(means) == [
        "more reams sold",
        "at 0.35 ¤ a ream",
        "more avoidable waste, t",
        "at 680 ¤ a tonne",
        "wages",
        "running cost",
        "total a year",
    ]
    terms = ("at 0.35 ¤ a ream", "at 680 ¤ a tonne", "wages", "running cost")
    assert sum(means[name] for name in terms) == means["total a year"]
    assert means["more reams sold"] * 0.35 == means["at 0.35 ¤ a ream"]
    worn = replace(WORTH, parts=known(-1_200, 100))
    with_parts = dict(sum_table([("a", worn)], PRICES, MARKET).rows)  # type: ignore[arg-type]
    assert with_parts["parts"].mean == -1_200
    assert list(with_parts) == [*list(means)[:-1], "parts", "rounding", "total a year"]


def test_who_adds_what_is_written_comes_to_the_total_that_is_written() -> None:
    """315,000 ± 32,000, 18,000 ± 6,000 and −40,000 make 293,000; 293,360 ± 90,000 is 290,000."""
    vague = replace(WORTH, yearly=known(293_360, 90_000))
    for worth in (WORTH, vague):
        rows: dict[Any, Any] = dict(sum_table([("a", worth)], PRICES, MARKET).rows)  # type: ignore[arg-type]
        written = {name: value_written(cell) for name, cell in rows.items()}
        terms = [n for n in written if n not in ("more reams sold", "more avoidable waste, t")]
        assert sum(written[name] for name in terms[:-1]) == written["total a year"]
    assert rows["rounding"] == "−3,000"


def test_an_answer_names_its_currency_where_money_stands_and_else_reads_as_without() -> None:
    table = sum_table([("a", WORTH)], PRICES, MARKET)
    drawn = bars("gain", "Gain", "change", Column("gain", "money a year"), [("a", WORTH.yearly)])
    content = AnswerContent(
        WORTH, [worth_words(WORTH)], [table, worth_table([("a", WORTH)])], [drawn], ["per ¤"]
    )
    shown = money_shown(content, "EUR")
    assert shown.words[0].startswith("In money: 293,000 ± 32,000 EUR a year for 450,000 EUR, paid")
    assert shown.tables[0].title.endswith("reams bought, EUR")
    assert shown.tables[0].rows[1][0] == "at 0.35 EUR a ream"
    assert [c.heading for c in shown.tables[1].columns][1:3] == ["capital, EUR", "a year, EUR"]
    assert isinstance(shown.charts[0], Bars)
    assert shown.charts[0].y.heading == "gain, EUR a year"
    without = money_shown(content, None)
    assert without.words[0].startswith("In money: 293,000 ± 32,000 a year for 450,000, paid")
    assert without.tables[0].title.endswith("reams bought")
    assert [c.heading for c in without.tables[1].columns][1:3] == [
        "capital, money",
        "a year, money",
    ]
    assert "¤" not in str((shown, without))
    # Where nothing is said of money, no column of it stands empty.
    alone = AnswerTable.of(
        "alone", "", ["a"], ("change", str), (Column("a year", "money"), lambda _: None)
    )
    for currency, heads in ((None, ["change"]), ("EUR", ["change", "a year, EUR"])):
        (table,) = money_shown(AnswerContent(None, [], [alone]), currency).tables
        assert [column.heading for column in table.columns] == heads
        assert [len(row) for row in table.rows] == [len(heads)]


def in_plants(share: float, off: float = 0.0) -> PaidBack:
    return PaidBack(Bounds(share, share - off, share + off, 0.95, 10_000), 0, 1, np.zeros(1))


def test_plants_are_only_spoken_of_where_something_is_doubted() -> None:
    assert paid_back_words(in_plants(1.0), 3) == (
        "In more than 99 of 100 plants that agree with what is known it is paid back within 3"
        " years."
    )
    assert "In fewer than 1 of 100 plants" in paid_back_words(in_plants(0.0), 3)
    assert "In 83 (73 to 93) of 100 plants" in paid_back_words(in_plants(0.83, 0.1), 3)
    doubtful = in_plants(0.5)
    columns = [column.name for column in worth_table([("a", WORTH)], [None]).columns]
    assert "paid back in time" not in columns
    with_it = worth_table([("a", WORTH), ("b", WORTH)], [doubtful, None])
    assert cell_text(with_it.rows[0][-1]) == "50 (50–50)"
    assert with_it.rows[1][-2:] == (None, None)


def test_demand_that_is_met_is_said_plainly() -> None:
    assert market_words(MARKET) == []
    (said,) = market_words(replace(MARKET, demand=10_000_000.0))
    assert said.startswith("Nothing more can be sold: the line makes 11,000,000 ± 50,000 reams")
    assert "the market takes 10,000,000" in said


def test_what_is_made_more_than_the_market_takes_is_said_beside_the_money() -> None:
    """30,000 a week are 30,000 * 6000 / 168 = 1,071,429 a year; 900,000 of them are sold."""
    gain = known(30_000, 1_000)
    assert "Of the 1,070,000 ± 40,000 reams a year more that it makes, 900,000 ± 90,000" in (
        worth_words(WORTH, MARKET, gain)
    )
    all_sold = known(25_200, 900)
    for market, more in ((MARKET, all_sold), (replace(MARKET, demand=None), gain)):
        assert worth_words(WORTH, market, more) == worth_words(WORTH)


def test_nothing_is_concluded_from_what_the_runs_do_not_tell() -> None:
    assert "not clear yet" in worth_words(replace(WORTH, yearly=known(5, 9)))
    assert "it loses 7,000 ¤ a year" in worth_words(replace(WORTH, yearly=known(-7000)))
    assert "paid back in 1.53 (1.38–1.72) years" in worth_words(WORTH)
    assert worth_words(replace(WORTH, yearly=known(0))) == (
        "In money: it brings nothing for 450,000 ¤."
    )


def test_what_costs_nothing_is_not_paid_back() -> None:
    free = replace(
        WORTH,
        purchase=Purchase(0.0, 0.0, 0.0, 10.0),
        payback_years=Bounds(0, 0, 0, 0.95, 20),
        break_even_demand=known(0),
    )
    assert worth_words(free) == (
        "In money: 293,000 ± 32,000 ¤ a year with nothing to buy; present value over 10 years"
        " 1,520,000 ± 220,000 ¤."
    )


def test_demand_that_is_met_in_some_plants_is_told_of_these() -> None:
    (said,) = market_words(replace(MARKET, met_in=0.37))
    assert said.startswith("In 37 of 100 plants that agree with what is known nothing more can be")
    assert market_words(replace(MARKET, demand=10_000_000.0, met_in=0.0)) == []
    (said,) = market_words(replace(MARKET, met_in=1.0))
    assert said.startswith("Nothing more can be sold: the line makes")


def test_an_answer_says_what_its_advice_hangs_on_and_where_that_turns() -> None:
    """293,360 a year for ten years at 8 % are worth 1,968,000, less 450,000: as all stands."""
    advice = Advice("Buy it.", "a wrapper", WORTH)
    content = with_tornado(AnswerContent(WORTH, ["Buy it."], advice=advice))
    (table,), (chart,) = content.tables, content.charts
    assert [row[0] for row in table.rows] == [
        "contribution of a ream, ¤",
        "more reams a week",
        "discount rate, %",
    ]
    contribution, reams, rate = (
        {c.name: v for c, v in zip(table.columns, row, strict=True)} for row in table.rows
    )
    # 900,000 reams at 0.3 bring 45,000 a year less: over the years 301,954 of 1,518,457.
    assert contribution["value at lower end"] == 1_217_000
    assert contribution["now"] == Bounded(0.35, 0.3, 0.4)
    # The capital takes 67,063 a year, and 293,360 come in: 226,297 less, 0.251 of each ream.
    assert contribution["break-even"] == 0.0986
    assert contribution["from now"] == -72
    assert (rate["known from"], reams["known from"]) == ("assumed", "runs")
    assert rate["now"] == Bounded(8.0, 6.4, 9.6)
    # 226,297 less at 0.35 are 646,563 reams of 900,000.
    assert (reams["break-even"], reams["from now"]) == (5070.0, -72)
    assert isinstance(chart, Tornado)
    assert chart.title == table.title
    assert [bar.assumed for bar in chart.bars] == [False, False, True]
    assert content.words[-1] == (
        "It stops paying where one of these alone, all else as it is, goes so far: contribution of"
        " a ream down to 0.099 ¤ (by 72 %); more reams a week down to 5,070 (by 72 %); discount"
        " rate up to 64.7 % (by 709 %)."
    )


def test_nothing_is_said_to_turn_where_it_is_not_known_which_way_it_is() -> None:
    assert break_even_words(replace(WORTH, present_value=known(5, 9))) == []
    loses = replace(WORTH, present_value=known(-5_000, 100))
    assert break_even_words(loses)[0].startswith("It would only pay where one of these alone")
    free = replace(WORTH, purchase=Purchase(0.0, 0.0, 0.0, 10.0))
    content = AnswerContent(free, [], advice=Advice("It is free.", "levels", free))
    assert with_tornado(content) is content


def test_no_sentence_leaves_its_currency_out() -> None:
    """An amount a year has a place for it: "580,000 ± 16,000 ¤ a year"."""
    bare = re.compile(r"(\.text\(\)|rough\([^{}]*\))\} a year")
    sources = sorted((ROOT / "linesim" / "report").rglob("*.py"))
    found = [(p.name, m[0]) for p in sources for m in bare.finditer(p.read_text(encoding="utf-8"))]
    assert found == []
    assert bare.search('f"{worth.yearly.text()} a year"')


def test_what_may_be_paid_back_beyond_all_plans_has_an_open_end() -> None:
    late = replace(WORTH, payback_years=Bounds(20.0, 10.0, 360.0, 0.95, 20))
    assert "paid back in 20 (10 or more) years" in worth_words(late)
    assert worth_clause(late).endswith("paid back in 20 (10 or more) years")
    (row,) = worth_table([("a", late)]).rows
    assert row[3] == Bounded(20.0, 10.0, None)


def test_far_moves_have_their_thousands_apart() -> None:
    worth = replace(WORTH, inputs=(Input("rate", 0.004, 0.006, "assumed"),))
    worth = replace(worth, case=replace(CASE, prices=replace(CASE.prices, rate=0.005)))
    # At 64.7 % it brings nothing: 64.25 above 0.5.
    assert "(by 12,850 %)" in break_even_words(worth)[0]


def test_a_present_value_that_the_runs_do_not_tell_from_nothing_is_marked() -> None:
    unsure = replace(WORTH, present_value=known(-200_000, 800_000))
    table = worth_table([("a", WORTH), ("b", unsure)])
    assert [cell_text(row[4]) for row in table.rows] == [
        "1,520,000 ± 220,000",
        "~ −200,000 ± 800,000",
    ]


def test_what_is_set_is_written_as_in_every_other_table() -> None:
    worth = replace(WORTH, purchase=replace(WORTH.purchase, capital=58_500.0))
    worth = replace(
        worth,
        case=replace(CASE, purchase=worth.purchase),
        inputs=(Input("capital", 46_800.0, 70_200.0, "assumed"),),
    )
    (row,) = tornado_table(worth).rows
    assert cell_text(row[1]) == "58,500 (47,000–70,000)"
    assert cell_text(worth_table([("a", worth)]).rows[0][1]) == "58,500"
