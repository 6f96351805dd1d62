"""A wearing part changed by plan: what is tried, what it saves, and what cannot be asked."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.questions import Question, QuestionError, ask
from linesim.record.capacity import SHEETER, station_rates
from linesim.report.answers.plan_changes import plan_changes_words
from linesim.report.page.inputs import stops_grid
from linesim.scenario import Scenario
from linesim.studies.changes import fewer_stops, shorter_stops
from linesim.studies.plan_changes import (
    PlannedChanges,
    formula_min,
    plan_changes,
    plans_to_try,
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


@pytest.mark.parametrize(
    ("scenario", "options", "told"),
    [
        (line(), {"cause": "knifes"}, "no stop cause 'knifes'; there are: knives"),
        (line(planned=True), {"cause": "knives"}, "is planned work and does not fail"),
        (line(change_min=None), {"cause": "knives"}, "change_min in its"),
        (line(change_min=None), {}, "no stop cause has change_min"),
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
