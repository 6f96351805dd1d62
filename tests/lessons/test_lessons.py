"""Lessons: files are checked, the sum uses the line's own numbers, the truth is simulated."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

import linesim
import linesim.lessons.truth as truth_module
from linesim.lessons import (
    Lesson,
    LessonTruth,
    check_lesson_text,
    lesson_scenario,
    lesson_truth,
    load_lesson,
    over_replications_of,
    shipped_lessons,
)
from linesim.lessons.lesson import amount
from linesim.lessons.sums import level_at
from linesim.record import State
from linesim.record.disturbance import rated_set_ns
from linesim.record.ripple import OWN_STATES
from linesim.statistics import student_interval
from tests.line.calm_line import SET_S, calm

LESSON = """
title = "A stop"
story = "The wrapper stands."
scenario = "short-bridge"
hours = 1
asks = "How many reams are lost?"
measure = "reams_lost"
sum = "knives_standing_times_rate"
afterwards = "That is all."

[stop]
station = "wrapper"
at_h = 0.5
minutes = 4
"""


@cache
def told(name: str) -> tuple[Lesson, LessonTruth]:
    """A lesson that comes along, and what happens in a few runs."""
    path = shipped_lessons()[name]
    lesson = load_lesson(path)
    return lesson, lesson_truth(lesson, lesson_scenario(lesson, file=path), runs=3)


@pytest.mark.parametrize("name", sorted(shipped_lessons()))
def test_every_lesson_that_comes_along_happens_as_its_story_has_it(name):
    lesson, truth = told(name)
    assert truth.happened == len(truth.values) == 3
    assert truth.sum.unit == lesson.unit == truth.unit
    _, stopped = truth.first
    assert stopped.scenario.line.invented
    assert stopped.history is not None
    # The station stands for so long as the story says, and at that hour.
    spans = stopped.history.spans
    mine = spans.cause == stopped.causes.index(lesson.stop.cause)
    mine &= spans.state == State.DOWN
    mine &= spans.station == stopped.station(lesson.stop.station)
    stood = (spans.end_ns[mine] - spans.start_ns[mine]).sum() / 60e9
    assert stood == pytest.approx(lesson.stop.minutes, abs=1 / 60)
    assert spans.start_ns[mine].min() / 3600e9 == pytest.approx(lesson.stop.at_h, abs=1 / 180)
    # Nothing else stands near it.
    others = np.isin(spans.state, OWN_STATES) & (spans.end_ns > spans.start_ns)
    others &= spans.cause != stopped.causes.index(lesson.stop.cause)
    apart = np.abs(spans.start_ns[others] / 60e9 - lesson.stop.at_h * 60)
    assert apart.min(initial=np.inf) > 2
    # The webs run: no reel has just ended.
    minute_before = (lesson.stop.at_h * 60 - np.linspace(0.05, 0.95, 50)) * 60e9
    moves = np.searchsorted(stopped.history.speed_ns, minute_before, side="right") - 1
    assert (stopped.history.speed_um_per_ns[moves] > 0).all()


@pytest.mark.parametrize("name", sorted(shipped_lessons()))
def test_a_fan_begins_at_nothing_and_ends_at_what_is_lost(name):
    lesson, truth = told(name)
    fan = truth.fan
    assert fan.minutes[0] == 0
    assert fan.minutes[-1] == pytest.approx(60 * (lesson.hours - lesson.stop.at_h))
    # A stop is not felt before it begins.
    assert [reams[0] for reams in fan.reams] == [0, 0, 0]
    assert fan.reams[0][-1] == truth.first_disturbance.reams_lost
    if lesson.measure == "reams_lost":
        assert tuple(reams[-1] for reams in fan.reams) == truth.values
        mean = linesim.report.fan_means(fan)[-1]
        assert mean == truth.interval


def test_the_table_of_a_fan_has_every_run_beside_their_mean():
    fan = linesim.lessons.StopFan((0.0, 0.5), ((0, 10), (0, 14)))
    table = linesim.report.fan_table(fan)
    assert [column.heading for column in table.columns] == [
        "after the stop began, min", "mean, reams", "run 1, reams", "run 2, reams",
    ]  # fmt: skip
    after, mean, *runs = table.rows[1]
    assert (after, mean.mean, runs) == (0.5, 12, [10, 14])
    # Of one run there is no interval.
    alone = linesim.lessons.StopFan((0.0, 0.5), ((0, 10),))
    assert linesim.report.fan_table(alone).rows[1] == (0.5, None, 10)


def test_the_knives_stop_when_bridge_transfer_and_pockets_are_full():
    lesson, truth = told("1-wrapper-stands")
    line = truth.first[0].scenario
    # The sum has all the room that the story names: sets come whole, so it is out by one at most.
    assert "room before it for two more" in lesson.story.replace("\n", " ")
    assert "room before it: 2 sets of 5 = 10 reams" in truth.sum.steps
    assert truth.interval is not None
    assert abs(truth.interval.mean - truth.sum.value) < rated_set_ns(line) / 60e9
    assert truth.close(truth.sum.value, lesson.close_enough_percent)
    # Who leaves it out has half of the truth, as is said afterwards.
    without = truth.sum.value - 2 * rated_set_ns(line) / 60e9
    assert not truth.close(without, lesson.close_enough_percent)
    assert 0.5 < without / truth.interval.mean < 0.65
    knives = truth.first[1].station("cutter")
    (knives_reached,) = [r for r in truth.first_disturbance.reached if r.station == knives]
    assert knives_reached.state == State.BLOCKED
    assert len(knives_reached.starts_ns) == 1


def test_what_the_stop_cost_goes_on_from_when_the_knives_stopped():
    _, first = told("1-wrapper-stands")
    _, truth = told("2-what-it-cost")
    until = first.sum.steps[-1]
    assert until.startswith("time until the knives stop: ")
    assert until in truth.sum.steps
    # As is said afterwards: webs at half speed on average while they run down and up.
    line = truth.first[0].scenario
    speed = line.cutter.web_speed_m_per_min
    ramps = (line.cutter.run_down_m_per_min_per_s, line.cutter.run_up_m_per_min_per_s)
    rated = line.set_reams / (rated_set_ns(line) / 1e9)
    missing = sum(speed / ramp / 2 * rated for ramp in ramps)
    assert missing == pytest.approx(9, abs=0.5)
    assert truth.interval is not None
    assert truth.sum.value + missing == pytest.approx(
        truth.interval.mean, abs=truth.interval.half_width
    )


def test_a_stop_behind_the_wrappers_fills_the_room_before_it_first():
    text = LESSON.replace('station = "wrapper"', 'station = "outfeed"')
    text = text.replace('"reams_lost"', '"minutes_until_reached"\nreached_station = "cutter"')
    lesson = check_lesson_text(
        text.replace("knives_standing_times_rate", "free_places_over_inflow")
    )
    scenario = lesson_scenario(lesson)
    truth = lesson_truth(lesson, scenario, runs=2)
    assert "room behind the wrappers: 20 reams" in truth.sum.steps
    assert ("room behind the wrappers", "20 reams") in linesim.report.lesson_figures(
        lesson, scenario
    )
    assert truth.interval is not None
    assert truth.sum.value == pytest.approx(truth.interval.mean, abs=SET_S / 60)


def test_what_is_lost_is_what_the_knives_did_not_cut():
    lesson, truth = told("2-what-it-cost")
    assert truth.close(truth.sum.value, lesson.close_enough_percent)
    assert all(value > 0 for value in truth.values if value is not None)


def test_a_longer_bridge_holds_out_longer_by_its_places():
    lesson, truth = told("3-longer-bridge")
    _, short = told("1-wrapper-stands")
    assert truth.interval is not None
    assert short.interval is not None
    # In each replication, and in each by as much: what the further places hold.
    pairs = zip(truth.values, short.values, strict=True)
    longer = [long - other for long, other in pairs if long is not None and other is not None]
    assert len(longer) == len(truth.values)
    assert min(longer) > 0
    # Sets come whole: a replication differs from another by one at most.
    a_set = rated_set_ns(truth.first[0].scenario) / 60e9
    assert max(longer) - min(longer) < 1.1 * a_set
    assert truth.close(truth.sum.value, lesson.close_enough_percent)


def test_the_wrapper_lives_off_the_bridge_while_the_knives_stand():
    lesson, truth = told("4-knives-stand")
    assert truth.close(truth.sum.value, lesson.close_enough_percent)
    # As is said afterwards: what lies there once the webs have run down, over what is wrapped.
    assert "33 over 34 is 0.97" in lesson.afterwards
    began_h = (truth.first_disturbance.began_ns or 0) / 3600e9
    assert level_at(truth.first[1], lesson.stop.at_h) == 37
    assert level_at(truth.first[1], began_h) == 33
    assert truth.values[0] == pytest.approx(33 / 34, abs=1 / 34)


def test_the_free_stop_is_free():
    lesson, truth = told("5-free-stop")
    a_set = truth.first[0].scenario.set_reams
    assert all(abs(value) <= a_set for value in truth.values if value is not None)
    assert truth.sum.value == 0
    assert truth.sum.steps[-1] == "reams lost: none"
    assert lesson.stop.station == "cutter"
    wrapper = truth.first[1].station("wrapper")
    assert wrapper not in [each.station for each in truth.first_disturbance.reached]


def test_over_many_replications_the_line_is_as_it_is():
    lesson = check_lesson_text(LESSON)
    scenario = lesson_scenario(lesson)
    found = over_replications_of(lesson, scenario, replications=2)
    # By the end of a shift, with all that stops the line.
    assert found.hours == scenario.line.shift_hours == 8
    forced = linesim.scenario.ForcedStop(station="wrapper", at_h=0.5, minutes=4)
    without, with_it = (
        linesim.fast.simulate(scenario, history=False, hours=8, replication=1, forced=stops)
        for stops in ((), (forced,))
    )
    assert found.reams_lost[1] == without.books.reams.good - with_it.books.reams.good


def test_a_story_that_no_run_fits_is_said(monkeypatch):
    monkeypatch.setattr(truth_module, "MOST_TRIED", 2)
    lesson = check_lesson_text(LESSON + "\n[needs]\nbridge_at_least_reams = 2000\n")
    with pytest.raises(ValueError, match="in none of 2 replications"):
        lesson_truth(lesson, lesson_scenario(lesson), runs=1)


def test_a_single_ream_is_no_reams():
    assert amount(1, "reams") == "1 ream"
    lesson = check_lesson_text(LESSON)
    truth = lesson_truth(lesson, lesson_scenario(lesson), runs=2)
    assert "Your answer, 1 ream, is not close." in linesim.report.truth_words(lesson, truth, 1.0)
    # An answer far from all runs would leave a flat row of points: it is told, not drawn.
    most = max(value for value in truth.values if value is not None)
    near = linesim.report.each_run_chart(lesson, truth, 2 * most)
    far = linesim.report.each_run_chart(lesson, truth, 5000.0)
    assert [y for _, y in near.thin] == [2 * most] * 2
    assert (far.thin, far.points) == ((), near.points)
    assert far.caption.endswith(" Your answer, 5,000 reams, lies far above the picture.")


def test_a_stop_that_cost_a_ream_or_none_is_not_drawn_as_a_mountain():
    lesson = check_lesson_text(LESSON)
    truth = replace(
        lesson_truth(lesson, lesson_scenario(lesson), runs=2),
        values=(0.0, 1.0),
        interval=student_interval([0.0, 1.0]),
    )
    chart = linesim.report.each_run_chart(lesson, truth, 8.0)
    assert chart.y.unit == "reams"
    assert chart.ends[3] >= 10
    assert [y for _, y in chart.thin] == [8.0, 8.0]
    many = linesim.report.each_run_chart(lesson, replace(truth, values=(90.0, 99.0)), 95.0)
    assert many.heights == ()


@pytest.mark.parametrize("asked", ["free_places_over_inflow", "knives_standing_times_rate"])
def test_a_bridge_that_is_full_already_has_no_free_places(asked):
    lesson = check_lesson_text(LESSON.replace("knives_standing_times_rate", asked))
    scenario = lesson_scenario(lesson)
    record = linesim.fast.simulate(scenario, hours=1)
    level = int(record.history.bridge_level()[1].max())
    full = linesim.scenario.check_text(
        linesim.scenario.update(
            linesim.scenario.find_scenario("short-bridge").read_text(encoding="utf-8"),
            {"bridge.stop_at_reams": 2, "bridge.restart_at_reams": 1},
        )
    )
    assert level > 2
    found = linesim.lessons.worked_sum(lesson, full, [record])
    # No difference that does not come out: 2 less what stands there is below 0.
    assert not any("- " in step and "= 0.0" in step for step in found.steps)
    assert "free places: none, it is full already (stop level: 2)" in found.steps
    rate = next(each.rated for each in linesim.record.line_rates(full) if each.station == "sheeter")
    assert found.value == pytest.approx(0 if found.unit == "min" else 4 * rate)


def test_a_text_that_is_missing_is_asked_for_in_its_own_length():
    with pytest.raises(linesim.scenario.ScenarioFaults) as caught:
        check_lesson_text(LESSON.replace('afterwards = "That is all."\n', ""))
    (fault,) = caught.value.faults
    assert fault.would_be_right == "text in quotes, 1 to 2,000 characters"


def test_lessons_are_no_scenarios():
    assert shipped_lessons()
    assert not set(shipped_lessons()) & set(linesim.scenario.shipped_scenarios())


def test_every_fault_is_named_with_its_line():
    bad = LESSON.replace('measure = "reams_lost"', 'measure = "reams lost"')
    bad = bad.replace("minutes = 4", "minutes = -4").replace('title = "A stop"\n', "")
    with pytest.raises(linesim.scenario.ScenarioFaults) as caught:
        check_lesson_text(bad, file="my.toml")
    found = {fault.field: fault for fault in caught.value.faults}
    assert set(found) == {"title", "measure", "stop.minutes"}
    assert found["measure"].line == 6
    assert "reams_lost" in found["measure"].would_be_right
    assert found["stop.minutes"].problem == "is too small"


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        (("at_h = 0.5", "at_h = 2"), "stop.at_h", "after the run has ended"),
        (('station = "wrapper"', 'station = "wraper"'), "stop.station", "no station"),
        (('scenario = "short-bridge"', 'scenario = "nowhere"'), "scenario", "no usable line"),
        (("reams_lost", "minutes_until_reached"), "measure", "which station"),
    ],
)
def test_what_does_not_fit_the_line_is_said(change, field, words):
    with pytest.raises(linesim.scenario.ScenarioFaults) as caught:
        check_lesson_text(LESSON.replace(*change))
    fault = next(each for each in caught.value.faults if each.field == field)
    assert words in fault.problem


def test_a_change_that_names_nothing_or_breaks_the_line_is_said():
    for changes, words in (
        ('"bridge.plases" = 40', "no usable line"),
        ('"bridge.places" = -1', "no usable line"),
        ('"bridge..x" = 1', "names no field"),
    ):
        with pytest.raises(linesim.scenario.ScenarioFaults) as caught:
            check_lesson_text(LESSON + f"\n[changes]\n{changes}\n")
        assert words in str(caught.value)


def test_sum_and_truth_agree_where_the_sum_is_exact(tmp_path):
    # Nothing happens on this line: the knives stop after free places over inflow, up to a set.
    (tmp_path / "calm.toml").write_text(linesim.scenario.dump(calm()), encoding="utf-8")
    text = LESSON.replace('"short-bridge"', '"calm.toml"').replace("minutes = 4", "minutes = 5")
    text = text.replace('"reams_lost"', '"minutes_until_reached"\nreached_station = "cutter"')
    text = text.replace("knives_standing_times_rate", "free_places_over_inflow")
    text = text.replace("hours = 1", "hours = 0.3").replace("at_h = 0.5", "at_h = 0.1")
    path = tmp_path / "lesson.toml"
    path.write_text(text, encoding="utf-8")
    lesson = load_lesson(path)
    truth = lesson_truth(lesson, lesson_scenario(lesson, file=path), runs=2)
    assert truth.interval is not None
    # A set under way and one in the pockets still find room.
    assert truth.sum.value == pytest.approx((100 + 2 * 4) / 32, abs=4 / 32)
    assert truth.interval.mean == pytest.approx(truth.sum.value, abs=1.1 * SET_S / 60)
    assert truth.close(truth.interval.mean * 1.2, percent=25)
    assert not truth.close(truth.interval.mean * 1.5, percent=25)


def test_a_truth_that_is_stopped_rests_on_what_it_has():
    lesson = check_lesson_text(LESSON)
    scenario = lesson_scenario(lesson)
    truth = lesson_truth(lesson, scenario, runs=5, progress=lambda done, asked: done < 2)
    whole = lesson_truth(lesson, scenario, runs=2)
    assert truth.values == whole.values
    assert len(truth.values) == 2
