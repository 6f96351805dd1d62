"""Reels: when they run out, the three ways of changing them, and webs that break."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.record import State
from linesim.scenario import ForcedStop
from tests.line.calm_line import (
    CUT_M,
    METRE,
    REEL_M,
    SPEED_M_PER_S,
    calm,
    one_web,
    seconds_in,
    spans_of,
    stop,
    stops_of,
)

REEL_S = REEL_M / SPEED_M_PER_S
"""A fresh reel lasts 1943.86 s."""
PAIRED = {"stands_per_web": 2, "splice_people": 0, "prepare_people": 0, "splice_min": 1}


def test_a_standing_change_stops_the_line_once_for_each_reel_that_runs_out() -> None:
    """Reels run out at 1943.86 s + k x 2543.86 s: five times in 4 h, 10 min each."""
    record = simulate(one_web(), hours=4)
    assert stops_of(record, "unwind", "reel change") == (5, 3000.0)
    assert seconds_in(record, "unwind", State.CHANGEOVER) == 3000.0
    assert seconds_in(record, "cutter", State.STARVED) == 3000.0
    assert record.books.web_um == pytest.approx((14_400 - 3000) * SPEED_M_PER_S * METRE, abs=10)
    assert record.books.paper.butts == 0
    assert record.books.paper.loaded == 5 * round(REEL_M * METRE)


def test_a_butt_is_left_on_every_core() -> None:
    record = simulate(one_web(unwind={"butt_length_m": 15}), hours=4)
    (count, _) = stops_of(record, "unwind", "reel change")
    assert count == 5
    assert record.books.paper.butts == count * 15 * METRE


@pytest.mark.parametrize(("crew", "minutes"), [(5, 10), (3, 20), (2, 30), (1, 50)])
def test_fresh_reels_run_out_together_and_are_changed_by_as_many_as_there_are(
    crew: int, minutes: int
) -> None:
    """Five reels of 10 min each, one person a reel, in one stop of the line."""
    hours = (REEL_S + minutes * 60 + 100) / 3600
    record = simulate(calm(unwind={"change_people": 1}, crew={"size": crew}), hours=hours)
    assert stops_of(record, "unwind", "reel change") == (1, minutes * 60.0)


def test_staggered_reels_run_out_one_after_the_other() -> None:
    """Reels of 1/5, 2/5 ... of 7775 m: with 1 min each, the first lap takes five stops."""
    scenario = calm(reels={"at_start": "staggered"}, unwind={"change_min": 1})
    record = simulate(scenario, hours=(REEL_S + 5 * 60) / 3600)
    begins = [s[0] for s in spans_of(record, "unwind") if s[2] == State.CHANGEOVER]
    assert begins == pytest.approx([k * REEL_S / 5 + (k - 1) * 60 for k in range(1, 6)], abs=1e-3)


def test_reels_that_are_nearly_empty_are_changed_in_the_same_stop() -> None:
    """Two webs, one reel half: at 3888 m the other has 3888 m left, less than 4000 m."""
    two = {"webs": 2, "change_min": 1}
    apart = calm(unwind=two, reels={"at_start": "staggered"})
    together = apart.varied(unwind={"change_together_below_m": 4000})
    hours = 2.1 * REEL_S / 3600
    record = simulate(together, hours=hours)
    assert stops_of(record, "unwind", "reel change")[0] == 2
    assert record.books.paper.butts == pytest.approx(REEL_M / 2 * METRE, abs=10)
    assert stops_of(simulate(apart, hours=hours), "unwind", "reel change")[0] == 4


def test_a_standstill_splice_waits_for_a_stand_that_is_not_prepared() -> None:
    """Prepared from 2003.86 s to 4403.86 s; the reel runs out at 3947.73 s: 456.14 s of waiting."""
    unwind = PAIRED | {"change": "standstill_splice", "prepare_min": 40}
    record = simulate(one_web(unwind=unwind), hours=1.3)
    waited = 2400 - REEL_S
    assert seconds_in(record, "unwind", State.WAITING_REEL) == pytest.approx(waited, abs=1e-3)
    assert stops_of(record, "unwind", "splice")[0] == 2
    assert seconds_in(record, "unwind", State.CHANGEOVER) == 120.0


def test_a_prepared_standstill_splice_waits_for_nothing() -> None:
    unwind = PAIRED | {"change": "standstill_splice", "prepare_min": 9}
    record = simulate(one_web(unwind=unwind), hours=1.3)
    assert seconds_in(record, "unwind", State.WAITING_REEL) == 0
    assert stops_of(record, "unwind", "splice") == (2, 120.0)


def test_a_flying_splice_onto_a_prepared_reel_does_not_stop_the_webs() -> None:
    """It slows them to 120 m/min for 1 m before it and 20 m after it: 10.5 s instead of 5.25."""
    unwind = PAIRED | {"change": "flying_splice", "prepare_min": 9, "splice_speed_m_per_min": 120}
    record = simulate(one_web(unwind=unwind), hours=4)
    count, stood = stops_of(record, "unwind", "splice")
    assert count == 7  # 14,400 s / (1943.86 s + 5.25 s)
    assert stood == 0
    assert seconds_in(record, "unwind", State.SLOWED) == pytest.approx(10.5 * count, abs=1e-3)
    assert seconds_in(record, "unwind", State.RUNNING) == pytest.approx(14_400 - 73.5, abs=1e-3)
    assert record.books.paper.butts == pytest.approx(0, abs=10 * count)


@pytest.mark.parametrize("butt_m", [0, 15, 41.5])
@pytest.mark.parametrize("prepare_min", [9, (1943 - 40) / 60])
def test_a_flying_splice_leaves_what_is_meant_to_be_left_and_no_paper_to_stop_in(
    butt_m: float, prepare_min: float
) -> None:
    """From 240 m/min at 6 m/min per s the webs need 80 m to a stand; nothing of it is kept back."""
    unwind = PAIRED | {
        "change": "flying_splice",
        "prepare_min": prepare_min,
        "splice_speed_m_per_min": 60,
        "butt_length_m": butt_m,
    }
    ramps = {"run_up_m_per_min_per_s": 6, "run_down_m_per_min_per_s": 6}
    record = simulate(one_web(unwind=unwind, cutter=ramps), hours=3)
    count, stood = stops_of(record, "unwind", "splice")
    assert (count, stood) == (5, 0)
    assert record.books.paper.butts == pytest.approx(count * butt_m * METRE, abs=10 * count)


def test_webs_that_stop_as_a_flying_splice_is_due_are_spliced_on_the_way() -> None:
    """At 1 m/s2 they begin to slow for it 7 m before the end, at 1942.11 s, and have 2 m/s at
    1944.11 s; stopped half a metre later they would run 2 m more, past the last half metre."""
    unwind = PAIRED | {"change": "flying_splice", "splice_speed_m_per_min": 120}
    ramps = {"run_down_m_per_min_per_s": 60}
    forced = [ForcedStop(station="slitter", at_h=1944.36 / 3600, minutes=2)]
    record = simulate(one_web(unwind=unwind, cutter=ramps), hours=0.6, forced=forced)
    assert stops_of(record, "unwind", "splice") == (1, 0)
    assert record.books.paper.butts == pytest.approx(0, abs=10)
    standing = [s for s in spans_of(record, "slitter") if s[2] == State.DOWN]
    assert standing[0][0] == pytest.approx(1946.36, abs=1e-3)


def test_a_flying_splice_without_a_prepared_reel_becomes_a_wait_for_a_reel() -> None:
    unwind = PAIRED | {"change": "flying_splice", "prepare_min": 40}
    record = simulate(one_web(unwind=unwind), hours=1.3)
    assert seconds_in(record, "unwind", State.WAITING_REEL) > 400
    assert seconds_in(record, "unwind", State.CHANGEOVER) == 60.0


@pytest.mark.parametrize("change", ["standstill_splice", "flying_splice"])
def test_a_failed_splice_is_a_web_break(change: str) -> None:
    web_path = {"rethread_held_min": 3, "rethread_people": 0, "clamp_holds_chance": 1}
    unwind = PAIRED | {"change": change, "prepare_min": 1, "splice_fail_chance": 1}
    record = simulate(one_web(unwind=unwind, web_path=web_path), hours=3)
    splices, _ = stops_of(record, "unwind", "splice")
    breaks, seconds = stops_of(record, "web_path", "web break")
    assert splices == breaks > 2
    assert (breaks - 1) * 180 < seconds <= breaks * 180 + 1e-6  # the run may end in the last one


@pytest.mark.parametrize(("chance", "seconds"), [(1, 120.0), (0, 600.0)])
def test_the_clamp_decides_how_long_re_threading_takes(chance: int, seconds: float) -> None:
    web_path = {
        "breaks_per_100_reels": 500,
        "clamp_holds_chance": chance,
        "rethread_held_min": 2,
        "rethread_lost_min": 10,
        "rethread_people": 0,
        "path_length_m": 18,
    }
    record = simulate(calm(web_path=web_path), hours=1, seed=3)
    standing = [s for s in spans_of(record, "web_path") if s[2] == State.DOWN]
    assert len(standing) > 1
    whole = [end - start for start, end, *_ in standing if end < 3600]
    assert whole == pytest.approx([seconds] * len(whole), abs=1e-6)


def test_a_break_loses_the_paper_in_the_machine_on_every_web() -> None:
    """5 webs x 18 m, and the cuts that had begun."""
    web_path = {
        "breaks_per_100_reels": 500,
        "rethread_held_min": 2,
        "rethread_lost_min": 2,
        "rethread_people": 0,
        "path_length_m": 18,
    }
    record = simulate(calm(web_path=web_path), hours=1, seed=3)
    count, _ = stops_of(record, "web_path", "web break")
    begun = record.books.paper.broken - count * 5 * 18 * METRE
    assert count > 1
    assert 0 <= begun < count * 5 * CUT_M * METRE


def test_breaks_come_sooner_at_higher_speed() -> None:
    """With a rate that grows as v, webs at half the reference speed run twice as far to a break."""

    def first_break_m(reference_m_per_min: float) -> float:
        web_path = {
            "breaks_per_100_reels": 800,
            "speed_exponent": 1,
            "rethread_people": 0,
            "speed_reference_m_per_min": reference_m_per_min,
            "rethread_held_min": 600,
            "rethread_lost_min": 600,
            "path_length_m": 0,
        }
        record = simulate(one_web(web_path=web_path), hours=2, seed=5)
        return record.books.web_um / METRE

    assert first_break_m(480) == pytest.approx(2 * first_break_m(240), rel=1e-6)


def test_a_reel_emptied_by_lost_paper_is_changed_before_the_webs_move() -> None:
    """The stop at 0.1 h loses more paper than is left: all reels are changed in the same stand."""
    lost = stop("cutter", every_clock_h=0.1, restore_min=2, spoils_web_m=9000)
    record = simulate(one_web(stop=[lost]), hours=0.15)
    assert stops_of(record, "unwind", "reel change")[0] == 1
    assert record.books.paper.spoiled == pytest.approx(
        (REEL_M - 360 * SPEED_M_PER_S) * METRE, abs=10
    )
    assert record.books.paper.butts == 0
    assert record.books.web_um == pytest.approx(360 * SPEED_M_PER_S * METRE, abs=10)


def test_a_spread_of_diameters_gives_every_reel_its_own_length() -> None:
    record = simulate(one_web(reels={"diameter_sd_mm": 20}, unwind={"change_min": 1}), hours=8)
    assert record.history is not None
    begun = record.history.reel_left_um.tolist()
    assert len(set(begun)) > 8
    assert record.books.paper.loaded == sum(begun[1:])
