"""Reels that went on together are changed together, unless something else is said."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.fast import simulate
from linesim.line.assembly import site_of
from linesim.line.chance import Chance
from linesim.line.reels import ReelStore
from linesim.line.stand import part_at_start
from linesim.record.web_stops import reel_loads
from linesim.report.start_words import start_words
from linesim.scenario import Scenario
from linesim.scenario.reels_together import together_below_m
from linesim.studies.levers import levers_of
from tests.line.calm_line import METRE, REEL_M, SPEED_M_PER_S, calm, stops_of

SPREAD = {"diameter_sd_mm": 15}
ALONE = {"change_min": 1, "change_together_below_m": 0}
H = 3600


def line(unwind: dict[str, Any] | None = None, **reels: Any) -> Scenario:
    return calm(reels=SPREAD | reels, unwind={"change_min": 1} | (unwind or {}))


def lengths_um(scenario: Scenario, seed: int, reel: int) -> list[int]:
    return [
        ReelStore(scenario, Chance(seed, 0), web).reel(reel, 100).length_um
        for web in range(scenario.unwind.webs)
    ]


def test_all_are_changed_when_the_first_runs_out_and_the_rest_of_the_others_is_lost() -> None:
    """Each time the shortest of five is run to its end; what the others hold more are butts."""
    scenario, seed = line(), 4
    laps = [lengths_um(scenario, seed, reel) for reel in range(5)]
    hours = (sum(min(lap) for lap in laps) / METRE / SPEED_M_PER_S + 5 * 60 + 10) / H
    record = simulate(scenario, hours=hours, seed=seed)
    assert stops_of(record, "unwind", "reel change") == (5, pytest.approx(300, abs=1e-6))
    lost = sum(sum(lap) - 5 * min(lap) for lap in laps)
    assert record.books.paper.butts == pytest.approx(lost, abs=5 * 5 * 5)
    assert lost > 5 * 500 * METRE


def test_0_changes_each_by_itself() -> None:
    together, alone = (
        stops_of(simulate(each, hours=8, seed=4), "unwind", "reel change")[0]
        for each in (line(), line(ALONE))
    )
    assert alone > 4 * together > 0


def test_staggered_reels_are_not_thrown_away_with_the_first() -> None:
    """A fifth of a reel, 1,555 m, is more than reels of one lap differ by (943 m)."""
    scenario = line(at_start="staggered", diameter_sd_mm=10)
    assert together_below_m(scenario) == 943
    record = simulate(scenario, hours=0.5, seed=4)
    assert stops_of(record, "unwind", "reel change")[0] > 2
    assert record.books.paper.butts < 10


def test_what_a_break_takes_does_not_part_them() -> None:
    """The first reel is too short to be threaded again: the others have 30 m of path and 40 m of
    run-down and butt more at most than they differ by."""
    scenario = calm(
        reels=SPREAD,
        unwind={"change_min": 1, "butt_length_m": 25},
        cutter={"run_down_m_per_min_per_s": 32},
        web_path={
            "path_length_m": 30,
            "breaks_per_100_reels": 900,
            "rethread_held_min": 0.1,
            "rethread_lost_min": 0.1,
            "rethread_people": 0,
        },
    )
    for seed in range(8):
        record = simulate(scenario, hours=7, seed=seed)
        stops, _ = stops_of(record, "unwind", "reel change")
        assert stops > 1
        reels = record.books.paper.loaded / (REEL_M * METRE)
        assert reels == pytest.approx(5 * stops, abs=0.6), "whole laps of five reels"


def test_a_line_is_found_with_all_reels_unwound_alike() -> None:
    """They went on together: all have run the same length, at most that of the shortest."""
    scenario = line().varied(start={"state": "as_found", "run_in_h": 0})
    for seed in range(5):
        chance = Chance(seed, 0)
        site = site_of(scenario, chance)
        lengths = lengths_um(scenario, seed, 0)
        run = [(1 - part_at_start(site, web)) * each for web, each in enumerate(lengths)]
        assert run == pytest.approx([run[0]] * 5, abs=1)
        assert 0 <= run[0] <= min(lengths)
    hours = min(lengths) / METRE / SPEED_M_PER_S / H
    record = simulate(scenario, hours=hours, seed=4)
    assert stops_of(record, "unwind", "reel change")[0] == 1
    assert "alike" in start_words(scenario)


def test_said_at_random_each_is_by_itself() -> None:
    scenario = line(at_start="random")
    site = site_of(scenario, Chance(1, 0))
    assert len({part_at_start(site, web) for web in range(5)}) == 5
    assert "alike" not in start_words(scenario)


@pytest.mark.parametrize(
    ("unwind", "expected"),
    [
        # Diameters of 955 to 1,045 mm: pi / 4 x (1045^2 - 955^2) / 100 = 1,413.7 m of 0.1 mm.
        ({}, 1414),
        ({"butt_length_m": 25}, 1439),
        ({"change_together_below_m": 600}, 600),
        ({"change_together_below_m": 0}, 0),
        ({"webs": 1}, 0),
        ({"change": "standstill_splice", "stands_per_web": 2}, 0),
    ],
)
def test_how_much_may_be_left(unwind: dict[str, Any], expected: float) -> None:
    assert together_below_m(line(unwind)) == expected


def test_thicker_paper_differs_by_less() -> None:
    assert together_below_m(line(), 200) == 707


def test_rates_know_that_one_stop_serves_all() -> None:
    """Two people, five reels of 6 min: three turns. The shortest of five is to be expected
    1.18 spreads of pi x 1000 x 15 / 0.2 = 235.6 m below the mean of 7,775 m."""
    scenario = line({"change_min": 6, "change_people": 1}).varied(crew={"size": 2})
    change, *_ = reel_loads(scenario, 240)
    lap_min = (7775.44 - 1.18 * 235.6) / 240
    assert change.stops_per_running_min == pytest.approx(1 / lap_min, rel=1e-3)
    assert change.per_running_min == pytest.approx(18 / lap_min, rel=1e-3)
    record = simulate(scenario, hours=300, seed=1, history=False)
    stops, seconds = stops_of(record, "unwind", "reel change")
    running_min = 300 * 60 - seconds / 60
    assert stops / running_min == pytest.approx(change.stops_per_running_min, rel=0.01)
    assert seconds / 60 / running_min == pytest.approx(change.per_running_min, rel=0.01)


def test_a_lever_that_does_not_touch_it_leaves_it_unsaid() -> None:
    scenario = line()
    levers = {each.key: each.steps for each in levers_of(scenario)}
    longer = levers["longer_bridge"][0].change(scenario)
    assert longer.unwind.change_together_below_m is None
    one_by_one = levers["change_together"][0].change(scenario)
    assert one_by_one.unwind.change_together_below_m == 0
