"""Lessons: files are checked, the sum uses the line's own numbers, the truth is simulated."""

from __future__ import annotations

import pytest

import linesim
from linesim.lessons import (
    check_lesson_text,
    lesson_scenario,
    lesson_truth,
    load_lesson,
    shipped_lessons,
)
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


@pytest.mark.parametrize("name", sorted(shipped_lessons()))
def test_every_lesson_that_comes_along_runs(name):
    path = shipped_lessons()[name]
    lesson = load_lesson(path)
    scenario = lesson_scenario(lesson, file=path)
    assert scenario.line.invented
    truth = lesson_truth(
        lesson.model_copy(update={"hours": lesson.stop.at_h + 0.3}), scenario, runs=1
    )
    assert truth.sum.unit == lesson.unit == truth.unit
    assert truth.first[1].history is not None


def test_lessons_are_no_scenarios():
    assert shipped_lessons()
    assert not set(shipped_lessons()) & set(linesim.shipped_scenarios())


def test_every_fault_is_named_with_its_line():
    bad = LESSON.replace('measure = "reams_lost"', 'measure = "reams lost"')
    bad = bad.replace("minutes = 4", "minutes = -4").replace('title = "A stop"\n', "")
    with pytest.raises(linesim.ScenarioFaults) as caught:
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
    with pytest.raises(linesim.ScenarioFaults) as caught:
        check_lesson_text(LESSON.replace(*change))
    fault = next(each for each in caught.value.faults if each.field == field)
    assert words in fault.problem


def test_a_change_that_names_nothing_or_breaks_the_line_is_said():
    for changes, words in (
        ('"bridge.plases" = 40', "no usable line"),
        ('"bridge.places" = -1', "no usable line"),
        ('"bridge..x" = 1', "names no field"),
    ):
        with pytest.raises(linesim.ScenarioFaults) as caught:
            check_lesson_text(LESSON + f"\n[changes]\n{changes}\n")
        assert words in str(caught.value)


def test_sum_and_truth_agree_where_the_sum_is_exact(tmp_path):
    # Nothing happens on this line: the knives stop after free places over inflow, up to a set.
    (tmp_path / "calm.toml").write_text(linesim.dump(calm()), encoding="utf-8")
    text = LESSON.replace('"short-bridge"', '"calm.toml"').replace("minutes = 4", "minutes = 5")
    text = text.replace('"reams_lost"', '"minutes_until_reached"\nreached_station = "cutter"')
    text = text.replace("knives_standing_times_rate", "free_places_over_inflow")
    text = text.replace("hours = 1", "hours = 0.3").replace("at_h = 0.5", "at_h = 0.1")
    path = tmp_path / "lesson.toml"
    path.write_text(text, encoding="utf-8")
    lesson = load_lesson(path)
    truth = lesson_truth(lesson, lesson_scenario(lesson, file=path), runs=2)
    assert truth.interval is not None
    assert truth.sum.value == pytest.approx(100 / 32, abs=4 / 32)
    # A set under way and one in the pockets still find room.
    assert truth.interval.mean == pytest.approx(truth.sum.value, abs=2.5 * SET_S / 60)
    assert truth.close(truth.interval.mean * 1.2, percent=25)
    assert not truth.close(truth.interval.mean * 1.5, percent=25)


def test_a_truth_that_is_stopped_rests_on_what_it_has():
    lesson = check_lesson_text(LESSON)
    scenario = lesson_scenario(lesson)
    truth = lesson_truth(lesson, scenario, runs=5, progress=lambda done, asked: done < 2)
    whole = lesson_truth(lesson, scenario, runs=2)
    assert truth.values == whole.values
    assert len(truth.values) == 2
