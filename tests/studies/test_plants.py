"""Prices in plants that agree with what is known, and what they make of a payback."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from linesim.money import Purchase
from linesim.questions import Question
from linesim.questions.asking import ask
from linesim.report.answers import Answer
from linesim.scenario import Scenario, check_mapping
from linesim.scenario.levers_table import LEVERS
from linesim.studies.add_wrapper import ONE_MORE, Option, add_wrapper
from linesim.studies.changes import with_bridge
from linesim.studies.levers import levers_of
from linesim.studies.plants import plants_of
from linesim.studies.runner import Runner, Settings
from linesim.studies.worth import market_of, purchase_of, worth_by
from tests.studies.lines import quick_line

MONEY = {"contribution_per_ream": 0.5, "wrapper_price": 100_000.0}


def line(doubts: list[dict[str, Any]], **money: Any) -> Scenario:
    return quick_line(**(MONEY | money), doubt=doubts)


STATED_RUNS: Any = [SimpleNamespace(plant=0)] * 20


def about_the_wrapper(scenario: Scenario, within_years: float = 3.0) -> Option:
    with Runner(Settings(replications=8, hours=6, processes=1)) as runner:
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


def test_a_wage_and_the_hours_that_are_not_known_are_in_what_a_person_costs() -> None:
    """30 an hour in 6,000 hours: 180,000 a year for one; each plant has its own."""
    doubts = [
        {"of": "wage_per_h", "between": [27.0, 33.0]},
        {"of": "hours_per_year", "between": [5800.0, 6200.0]},
    ]
    with Runner(Settings()) as runner:
        stated = runner.as_stated({"": line(doubts, wage_per_h=30.0, hours_per_year=6000.0)})[""]
        plants = plants_of(stated, runner, STATED_RUNS)
    assert plants is not None
    one = purchase_of(stated, 10, people=2)
    assert one is not None
    assert one.wages == 360_000
    spent = purchase_of(plants.priced, 10, people=2)
    assert spent is not None
    priced: Any = plants.priced.money
    np.testing.assert_allclose(spent.wages, 2 * priced.wage_per_h * priced.hours_per_year)
    assert np.ptp(priced.wage_per_h) > 3
    assert np.mean(spent.wages) == pytest.approx(360_000, rel=1e-2)


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
    back, by_luck = found.worth.payback_years, sure.worth.payback_years
    assert back is not None
    assert by_luck is not None
    assert back.value == by_luck.value
    assert back.low < by_luck.low
    assert back.high > 1.1 * by_luck.high


def test_at_the_payback_time_half_of_the_plants_have_paid_back() -> None:
    doubts = [{"of": "contribution_per_ream", "between": [0.4, 0.625]}]
    worth = about_the_wrapper(line(doubts)).worth
    assert worth is not None
    assert worth.payback_years is not None
    for times, low, high in ((1.0, 0.45, 0.55), (2.5, 0.8, 1.0), (0.4, 0.0, 0.2)):
        option = about_the_wrapper(line(doubts), times * worth.payback_years.value)
        assert option.in_plants is not None
        share = option.in_plants.in_time
        assert low <= share.value <= high
        assert share.low <= share.value <= share.high


JAMS = {
    "cause": "wrapper jam",
    "every_reams": {"law": "exponential", "mean": 100},
    "restore_min": 2.0,
    "people": 0,
    "doubt": [{"of": "every_reams", "between": [60.0, 170.0]}],
}


def jammed(**money: Any) -> Scenario:
    """How often the wrapper jams is not known."""
    data = quick_line(**money).model_dump(by_alias=True, exclude_unset=True)
    return check_mapping(data | {"stop": [JAMS], "money": money})


def answered(study: str, options: dict[str, Any], *lines: Scenario, hours: float = 12.0) -> Answer:
    settings = Settings(replications=4, hours=hours, processes=1)
    named = {f"line {n}": each for n, each in enumerate(lines)}
    return ask(Question(study, options), named, settings)


def test_the_best_length_is_told_with_its_range_and_its_regret() -> None:
    cost = {"contribution_per_ream": 0.5, "ream_place_cost": 1_000_000.0}
    options = {"places": "10,20,40,80", "levels": False}
    for money, unit in (({}, "reams a week"), (cost, "a year")):
        answer = answered("size-bridge", options, jammed(**money))
        choice = answer.found.best.choice
        assert sum(choice.best_in) == pytest.approx(1)
        assert choice.low <= choice.chosen <= choice.high
        assert choice.best_in[choice.chosen] > 0.4
        assert "plants that agree with what is known" in answer.words[2]
        assert choice.regret == 0 or unit in answer.words[2]
    # At a million a place none pays; those that stand are paid, and shorter brings nothing back.
    assert choice.chosen == 1


def test_scenarios_and_values_are_chosen_between_in_plants() -> None:
    both = answered("compare", {}, jammed(), with_bridge(jammed(), 60))
    assert both.found.choice.chosen == 1
    assert any(words.startswith("Line 1 is the best in") for words in both.words)
    varied = answered("vary", {"fields": ("bridge.places=10,60",)}, jammed())
    # What the line has now is a point between them.
    assert varied.found.choice.chosen == 2
    assert any("at between 20 and 60 in 95 of 100" in words for words in varied.words)


def test_where_nothing_is_doubted_nothing_is_said_of_plants() -> None:
    stated = quick_line(**MONEY, ream_place_cost=1000.0)
    answers = (
        answered("compare", {}, stated, with_bridge(stated, 60)),
        answered("vary", {"fields": ("bridge.places=10,60",)}, stated),
        answered("add-wrapper", {}, stated),
        answered("size-bridge", {"places": "10,20,40", "levels": False}, stated),
    )
    for answer in answers:
        found = answer.found.best if answer.study == "size-bridge" else answer.found
        assert found.choice is None
        assert "plants that agree" not in " ".join((*answer.words, *answer.notes))


def test_an_output_is_reached_in_so_many_plants_and_the_change_is_that_of_pairs() -> None:
    """A setting's gain is told pair by pair: the same plant, the same luck."""
    asked = {"reams_per_week": 150_000}
    keep = ("longer_bridge", "bridge_levels")
    line = jammed().varied(levers={"off": ", ".join(each for each in LEVERS if each not in keep)})
    answer = answered("meet-target", asked, line, hours=3.0)
    found = answer.found
    for each in found.checked:
        assert each.in_plants is not None
        assert each.in_plants.low <= each.in_plants.value <= each.in_plants.high
        assert each.gain.interval.doubt < each.reams_per_week.doubt
        if not each.changes:
            assert each.gain.interval.both == 0
    assert any("plants that agree with what is known" in words for words in answer.words)


def test_a_doubt_of_the_line_and_one_of_the_price_are_both_in_it() -> None:
    price = [{"of": "wrapper_price", "between": [80_000.0, 125_000.0]}]
    both, jam_only = (about_the_wrapper(jammed(**MONEY, doubt=each)) for each in (price, []))
    assert both.worth is not None
    assert jam_only.worth is not None
    assert both.worth.yearly == jam_only.worth.yearly
    assert jam_only.worth.yearly.doubt > 0
    assert both.worth.present_value.doubt > jam_only.worth.present_value.doubt
    assert both.in_plants is not None
    assert both.in_plants.high > both.in_plants.low


def test_two_parts_are_explained_where_prices_alone_make_them() -> None:
    doubts = [{"of": "wrapper_price", "between": [80_000.0, 140_000.0]}]
    priced = answered("add-wrapper", {}, line(doubts), hours=6.0)
    assert any("what is not known of prices" in note for note in priced.notes)
    assert any("Plants that agree with what is known" in note for note in priced.notes)
    compared = answered("compare", {}, line(doubts), line([]), hours=6.0)
    assert not any("not known of prices" in note for note in compared.notes)


def test_a_market_in_doubt_is_met_in_some_plants() -> None:
    """What the market takes is what the line makes, give or take a tenth: in about half of them."""
    with Runner(Settings(replications=4, hours=12, processes=1)) as runner:
        rows = runner.outcomes({"": line([])})[""]
        made = market_of(line([]), rows, 0.95).reams_per_year.mean
        doubt = [{"of": "demand_reams_per_year", "between": [0.9 * made, 1.1 * made]}]
        stated = runner.as_stated({"": line(doubt, demand_reams_per_year=made)})[""]
        found = market_of(stated, rows, 0.95, plants_of(stated, runner, rows))
    assert found.met_in is not None
    assert 0.4 < found.met_in < 0.6


def test_prices_of_levers_and_wages_of_groups_are_drawn_and_change_no_run() -> None:
    prices = {
        "levers": {
            "faster_wrapper_price": 90_000.0,
            "doubt": [{"of": "faster_wrapper_price", "between": [70_000.0, 120_000.0]}],
        },
        "crew": {"size": 0},
        "crew_group": [
            {
                "name": "by day",
                "number": 4,
                "wage_per_h": 30.0,
                "doubt": [{"of": "wage_per_h", "between": [28.0, 33.0]}],
            }
        ],
        "money": MONEY,
    }
    with Runner(Settings(replications=4, hours=1, processes=1)) as runner:
        stated = runner.as_stated({"": check_mapping(prices)})[""]
        assert [each.is_money for each in runner.doubted] == [True, True]
        assert not runner.crossed
        plants = plants_of(stated, runner, STATED_RUNS)
        assert plants is not None
        drawn: Any = plants.priced.levers.faster_wrapper_price
        low, high = np.quantile(drawn, [0.025, 0.975])
        assert high / low == pytest.approx(120 / 70, rel=0.01)
        wages: Any = plants.priced.crew_group[0].wage_per_h
        assert len(wages) == plants.count
        (step,) = next(e.steps for e in levers_of(stated) if e.key == "faster_wrapper")

        def spent(priced: Scenario) -> Purchase:
            found = step.cost(priced, 10.0)
            assert found is not None
            return found

        lines = {"now": stated, "then": step.change(stated)}
        rows = runner.outcomes(lines)
        worth = worth_by(stated, rows["now"], rows["then"], spent, 0.95, plants)
    ends = {each.name: (*each.ends, each.known_from) for each in worth.inputs}
    assert ends["capital"] == (70_000.0, 120_000.0, "doubt")
    assert ends["contribution"] == (0.4, 0.6, "assumed")
    assert ends["more_reams"][2] == "runs"
    assert worth.case is not None
    assert worth.case.present_value == pytest.approx(worth.present_value.mean)
    made = worth.case.value("more_reams")
    assert made == pytest.approx(
        np.mean(
            [
                t.reams_per_week - n.reams_per_week
                for t, n in zip(rows["then"], rows["now"], strict=True)
            ]
        )
    )


def test_the_first_of_many_runs_have_plants_of_their_own() -> None:
    """What was run less often is held against as many runs of the line as it is."""
    doubts = [{"of": "wrapper_price", "between": [80_000.0, 140_000.0]}]
    with Runner(Settings(replications=4, hours=1, processes=1)) as runner:
        stated = runner.as_stated({"": line(doubts)})[""]
        rows = runner.outcomes({"": stated})[""]
        plants = plants_of(stated, runner, rows)
    assert plants is not None
    assert plants.year(rows[:3]).reams.mean() == pytest.approx(
        np.mean([row.good_reams * 6000 / row.manned_hours for row in rows[:3]]), rel=0.01
    )
