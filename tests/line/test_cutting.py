"""Speed, ramps, rejects, counting: what passes the knives and what becomes of it."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.line.chance import Chance
from linesim.line.reels import ReelStore
from linesim.record import State
from linesim.scenario import ForcedStop
from linesim.scenario.goods import goods_of
from tests.line.calm_line import (
    CUT_M,
    METRE,
    SET_S,
    calm,
    one_web,
    seconds_in,
    spans_of,
    stop,
    stops_of,
)


def test_the_calm_line_makes_a_set_every_seven_and_a_half_seconds() -> None:
    record = simulate(calm(), hours=0.5)
    assert record.history is not None
    full = record.history.set_full_ns / 1e9
    assert full == pytest.approx([SET_S * (k + 1) for k in range(len(full))], abs=1e-6)
    # 1800 s / 7.5 s: the last set is full as the run ends.
    assert record.books.reams.made in (239 * 4, 240 * 4)
    assert seconds_in(record, "cutter", State.RUNNING) == 1800


def test_webs_gain_and_lose_speed_evenly() -> None:
    """240 m/min at 8 m/min per s: 30 s and 60 m up; at 16: 15 s and 30 m down.

    Up to 30 s, steady to 1800 s, down to 1815 s, standing for 600 s, up to 2445 s, steady to 3600.
    """
    ramps = {"run_up_m_per_min_per_s": 8, "run_down_m_per_min_per_s": 16}
    forced = ForcedStop(station="cutter", at_h=0.5, minutes=10)
    scenario = calm(cutter=ramps, reels={"diameter_mm": 2000}, unwind={"stand_limit_kg": 20000})
    record = simulate(scenario, hours=1, forced=[forced])
    metres = 60 + 1770 * 4 + 30 + 60 + 1155 * 4
    assert record.books.web_um == pytest.approx(metres * METRE, abs=20)
    assert seconds_in(record, "cutter", State.SLOWED) == pytest.approx(75, abs=1e-6)
    assert stops_of(record, "cutter", "forced stop") == (1, pytest.approx(600, abs=1e-6))


@pytest.mark.parametrize(("most", "cuts_per_min"), [(1200, 800), (400, 400)])
def test_the_slower_of_web_and_knives_sets_the_speed(most: int, cuts_per_min: int) -> None:
    record = simulate(calm(cutter={"max_cuts_per_min": most}), hours=0.25)
    assert record.books.cuts == pytest.approx(cuts_per_min * 15, abs=1)


def test_rejects_after_a_stop_are_counted_exactly_and_delay_the_ream() -> None:
    """Two stops, 20 cuts each (1.5 s): 40 cuts gone, and every later set 3 s later."""
    forced = [ForcedStop(station="gate", at_h=at, minutes=1) for at in (0.1, 0.2)]
    plain = simulate(calm(), hours=0.5, forced=forced)
    record = simulate(calm(gate={"cuts_after_stop": 20}), hours=0.5, forced=forced)
    assert record.books.paper.rejected == {"after_stop": 40 * 5 * round(CUT_M * METRE)}
    assert record.history is not None
    assert plain.history is not None
    later = record.history.set_full_ns[100:200] - plain.history.set_full_ns[100:200]
    assert later / 1e9 == pytest.approx(3.0, abs=1e-6)


def test_cuts_spoiled_by_a_stop_come_on_top() -> None:
    spoiling = stop("overlap_belt", every_running_h=0.1, spoils_cuts=30)
    record = simulate(calm(gate={"cuts_after_stop": 20}, stop=[spoiling]), hours=0.25)
    cut = 5 * round(CUT_M * METRE)
    assert record.books.paper.rejected == {"after_stop": 2 * 20 * cut, "spoiled": 2 * 30 * cut}


def test_a_splice_rejects_the_cuts_around_it() -> None:
    unwind = {
        "change": "standstill_splice",
        "stands_per_web": 2,
        "splice_people": 0,
        "prepare_people": 0,
        "splice_min": 1,
        "prepare_min": 1,
    }
    scenario = one_web(unwind=unwind, gate={"cuts_per_splice": 10}, web_path={"path_length_m": 18})
    record = simulate(scenario, hours=2)
    count, _ = stops_of(record, "unwind", "splice")
    assert count == 3
    assert record.books.paper.rejected == {"splice": count * 10 * round(CUT_M * METRE)}


def test_reels_changed_in_one_stop_reject_their_cuts_once() -> None:
    """Two webs run out together: their joints come to the gate side by side."""
    both = calm(unwind={"webs": 2}, gate={"cuts_per_splice": 10})
    apart = both.varied(reels={"at_start": "staggered"})
    for line, stands in ((both, 1), (apart, 2)):
        record = simulate(line, hours=0.9)
        assert stops_of(record, "unwind", "reel change")[0] == stands
        assert record.books.paper.rejected == {"splice": stands * 10 * 2 * round(CUT_M * METRE)}


def test_a_mill_joint_is_rejected_at_the_gate() -> None:
    """Every joint takes its 6 cuts when it has come from the reel to the gate."""
    scenario = one_web(
        reels={"mill_joints_per_reel": 5, "at_start": "fresh"}, gate={"cuts_per_joint": 6}
    )
    record = simulate(scenario, hours=0.5, seed=2)
    joints, rest = divmod(record.books.paper.rejected["joint"], 6 * round(CUT_M * METRE))
    assert rest == 0
    path = round(scenario.web_path.path_length_m * METRE)
    reel = ReelStore(scenario, Chance(2, 0), web=0).reel(0, goods_of(scenario).thickness_um)
    come = [joint for joint in reel.joints_um if joint + path <= record.books.web_um]
    assert joints == len(come) >= 2


def test_an_uneven_count_gives_sheets_away() -> None:
    """Three webs, 100 sheets: 34 cuts make 102 sheets, two too many in each ream."""
    scenario = calm(unwind={"webs": 3}, product={"sheets_per_ream": 100, "counting": "round_up"})
    record = simulate(scenario, hours=0.25)
    books = record.books
    assert books.reams.made > 0
    assert books.sheets.given_away == 2 * books.reams.made
    assert books.sheets.in_reams == 102 * books.reams.made


def test_a_defect_takes_its_cuts_and_nothing_else() -> None:
    scenario = calm(gate={"defects_per_million_sheets": 50, "cuts_per_defect": 3})
    record = simulate(scenario, hours=0.5)
    cut = 5 * round(CUT_M * METRE)
    lost = record.books.paper.rejected["defect"]
    assert lost % cut == 0
    assert record.books.paper.to_pockets == record.books.cuts * cut - lost


def test_pockets_cleared_by_a_stop_begin_again() -> None:
    """At 360 s a set is just full; at 363.75 s (half a set later) 50 cuts x 20 sheets are lost."""
    clearing = stop("pockets", every_running_h=363.75 / 3600, spoils_pockets=True)
    record = simulate(calm(stop=[clearing]), hours=0.12)
    assert record.books.sheets.spoiled == pytest.approx(50 * 20, abs=20)
    full = [s for s in spans_of(record, "pockets") if s[2] == State.DOWN]
    assert len(full) == 1
