"""What a forced stop did, said in sentences that anyone on the floor understands."""

from __future__ import annotations

from dataclasses import replace

from linesim.fast import simulate
from linesim.record.disturbance import disturbance
from linesim.report.disturbance_in_words import disturbance_words
from linesim.scenario import ForcedStop, Scenario
from linesim.scenario.units import SECOND
from tests.line.calm_line import calm


def said(scenario: Scenario, station: str, minutes: float, hours: float = 0.5) -> tuple[str, ...]:
    forced = ForcedStop(station=station, at_h=0.1, minutes=minutes)
    quiet = simulate(scenario, hours=hours)
    record = simulate(scenario, hours=hours, forced=(forced,))
    words = disturbance_words(record, disturbance(quiet, record, forced))
    assert "this one shift" in words[-1]
    return words[:-1]


def test_a_long_stop_is_told_from_first_to_last() -> None:
    made = simulate(calm(), hours=0.5).books.reams.good
    assert said(calm(), "wrapper", 5) == (
        "The wrapper stood for 5 min from 0:06:00 (forced stop).",
        f"It cost 60 reams: {made - 60:,} instead of {made:,} good reams by the end of the run.",
        "The transfer was blocked 3 min 10 s later, for 1 min 51 s in all.",
        "The knives were blocked 3 min 15 s later, for 1 min 45 s in all.",
        "The bridge had no room for another set 3 min 3 s later, at 0:09:03.",
        "From 0:14:29, 3 min 29 s after the stop was over, the line ran as without it,"
        " only 1 min 50 s later.",
    )


def test_a_time_since_the_stop_agrees_with_the_clock_beside_it() -> None:
    """From 0:11:00.0 to 0:14:29.6 would be 3 min 30 s: beside 0:14:29 that is a sum gone wrong."""
    forced = ForcedStop(station="wrapper", at_h=0.1, minutes=5)
    runs = simulate(calm(), hours=0.5), simulate(calm(), hours=0.5, forced=(forced,))
    found = disturbance(*runs, forced)
    assert found.in_step_ns is not None
    later = replace(found, in_step_ns=found.in_step_ns // SECOND * SECOND + SECOND * 6 // 10)
    words = disturbance_words(runs[1], later)
    assert "From 0:14:29, 3 min 29 s after the stop was over" in words[-2]


def test_a_swallowed_stop_is_told_as_one() -> None:
    words = said(calm(), "wrapper", 2)
    assert words[1].startswith("It cost no ream: ")
    assert words[2] == "No other station waited for it: the line swallowed the stop."
    assert words[3].endswith("the line ran as if nothing had happened.")


def test_the_parts_of_the_sheeter_are_not_told_one_by_one() -> None:
    words = said(calm(), "cutter", 2)
    assert words[0] == "The knives stood for 2 min from 0:06:00 (forced stop)."
    assert words[2] == "The transfer was starved at once, for 2 min in all."
    assert words[4] == "The bridge had run empty at once, at 0:06:00."
    assert not any("unwind" in sentence or "gate" in sentence for sentence in words)


def test_a_stop_never_made_good_and_one_never_seen() -> None:
    slow = calm(wrapper=[{"rate_reams_per_min": 32}])
    assert said(slow, "wrapper", 2)[-1] == (
        "The line had not forgotten the stop by the end of the run; reams then came 2 min later."
    )
    hidden = calm(break_=[{"start_h": 0.08, "minutes": 5}])
    assert said(hidden, "wrapper", 1)[0] == (
        "The wrapper already stood at 0:06:00, or the run was over: the forced stop is not to be"
        " seen."
    )
    # From 4 min 48 s to 9 min 48 s is the break; the stop ends 8 min after it was due.
    assert said(hidden, "wrapper", 8)[0] == (
        "The wrapper stood for 4 min 12 s from 0:09:48 (forced stop): it was due at 0:06:00,"
        " when the station stood already."
    )


def test_webs_that_run_down_have_not_stood_already() -> None:
    ramps = calm(cutter={"run_down_m_per_min_per_s": 20})
    assert said(ramps, "cutter", 2)[0] == (
        f"The knives stood for 2 min from 0:06:{ramps.cutter.web_speed_m_per_min / 20:02.0f}"
        " (forced stop); the webs began to run down at 0:06:00."
    )


def test_a_bridge_with_a_stop_level_comes_to_it() -> None:
    # 24 reams are 45 s of the sheeter, and a set comes down every 7.5 s.
    levels = calm(bridge={"stop_at_reams": 24, "restart_at_reams": 8})
    assert any(
        "The bridge had come to its stop level, 24 reams, " in each
        for each in said(levels, "wrapper", 5)
    )


def test_what_put_the_line_out_of_step_again_is_told_too() -> None:
    check = {"station": "cutter", "cause": "check", "every_clock_h": 0.4, "restore_min": 3}
    words = said(calm(stop=[check | {"people": 0}]), "wrapper", 5, hours=0.7)
    assert words[-2].endswith("the line ran as without it, only 1 min 50 s later.")
    assert words[-1].startswith("Then something (people, a reel, a stop by the clock) met it")
    assert words[-1].endswith("of the run it ran as without it, only 1 min 50 s later.")
    words = said(calm(stop=[check | {"people": 0}]), "wrapper", 5, hours=0.5)
    # 15 sets that came before the check without the stop come after its 3 min with it.
    assert "and it was not in step by the end of the run" in words[-1]
    assert words[-1].endswith("; reams then came 4 min 50 s later.")
