"""Money in words: what is said of chances, demand and what the runs do not tell."""

from dataclasses import replace
from typing import Any

import numpy as np

from linesim.money import Prices, Purchase
from linesim.report.answers import AnswerContent, Bars, Column, Figure
from linesim.report.answers.cells import cell_text
from linesim.report.answers.charts import bars
from linesim.report.answers.money_shown import money_shown
from linesim.report.answers.money_tables import (
    market_words,
    paid_back_words,
    sum_table,
    worth_table,
    worth_words,
)
from linesim.statistics import Bounds, Interval
from linesim.studies.paid_back import PaidBack
from linesim.studies.worth import Market, Worth


def known(mean: float, half: float = 0.0) -> Interval:
    return Interval(mean, half, 0.95, 20)


MARKET = Market(known(11_000_000, 50_000), 12_000_000.0, 6000.0)
PRICES = Prices(contribution=0.35, demand=12_000_000.0, waste_per_t=680.0, rate=0.08)
WORTH = Worth(
    purchase=Purchase(450_000.0, 40_000.0, 0.0, 10.0),
    reams=known(900_000, 90_000),
    contribution=known(315_000, 31_500),
    waste_t=known(-27, 9),
    waste=known(18_360, 6_000),
    parts=known(0.0),
    yearly=known(293_360, 32_000),
    present_value=known(1_518_000, 215_000),
    payback_years=known(1.53, 0.2),
    break_even_demand=known(11_700_000, 400_000),
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
    assert list(with_parts) == [*list(means)[:-1], "parts", "total a year"]


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


def test_nothing_is_concluded_from_what_the_runs_do_not_tell() -> None:
    assert "not clear yet" in worth_words(replace(WORTH, yearly=known(5, 9)))
    assert "it loses 7,000 ¤ a year" in worth_words(replace(WORTH, yearly=known(-7000)))
    assert "paid back in 1.53 ± 0.20 years" in worth_words(WORTH)
    assert worth_words(replace(WORTH, yearly=known(0))) == (
        "In money: it brings nothing for 450,000 ¤."
    )


def test_what_costs_nothing_is_not_paid_back() -> None:
    free = replace(
        WORTH,
        purchase=Purchase(0.0, 0.0, 0.0, 10.0),
        payback_years=known(0),
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
