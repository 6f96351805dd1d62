"""Money in words: what is said of chances, demand and what the runs do not tell."""

from dataclasses import replace
from typing import Any

from linesim.money import PaybackChance, Prices, Purchase
from linesim.report.answers import Figure
from linesim.report.answers.money_tables import (
    chance_words,
    market_words,
    sum_table,
    worth_table,
    worth_words,
)
from linesim.statistics import Interval
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
        "at 0.35 a ream",
        "more avoidable waste, t",
        "at 680 a tonne",
        "wages",
        "running cost",
        "total a year",
    ]
    terms = ("at 0.35 a ream", "at 680 a tonne", "wages", "running cost")
    assert sum(means[name] for name in terms) == means["total a year"]
    assert means["more reams sold"] * 0.35 == means["at 0.35 a ream"]


def test_a_chance_is_only_said_where_something_is_uncertain() -> None:
    sure, doubtful = PaybackChance(1.0, 1.0, 0, 1, 10_000), PaybackChance(0.5, 1, 0, 1, 10_000)
    assert "more than 99.9 %" in chance_words(sure, 3)
    assert "less than 0.1 %" in chance_words(replace(sure, paid_back=0.0), 3)
    assert "within 3 years: 50 %" in chance_words(doubtful, 3)
    columns = [column.name for column in worth_table([("a", WORTH)], [None]).columns]
    assert "paid back in time" not in columns
    with_it = worth_table([("a", WORTH), ("b", WORTH)], [doubtful, None])
    assert with_it.rows[0][-1] == "50"
    assert with_it.rows[1][-2:] == (None, None)


def test_demand_that_is_met_is_said_plainly() -> None:
    assert market_words(MARKET) == []
    (said,) = market_words(replace(MARKET, demand=10_000_000.0))
    assert said.startswith("Nothing more can be sold: the line makes 11,000,000 ± 50,000 reams")
    assert "the market takes 10,000,000" in said


def test_nothing_is_concluded_from_what_the_runs_do_not_tell() -> None:
    assert "not clear yet" in worth_words(replace(WORTH, yearly=known(5, 9)))
    assert "it loses 7,000" in worth_words(replace(WORTH, yearly=known(-7000)))
    assert "paid back in 1.53 ± 0.20 years" in worth_words(WORTH)
    assert worth_words(replace(WORTH, yearly=known(0))) == (
        "In money: it brings nothing for 450,000."
    )


def test_what_costs_nothing_is_not_paid_back() -> None:
    free = replace(
        WORTH,
        purchase=Purchase(0.0, 0.0, 0.0, 10.0),
        payback_years=known(0),
        break_even_demand=known(0),
    )
    assert worth_words(free) == (
        "In money: 293,000 ± 32,000 a year with nothing to buy; present value over 10 years"
        " 1,520,000 ± 220,000."
    )
