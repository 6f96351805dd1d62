"""A wearing part changed by plan: what is tried, what it saves, and what cannot be asked."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.questions import Question, QuestionError, ask
from linesim.record.capacity import SHEETER, station_rates
from linesim.report.answers.plan_changes import plan_changes_answer, plan_changes_words
from linesim.report.page.inputs import stops_grid
from linesim.scenario import Scenario, check_mapping
from linesim.studies.age_replacement import AgeReplacement
from linesim.studies.changes import fewer_stops, shorter_stops
from linesim.studies.plan_changes import (
    PlannedChanges,
    formula_min,
    formula_of,
    minute_price,
    money_formula_of,
    part_names,
    plan_changes,
    plans_to_try,
    wearing_part,
    with_change_min,
    with_plan,
)
from linesim.studies.rank_stops import rank_stops
from linesim.studies.runner import Runner, Settings
from tests.line.calm_line import calm, stop

KNIVES = {
    "cause": "knives",
    "station": "cutter",
    "every_running_h": {"law": "weibull", "mean": 2, "shape": 4},
    "restore_min": 20,
    "change_min": 2,
    "people": 0,
}
SETTINGS = Settings(replications=6, hours=24, processes=1)


def line(**knives: Any) -> Scenario:
    """A line on which, but for the knives, hardly anything stops."""
    return calm(
        reels={"diameter_mm": 2000},
        unwind={"stand_limit_kg": 20000, "change_min": 0},
        start={"state": "as_found"},
        stop=[KNIVES | knives],
    )


def found(scenario: Scenario, *intervals: float) -> PlannedChanges:
    with Runner(SETTINGS) as runner:
        return plan_changes(scenario, runner, 0, intervals or plans_to_try(scenario, 0))


def test_a_plan_that_pays_is_found_and_measured_against_never_and_now() -> None:
    scenario = line(changed_every=1.9)
    answer = found(scenario, *plans_to_try(scenario, 0)[1:6:2])
    best = answer.best
    assert answer.formula_every is not None
    assert best.every is not None
    assert 0.5 < best.every / answer.formula_every < 2
    never, present = answer.plans[-1], answer.present
    assert (never.every, present.every) == (None, 1.9)
    assert best.gain is not None
    assert best.gain.shown
    assert best.gain.interval.mean == pytest.approx(
        best.reams_per_week.mean - never.reams_per_week.mean
    )
    assert answer.gain_on_present == present.short
    assert (answer.money, best.parts, best.worth) == (None, None, None)
    assert never.changes.mean == 0
    assert never.lost_h.mean == pytest.approx(never.failures.mean / 3, rel=0.05)
    # A set every 7.5 s is 32 reams a minute: what the knives stand for is what the line loses.
    for plan in answer.plans:
        assert plan.reams_per_week.mean == pytest.approx(
            32 * 60 * (168 - plan.lost_h.mean), rel=2e-3
        )
    words = " ".join(plan_changes_words(line(), answer))
    assert "Against run to failure: it gives" in words
    assert "Against the present plan (every 1.9 h): " in words
    assert "By the formula for the station alone" in words


def test_every_plan_meets_the_same_parts() -> None:
    """A plan that no part lives to see is run to failure, to the ream."""
    answer = found(line(), 1.0, 1e6)
    late, never = answer.plans[1:]
    assert late.reams_per_week == never.reams_per_week
    assert late.gain is not None
    assert (late.gain.interval.mean, late.gain.interval.half_width) == (0, 0)


def test_no_plan_pays_where_the_chance_to_fail_does_not_rise() -> None:
    scenario = line(every_running_h={"law": "exponential", "mean": 2})
    answer = found(scenario, *plans_to_try(scenario, 0)[::2])
    assert answer.formula_every is None
    often, *others = answer.plans[:-1]
    assert often.gain is not None
    assert often.gain.shown
    assert often.gain.interval.mean < 0
    gains = [plan.gain for plan in others if plan.gain is not None]
    assert not any(gain.shown and gain.interval.mean > 0 for gain in gains)
    words = " ".join(plan_changes_words(scenario, answer))
    assert "no plan pays: the chance to fail does not rise with age" in words


def test_a_change_as_long_as_a_failure_never_pays() -> None:
    scenario = line(change_min=20)
    words = " ".join(plan_changes_words(scenario, found(scenario, 1.0)))
    assert "no plan pays: a planned change takes as long as a failure" in words


@pytest.mark.parametrize(
    "meter",
    [
        {"every_running_h": 2.0},
        {"every_web_km": 30.0},
        {"every_cuts": 90_000},
        {"every_reams": 4_000},
        {"every_web_km": 30.0, "station": "web_path", "per_web": True},
    ],
)
def test_the_formula_is_what_the_rates_know(meter: dict[str, Any]) -> None:
    """Minutes by the formula are those by which the net rate of the sheeter is less."""
    (name,) = (key for key in meter if key.startswith("every_"))
    law = {"law": "weibull", "mean": meter[name], "shape": 3}
    knives = {k: v for k, v in KNIVES.items() if not k.startswith("every_")}
    scenario = calm(stop=[knives | meter | {name: law}])
    for every in (0.4 * meter[name], 0.9 * meter[name], None):
        planned = with_plan(scenario, 0, every)
        (sheeter,) = (rate for rate in station_rates(planned) if rate.station == SHEETER)
        lost = sum(m for cause, m in sheeter.minutes_per_running_h.items() if "knives" in cause)
        assert formula_min(planned, planned.stop[0], every) == pytest.approx(lost)


def test_intervals_are_tried_round_the_best() -> None:
    scenario = with_change_min(line(), 0, None)
    tried = plans_to_try(scenario, 0)
    assert tried == sorted(tried)
    answer = found(scenario, 1.0)
    assert answer.formula_every is not None
    assert tried[0] < answer.formula_every < tried[-1]
    # A part that always lasts alike is changed just before it fails.
    constant = plans_to_try(line(every_running_h=2), 0)
    assert 1.98 <= max(each for each in constant if each < 2) < 2
    # Where no plan pays by the formula, some are tried all the same.
    none = plans_to_try(line(every_running_h={"law": "exponential", "mean": 2}), 0)
    assert min(none) < 1 < 2 < max(none)


def test_where_run_to_failure_is_best_words_and_chart_say_so() -> None:
    """Whoever changes a part that does not age only loses the time of the changes."""
    scenario = line(every_running_h={"law": "exponential", "mean": 2}, change_min=20)
    answer = found(scenario, 0.5)
    assert answer.best.every is None
    content = plan_changes_answer(scenario, answer)
    assert "run to failure makes most of 2 ways tried: no plan makes more" in content.words[0]
    assert content.charts[0].title.endswith(": none tried brings more")


@pytest.mark.parametrize(
    ("scenario", "options", "told"),
    [
        (line(), {"cause": "knifes"}, "no stop cause 'knifes'; there are: knives"),
        (line(planned=True), {"cause": "knives"}, "is planned work and does not fail"),
        (line(change_min=None), {"cause": "knives"}, r"nor as change_min in \[\[stop\]\]$"),
        (line(change_min=None), {}, "no stop cause has a time .* such as knives$"),
        (line(), {"every": "1,0"}, "every: 0: "),
        (line(), {"every": "x"}, "is not from:to:count"),
        (line(), {"every": "0.00001"}, "would never run"),
    ],
)
def test_what_cannot_be_asked_is_told(
    scenario: Scenario, options: dict[str, Any], told: str
) -> None:
    with pytest.raises(ValueError, match=told):
        ask(Question("plan-changes", options), {"": scenario}, SETTINGS)


def test_a_cause_of_two_stations_goes_by_both_names() -> None:
    both = [KNIVES, stop("transfer", "knives", every_running_h=3)]
    scenario = calm(stop=both)
    with pytest.raises(QuestionError, match='"knives at cutter" or "knives at transfer"'):
        ask(Question("plan-changes", {"cause": "knives"}), {"": scenario}, SETTINGS)
    options = {"cause": "knives at transfer", "change_min": 0.5, "every": "2"}
    answer = ask(Question("plan-changes", options), {"": scenario}, SETTINGS)
    assert answer.found.stop.station == "transfer"
    assert answer.found.stop.change_min.mean == 0.5


def test_what_a_part_costs_for_each_hour_of_use_on_paper() -> None:
    """A life of always 2 h: changed after 1 h it costs a change an hour, else half a failure."""
    prices = {"every_running_h": 2, "change_price": 30, "failure_price": 200}
    parts = line(**prices)
    assert minute_price(parts, parts.stop[0]) == 0
    formula = money_formula_of(parts.stop[0], 0.0)
    assert formula.lost_per_unit(1) == pytest.approx(30)
    assert formula.lost_per_unit(None) == pytest.approx(100)
    # 32 reams a minute, less 20 min of standing in each 2 h of running: 27.43 by net rate.
    earning = parts.varied(money={"contribution_per_ream": 0.1})
    minute = minute_price(earning, earning.stop[0])
    assert minute == pytest.approx(0.1 * 32 * 120 / 140)
    formula = money_formula_of(earning.stop[0], minute)
    assert formula.lost_per_unit(1) == pytest.approx(30 + 2 * minute)
    assert formula.lost_per_unit(None) == pytest.approx((200 + 20 * minute) / 2)
    # Changed just before it fails: half as often as after 1 h.
    best = formula.best_age()
    assert best == pytest.approx(2)
    assert formula.lost_per_unit(best) == pytest.approx((30 + 2 * minute) / 2)
    assert formula_of(parts.stop[0]) == AgeReplacement(parts.stop[0].interval, 2, 20)


def test_a_year_of_a_plan_in_money_is_its_reams_less_its_parts() -> None:
    prices = {"change_price": 30, "failure_price": 200}
    money = {"contribution_per_ream": 0.1, "hours_per_year": 6000}
    scenario = line(**prices).varied(money=money)
    answer = found(scenario, 0.6, 1.2)
    a_year = 6000 / 168
    never = answer.plans[-1]
    for plan in answer.plans:
        assert plan.parts is not None
        assert plan.worth is not None
        used = 200 * plan.failures.mean + 30 * plan.changes.mean
        assert plan.parts.mean == pytest.approx(used * a_year)
        reams = plan.reams_per_week.mean - never.reams_per_week.mean
        assert never.parts is not None
        more = 0.1 * reams * a_year - plan.parts.mean + never.parts.mean
        assert plan.worth.mean == pytest.approx(more)
    assert answer.money is not None
    assert answer.money.best.every == 1.2
    content = plan_changes_answer(scenario, answer)
    words = " ".join(content.words)
    assert "In money, parts counted, knives changed every 1.2 h brings most: " in words
    assert "By the formula in money, with a minute of the station at 2." in words
    assert len(content.tables[1].rows) == 3
    # The best plan's sum stands term by term.
    terms: dict[Any, Any] = dict(content.tables[2].rows)
    best = answer.money.best
    assert content.tables[2].columns[1].name == "changed every 1.2 h"
    assert best.parts is not None
    assert terms["parts"].mean == pytest.approx(never.parts.mean - best.parts.mean)
    assert terms["at 0.1 ¤ a ream"].mean + terms["parts"].mean == terms["total a year"].mean
    assert "prices are not counted" not in " ".join(content.notes)


def test_dear_parts_are_left_in_use_though_minutes_say_otherwise() -> None:
    """A change costs nearly what a failure does, and a minute earns nothing."""
    scenario = line(change_price=1000, failure_price=1010)
    answer = found(scenario, 0.6, 1.2)
    assert answer.money is not None
    assert answer.best.every is not None
    assert (answer.money.best.every, answer.money.formula_every) == (None, None)
    words = " ".join(plan_changes_words(scenario, answer))
    assert "In money, parts counted, no plan tried brings more than run to failure." in words
    assert "no plan pays: 505 ¤ for each h of use to failure." in words
    # Where the two intervals differ both are tried.
    scenario = line(change_price=300, failure_price=1000)
    in_money = money_formula_of(scenario.stop[0], 0.0).best_age()
    assert in_money is not None
    tried = plans_to_try(scenario, 0)
    assert min(abs(each / in_money - 1) for each in tried) < 0.01
    assert len(tried) == 1 + len(plans_to_try(line(), 0))


def test_the_ranking_of_stops_counts_changes_with_their_cause() -> None:
    scenario = line(changed_every=0.5)
    with Runner(Settings(replications=3, hours=12, processes=1)) as runner:
        ranked = rank_stops(scenario, runner)
        (plan,) = plan_changes(scenario, runner, 0, [0.5]).plans[:1]
    knives = next(each for each in ranked.causes if each.cause == "knives")
    assert knives.count.mean == pytest.approx(plan.changes.mean + plan.failures.mean)
    assert plan.changes.mean > 50 * plan.failures.mean
    assert knives.reams_gained.shown


def test_rarer_and_shorter_stops_are_so_of_changes_too() -> None:
    scenario = line(changed_every=0.5)
    rarer, shorter = fewer_stops(scenario, SHEETER, 0.8), shorter_stops(scenario, SHEETER, 0.8)
    assert rarer.stop[0].mean_between == pytest.approx(scenario.stop[0].mean_between / 0.8)
    assert rarer.stop[0].chance_to_fail == pytest.approx(scenario.stop[0].chance_to_fail)
    assert shorter.stop[0].change_min.mean == pytest.approx(1.6)


def test_the_report_tells_the_plan_among_the_inputs() -> None:
    (row,) = stops_grid(line(changed_every=1.5)).rows
    assert row[2] == "weibull: mean 2 running h, shape 4; by plan 1.5 running h"
    assert row[3] == "20 min; by plan 2 min"
    (row,) = stops_grid(line()).rows  # it may take so long, and is not done
    assert row[3] == "20 min"


def test_the_parts_offered_are_those_that_can_be_named() -> None:
    fails = {"every_clock_h": 20, "restore_min": 5}
    stops = [
        {"cause": "knives", "station": "cutter", **fails},
        {"cause": "glue", "station": "wrapper", **fails},
        {"cause": "glue", "station": "bridge", **fails},
        {"cause": "oiling", "station": "cutter", "planned": True, **fails},
    ]
    scenario = check_mapping({"stop": stops})
    names = part_names(scenario)
    assert names == ["knives", "glue at wrapper", "glue at bridge"]
    assert [wearing_part(scenario, name) for name in names] == [0, 1, 2]
