"""The row of figures, the staircase and the V: what they say, and what they rest on."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache

import pytest

import linesim
from linesim.report import (
    as_one_run,
    glance,
    key_figures,
    loss_changes,
    loss_staircase,
    rate_bars,
    words,
)
from linesim.report.plain import station_name
from linesim.statistics import rough
from tests.line.calm_line import calm, one_web, stop

_HELD = "work still on the line"


@cache
def shaky(jams: float = 60.0, runs: int = 4):
    """An hour of a line whose wrapper jams, several times."""
    jam = stop("wrapper", "jam", every_reams={"law": "exponential", "mean": jams})
    return linesim.studies.replicate(one_web(stop=[jam]), replications=runs, hours=1)


def by_name(row):
    return {each.name: each.value for each in row.figures}


def test_one_run_has_no_interval_and_says_so():
    record = linesim.fast.simulate(calm(), hours=1)
    row = glance(as_one_run(record))
    assert row.basis == "this run of 1 h: one run, no interval"
    assert by_name(row)["good reams per hour"] == rough(record.books.reams.good / 1.0)
    assert not any("±" in each.value for each in row.figures)


def test_a_whole_shift_is_called_one():
    record = linesim.fast.simulate(calm(line={"shift_hours": 0.5}))
    assert glance(as_one_run(record)).basis.startswith("this shift of 0.5 h")


def test_many_runs_have_intervals_and_say_what_they_are():
    result = shaky()
    row = glance(result)
    assert row.basis == "mean of 4 runs of 1 h ± half width of the 95 % interval"
    values = by_name(row)
    assert values["good reams per hour"] == result.measure("good_reams_per_hour").text()
    assert values["effectiveness (OEE)"] == words.percent(result.measure("oee"))
    assert "±" in values["good reams per hour"]


def test_what_holds_the_line_is_named():
    slow = calm(unwind={"change_min": 0.1}, wrapper=[{"rate_reams_per_min": 15}])
    row = glance(as_one_run(linesim.fast.simulate(slow, hours=1)))
    assert row.holds == "wrapper"
    assert row.holds_because.startswith("What holds the line: the wrapper.")


def test_where_the_two_signs_differ_both_are_named():
    few = linesim.scenario.load(linesim.scenario.find_scenario("small-crew"))
    result = as_one_run(linesim.fast.simulate(few, seed=1, hours=8))
    row = glance(result)
    both = {result.constraint_by_net_rate().station, result.constraint_by_pattern()}
    shown = {station_name(result.scenario, station) for station in both}
    assert all(station in row.holds for station in shown)
    assert (" or " in row.holds) == (len(shown) > 1)


def test_performance_with_orders_is_explained():
    orders = [{"name": "a", "reams": 400}, {"name": "b", "reams": 400, "lanes": 2}]
    line = calm(order=orders, changeover={"people": 0})
    row = glance(as_one_run(linesim.fast.simulate(line, hours=0.5)))
    assert "that of its own product" in next(
        f.meaning for f in row.figures if f.name == "performance"
    )


@pytest.mark.parametrize("many", [False, True])
def test_steps_follow_each_other_down_to_good_output(many):
    result = shaky() if many else as_one_run(linesim.fast.simulate(calm(), hours=1))
    first, *losses, last = loss_staircase(result)
    assert (first.name, last.name) == ("planned busy time", "good output")
    assert first.whole
    assert last.whole
    level = first.top_h
    for step in losses:
        assert not step.whole
        assert step.top_h == pytest.approx(level)
        level = step.bottom_h
    assert level == pytest.approx(last.top_h)
    assert all((step.half_width_h < math.inf) == many for step in (first, *losses, last))
    assert last.share == words.percent(result.measure("oee"))


def test_a_loss_below_nothing_by_chance_is_said_to_be_about_0():
    """What the line holds at the end, less what it held when the count began."""
    result = shaky(runs=6)
    held = [-0.004, 0.003, -0.002, 0.002, -0.003, 0.001]
    runs = tuple(
        replace(run, losses_h=run.losses_h | {"line": run.losses_h["line"] | {_HELD: hours}})
        for run, hours in zip(result.runs, held, strict=True)
    )
    step = next(s for s in loss_staircase(replace(result, runs=runs)) if s.name == _HELD)
    assert step.value == "about 0 ± 0.003 h"
    assert re.fullmatch(r"about 0 ± 0\.\d+ %", step.share)
    sure = tuple(
        replace(
            run, losses_h=run.losses_h | {"line": run.losses_h["line"] | {_HELD: hours - 0.2002}}
        )
        for run, hours in zip(result.runs, held, strict=True)
    )
    step = next(s for s in loss_staircase(replace(result, runs=sure)) if s.name == _HELD)
    assert step.value == "−0.201 ± 0.003 h"


def test_steps_of_the_line_before_are_compared_run_by_run():
    now, before = shaky(55.0), shaky(60.0)
    found = loss_changes(now, before)
    steps = {step.name: step for step in loss_staircase(before)}
    for change in found:
        assert (change.top_h, change.bottom_h) == (
            steps[change.name].top_h,
            steps[change.name].bottom_h,
        )
    minor = next(each for each in found if each.name == "idling and minor stops")
    pairs = zip(now.runs, before.runs, strict=True)
    deltas = [a.losses_h["line"][minor.name] - b.losses_h["line"][minor.name] for a, b in pairs]
    interval = linesim.statistics.student_interval(deltas)
    whole = linesim.statistics.format_with_interval(abs(interval.mean), interval.half_width)
    assert minor.value == f"{'−' if interval.mean < 0 else '+'}{whole} h"
    assert {each.value for each in loss_changes(now, now)} == {"0 h"}


def test_rates_mark_the_slowest():
    packer = [{"name": "packer", "rate_reams_per_min": 15}]
    bars = rate_bars(calm(unwind={"change_min": 0.1}, wrapper=packer))
    assert [bar.station for bar in bars] == ["sheeter", "transfer", "packer"]
    assert [bar.mark for bar in bars] == ["", "", "lowest net rate and lowest rated speed"]
    assert bars[0].rated_reams_per_min == pytest.approx(32)
    assert bars[2].value == "rated 15.0, net 15.0 reams/min"


def test_a_transfer_that_takes_no_time_sets_no_pace():
    at_once = {"pick_s": 0, "carry_s": 0, "place_s": 0, "return_s": 0}
    assert rate_bars(calm(transfer=at_once))[1].value == "sets no pace"


def test_difference_of_single_runs_says_that_it_is_one():
    quick, slow = (
        as_one_run(linesim.fast.simulate(calm(wrapper=[{"rate_reams_per_min": rate}]), hours=1))
        for rate in (60, 20)
    )
    reams = quick.runs[0].measures["good_reams_per_hour"]
    reams -= slow.runs[0].measures["good_reams_per_hour"]
    assert key_figures(slow, quick)[0].change == f"−{rough(reams)} (one run)"
    assert key_figures(quick, quick)[0].change == "no change (one run)"
    assert {each.change for each in key_figures(quick)} == {""}


def test_difference_of_many_runs_is_paired():
    better, worse = shaky(400.0), shaky(60.0)
    good, oee, _ = key_figures(better, worse)
    pairs = [[run.measures["good_reams_per_hour"] for run in each.runs] for each in (better, worse)]
    paired = linesim.statistics.paired_interval(*pairs).interval

    paired = paired.times(better.runs[0].hours)
    assert good.change == "no change shown"
    assert "+" + paired.text() in good.change_meaning
    assert "4 pairs of runs with the same random numbers" in good.change_meaning
    assert " points, " in oee.change_meaning
    same = key_figures(worse, worse)
    assert [each.change for each in same] == ["no change", "no change", "as before"]


def test_a_difference_that_is_shown_is_told_with_what_held_the_line_before():
    quick, slow = (
        linesim.studies.replicate(
            calm(wrapper=[{"rate_reams_per_min": rate}]), replications=2, hours=0.5
        )
        for rate in (60, 20)
    )
    good, oee, holds = key_figures(slow, quick)
    reams = [each.measure("good_reams_per_hour").mean / 2 for each in (quick, slow)]
    assert good.change.startswith(f"−{rough(reams[0] - reams[1])}")
    assert oee.change.endswith(" points")
    assert holds.value == "wrapper"
    assert holds.change == "before: sheeter"


def test_a_difference_of_runs_of_plants_has_both_parts():
    def doubted(jams: float):
        law = {"law": "exponential", "mean": jams}
        doubt = [{"of": "every_reams", "between": [0.7 * jams, 1.5 * jams]}]
        jam = stop("wrapper", "jam", every_reams=law, doubt=doubt)
        return linesim.studies.replicate(one_web(stop=[jam]), replications=4, hours=1)

    better, worse = doubted(400.0), doubted(60.0)
    gains = [
        a.measures["good_reams_per_hour"] - b.measures["good_reams_per_hour"]
        for a, b in zip(better.runs, worse.runs, strict=True)
    ]
    gain = better.estimate(gains, "")
    assert gain.doubt > 0
    found = key_figures(better, worse)[0]
    assert found.change_meaning.startswith(f"+{gain.text()}, 8 pairs")


def test_a_difference_that_is_not_shown_says_so():
    few = key_figures(shaky(55.0, 2), shaky(60.0, 2))[0]
    assert few.change == "no change shown"
    assert "±" in few.change_meaning


def test_performance_above_100_percent_is_said_in_words():
    line = calm(wrapper=[{"wrap_s": {"law": "exponential", "mean": 2.5}}])
    passed = set()
    for seed in range(4):
        result = as_one_run(linesim.fast.simulate(line, hours=0.4, seed=seed))
        above = result.runs[0].effectiveness["wrapper"]["performance"] > 1
        assert ("Performance passes 100 % at line, wrapper" in words.how_judged(result)) == above
        passed.add(above)
    assert passed == {True, False}
