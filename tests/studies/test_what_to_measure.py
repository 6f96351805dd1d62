"""What makes the width of an answer, and what more measuring would narrow it to."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from linesim.scenario import Scenario, check_mapping, doubted, scores, without_doubt
from linesim.statistics import Crossing, Interval, interval_of
from linesim.studies import replicate
from linesim.studies.add_wrapper import add_wrapper
from linesim.studies.runner import Runner, Settings
from linesim.studies.what_to_measure import (
    MainFigure,
    Measurable,
    WhatToMeasure,
    reaches,
    what_to_measure,
)

JAM: dict[str, Any] = {
    "cause": "wrapper jam",
    "every_reams": {"law": "exponential", "mean": 400},
    "restore_min": {"law": "lognormal", "mean": 2.0, "sd": 1.5},
}
OF_LOG: dict[str, Any] = {"stops": 31, "days": 14}
LINE: dict[str, Any] = {
    "stop": [
        JAM
        | {
            "doubt": [
                {"of": "every_reams", "between": [290, 560]} | OF_LOG,
                {"of": "restore_min", "between": [1.5, 2.7]} | OF_LOG,
                {"of": "restore_min.sd", "between": [1.0, 2.2], "correlation": 0.8} | OF_LOG,
            ]
        },
        {
            "cause": "bridge belt",
            "every_running_h": {"law": "exponential", "mean": 100},
            "doubt": [{"of": "every_running_h", "between": [50, 200], "stops": 4, "days": 14}],
        },
        {
            "cause": "edge guiding",
            "doubt": [{"of": "restore_min", "between": [3, 9], "why": "the fitter says"}],
        },
    ],
    "wrapper": [
        {
            "rate_reams_per_min": 50,
            "doubt": [{"of": "rate_reams_per_min", "between": [46, 54], "why": "the supplier"}],
        }
    ],
    "crew": {"size": 4, "doubt": [{"of": "size", "between": [3, 5]}]},
    "money": {
        "contribution_per_ream": 0.4,
        "doubt": [{"of": "contribution_per_ream", "between": [0.3, 0.5]}],
    },
}
SQUARES = 200


def _line() -> Scenario:
    return check_mapping(LINE)


def _found(plant: int = 1, **betas: float) -> WhatToMeasure:
    """Of a figure that goes by these names of figures in straight lines, about 1000."""
    line = _line()
    figures = doubted(line)
    values = []
    for number in range(plant - 1, plant - 1 + SQUARES):
        z = scores(figures, 1, number)
        shift = sum(beta * z[_name(short)] for short, beta in betas.items())
        values += [1000 + shift, 1000 - shift] * 2
    interval = interval_of(values, crossed=Crossing())
    interval = type(interval)(**{**vars(interval), "plant": plant})
    figure = MainFigure("reams", interval, 1000)
    found = what_to_measure(figure, [without_doubt(line)], figures, 1)
    assert found is not None
    return found


def _name(short: str) -> str:
    return next(each.name for each in doubted(_line()) if short in each.name.replace(" ", "_"))


def _of(found: WhatToMeasure, short: str) -> Measurable:
    return next(each for each in found.ranked if each.figures[0].name == _name(short))


def test_doubts_from_one_log_are_one_line_and_prices_none() -> None:
    groups = [{each.name for each in group.figures} for group in _found(wrapper_jam=5).ranked]
    jam = {each.name for each in doubted(_line()) if "jam" in each.name}
    assert jam in groups
    assert len(jam) == 3
    assert len(groups) == 5
    assert not any("money" in name for names in groups for name in names)


def test_shares_are_those_of_the_figures_whatever_plants_were_met() -> None:
    for plant in (1, 61):
        found = _found(plant, wrapper_jam=3, rate_reams=4)
        assert found.ranked[0].share == pytest.approx(16 / 25, abs=0.02)
        assert found.ranked[1].share == pytest.approx(9 / 25, abs=0.02)
        assert found.ranked[0].figures[0].field == "rate_reams_per_min"
        assert found.runs_to_tell == 0


def test_what_more_measuring_leaves() -> None:
    found = _found(wrapper_jam=3, bridge_belt=3, rate_reams=4)
    doubt = found.figure.interval.doubt
    jam, belt, rate = (_of(found, each) for each in ("wrapper_jam", "bridge_belt", "rate_reams"))
    # 14 days of log and 14 more: half of its variance is left.
    assert (jam.more_days, jam.more_stops) == (14, None)
    assert jam.both_then == pytest.approx(doubt * math.sqrt(1 - jam.share / 2), rel=1e-6)
    # Two weeks would hold four stops: ten are worth more.
    assert (belt.more_days, belt.more_stops) == (None, 10)
    assert belt.both_then == pytest.approx(doubt * math.sqrt(1 - belt.share * 10 / 14), rel=1e-6)
    assert (rate.more_days, rate.more_stops) == (None, None)
    assert rate.both_then == pytest.approx(doubt * math.sqrt(1 - rate.share), rel=1e-6)


def test_how_far_a_figure_reaches_follows_from_the_scenario() -> None:
    line = _line()
    figures = doubted(line)
    reached = reaches(without_doubt(line), figures)
    found = dict(zip([each.name for each in figures], reached, strict=True))
    share = 2.0 * 50 / 400 / (1 + 2.0 * 50 / 400)
    station, relative = found[_name("every_reams")]
    assert station == "wrappers"
    assert relative == pytest.approx(share * math.log(560 / 290) / 2 / 1.96, rel=0.15)
    # What comes more often leaves more, what takes longer less.
    assert relative > 0 > found[_name("restore_min")][1]
    spread = found["stop.wrapper jam at wrapper.restore_min.sd"]
    mean_of_spread = 0.4 * 1.5 * math.log(2.2 / 1.0) / 2 / 1.96 / 2.0
    assert spread[1] == pytest.approx(-share * mean_of_spread, rel=0.15)
    assert found[_name("bridge_belt")][0] == "bridge"
    assert found[_name("edge_guiding")][0] == "sheeter"
    # A faster wrapper comes to its jams sooner.
    faster = 4 / 50 / 1.96 * (1 - share)
    assert found[_name("rate_reams")][1] == pytest.approx(faster, rel=0.05)
    assert found["crew.size"] == ("", pytest.approx(0.1 * math.log(5 / 3) / 2 / 1.96, rel=0.1))


def test_nothing_is_said_where_nothing_is_doubted() -> None:
    line = without_doubt(_line())
    runs = replicate(line, replications=4, hours=4)
    assert runs.what_to_measure() is None
    figure = MainFigure.output(interval_of([1.0, 2.0, 4.0]))
    assert what_to_measure(figure, [line], doubted(_line()), 1) is None
    assert what_to_measure(None, [line], doubted(_line()), 1) is None


def test_runs_of_a_line_name_the_doubt_that_holds_it() -> None:
    wide = [{"of": "restore_min", "between": [4, 20], "stops": 8, "days": 14}]
    jam = JAM | {"restore_min": {"law": "lognormal", "mean": 9, "sd": 6}, "doubt": wide}
    other = {"cause": "edge guiding", "doubt": [{"of": "restore_min", "between": [3, 9]}]}
    runs = replicate(check_mapping({"stop": [jam, other]}), replications=10, hours=24)
    found = runs.what_to_measure()
    assert found is not None
    assert found.ranked[0].figures[0].entry == "wrapper jam at wrapper"
    assert found.ranked[0].share > 0.7
    shares = np.array([each.share for each in found.ranked])
    assert shares.sum() + found.rest == pytest.approx(1)
    assert found.ranked[0].low <= found.ranked[0].share <= found.ranked[0].high


def test_prices_have_the_share_that_their_derivatives_give() -> None:
    figures = doubted(_line())
    price = next(each for each in figures if each.is_money)
    other = replace(price, name="money.wrapper_price", field="wrapper_price")
    moved = ((price.name, 3.0), (other.name, -4.0))
    interval = Interval(100.0, 2.0, 0.95, 10, doubt=1.96 * 5, prices=moved)
    figure = MainFigure("money a year", interval, 100.0)
    found = what_to_measure(figure, [without_doubt(_line())], (*figures, other), 1)
    assert found is not None
    assert [each.figures[0].field for each in found.ranked] == ["wrapper_price", price.field]
    assert [each.share for each in found.ranked] == pytest.approx([0.64, 0.36], rel=1e-3)
    assert found.ranked[0].both_then == pytest.approx(math.hypot(2, 1.96 * 3), rel=1e-3)
    assert found.rest == pytest.approx(0, abs=1e-3)
    assert found.runs_to_tell == 0
    # A law that is not normal may be narrower than its derivatives say.
    narrow = replace(figure, interval=replace(interval, doubt=1.9 * 5))
    found = what_to_measure(narrow, [without_doubt(_line())], (*figures, other), 1)
    assert found is not None
    assert [each.share for each in found.ranked] == pytest.approx([0.64, 0.36], rel=1e-3)


def test_prices_and_line_share_what_is_not_known_of_a_worth() -> None:
    priced = LINE | {
        "money": {
            "contribution_per_ream": 0.4,
            "wrapper_price": 400_000,
            "hours_per_year": 6000,
            "doubt": [{"of": "contribution_per_ream", "between": [0.3, 0.5]}],
        }
    }
    with Runner(Settings(replications=8, hours=4)) as runner:
        line = runner.as_stated({"": check_mapping(priced)})[""]
        worth = add_wrapper(line, runner).options[0].worth
        assert worth is not None
        ((name, moved),) = worth.yearly.prices
        assert name == "money.contribution_per_ream"
        # A score is a quarter by logarithm on the way down, less on the way up.
        change = 0.4 * (math.log(0.4 / 0.3) + math.log(0.5 / 0.4)) / 2 / 1.96
        assert moved == pytest.approx(worth.reams.mean * change, rel=0.02)
        figure = MainFigure("money a year", worth.yearly, 0.4 * 1e7)
        found = what_to_measure(figure, [line], runner.doubted, 1)
    assert found is not None
    price = next(each for each in found.ranked if each.figures[0].is_money)
    assert price.share == pytest.approx((1.96 * moved / worth.yearly.doubt) ** 2, rel=1e-3)
    assert sum(each.share for each in found.ranked) + found.rest == pytest.approx(1)
