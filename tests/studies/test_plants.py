"""Prices in plants that agree with what is known, and what they make of a payback."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from linesim.scenario import Scenario, check_mapping
from linesim.studies.add_wrapper import ONE_MORE, Option, add_wrapper
from linesim.studies.plants import plants_of
from linesim.studies.runner import Runner, Settings
from tests.studies.lines import quick_line

MONEY = {"contribution_per_ream": 0.5, "wrapper_price": 100_000.0}


def line(doubts: list[dict[str, Any]], **money: Any) -> Scenario:
    return quick_line(**(MONEY | money), doubt=doubts)


STATED_RUNS: Any = [SimpleNamespace(plant=0)] * 20


def about_the_wrapper(scenario: Scenario, within_years: float = 3.0) -> Option:
    with Runner(Settings(replications=4, hours=12, processes=1)) as runner:
        stated = runner.as_stated({"": scenario})[""]
        found = add_wrapper(stated, runner, within_years=within_years)
    return next(option for option in found.options if option.name == ONE_MORE)


def test_a_price_lies_between_its_ends_in_95_of_100_plants_and_is_on_average_as_stated() -> None:
    doubts = [{"of": "wrapper_price", "between": [80_000.0, 140_000.0]}]
    with Runner(Settings()) as runner:
        stated = runner.as_stated({"": line(doubts)})[""]
        plants = plants_of(stated, runner, STATED_RUNS)
    assert plants is not None
    prices: Any = plants.priced.money.wrapper_price
    assert len(prices) == plants.count
    assert np.mean(prices) == pytest.approx(100_000, rel=1e-3)
    low, high = np.quantile(prices, [0.025, 0.975])
    assert high / low == pytest.approx(140 / 80, rel=0.01)
    assert plants.priced.money.contribution_per_ream == 0.5


def test_prices_are_drawn_each_for_itself_and_stay_legal() -> None:
    doubts = [
        {"of": "wrapper_price", "between": [0.0, 300_000.0]},
        {"of": "discount_rate", "between": [0.0, 0.2]},
    ]
    with Runner(Settings()) as runner:
        stated = runner.as_stated({"": line(doubts)})[""]
        plants = plants_of(stated, runner, STATED_RUNS)
    assert plants is not None
    money: Any = plants.priced.money
    assert min(money.wrapper_price.min(), money.discount_rate.min()) == 0
    assert abs(np.corrcoef(money.wrapper_price, money.discount_rate)[0, 1]) < 0.05


def test_without_doubt_there_are_no_plants() -> None:
    with Runner(Settings()) as runner:
        stated = runner.as_stated({"": line([])})[""]
        assert plants_of(stated, runner, STATED_RUNS) is None


def test_a_doubted_price_is_in_the_second_part_and_leaves_luck_alone() -> None:
    sure = about_the_wrapper(line([]))
    found = about_the_wrapper(line([{"of": "wrapper_price", "between": [80_000.0, 140_000.0]}]))
    assert sure.worth is not None
    assert found.worth is not None
    assert sure.worth.present_value.doubt == 0
    assert found.worth.present_value.half_width == sure.worth.present_value.half_width
    assert found.worth.present_value.doubt == pytest.approx(30_000, rel=0.1)
    assert found.worth.yearly == sure.worth.yearly  # the price is spent once
    back = found.worth.payback_years
    assert back is not None
    assert back.doubt / back.mean == pytest.approx(0.3, rel=0.1)


def test_at_the_payback_time_half_of_the_plants_have_paid_back() -> None:
    doubts = [{"of": "contribution_per_ream", "between": [0.4, 0.625]}]
    worth = about_the_wrapper(line(doubts)).worth
    assert worth is not None
    assert worth.payback_years is not None
    for times, share in ((1.0, 0.5), (2.5, 1.0), (0.4, 0.0)):
        option = about_the_wrapper(line(doubts), times * worth.payback_years.mean)
        assert option.in_plants is not None
        assert option.in_plants.in_time.value == pytest.approx(share, abs=0.06)
        assert option.in_plants.in_time.contains(option.in_plants.in_time.value)


def test_a_doubt_of_the_line_and_one_of_the_price_are_both_in_it() -> None:
    jams = {
        "cause": "wrapper jam",
        "every_reams": {"law": "exponential", "mean": 100},
        "restore_min": 2.0,
        "people": 0,
        "doubt": [{"of": "every_reams", "between": [60.0, 170.0]}],
    }
    price = [{"of": "wrapper_price", "between": [80_000.0, 125_000.0]}]
    data = quick_line(**MONEY).model_dump(by_alias=True, exclude_unset=True) | {"stop": [jams]}
    both, jam_only = (
        about_the_wrapper(check_mapping(data | {"money": MONEY | {"doubt": doubts}}))
        for doubts in (price, [])
    )
    assert both.worth is not None
    assert jam_only.worth is not None
    assert both.worth.yearly == jam_only.worth.yearly
    assert jam_only.worth.yearly.doubt > 0
    assert both.worth.present_value.doubt > jam_only.worth.present_value.doubt
    assert both.in_plants is not None
    assert both.in_plants.high > both.in_plants.low
