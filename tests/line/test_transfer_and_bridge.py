"""Pockets, transfer and bridge: who waits for whom, and what the levels do."""

from __future__ import annotations

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.record import Record, State
from linesim.scenario import ForcedStop
from tests.line.calm_line import SECOND, SET_S, calm, seconds_in, spans_of, stop


def test_a_set_that_is_full_before_the_transfer_is_back_stops_the_webs() -> None:
    """12 s for a cycle, 7.5 s for a set: full again at 15 s, fetched at 19.5 s, and so on."""
    slow = {"return_s": 9, "paces_webs": False}
    record = simulate(calm(transfer=slow), hours=(7.5 + 12 * 40) / 3600)
    blocked = [s for s in spans_of(record, "pockets") if s[2] == State.BLOCKED]
    assert [(s[0], s[1]) for s in blocked[:2]] == [(15.0, 19.5), (27.0, 31.5)]
    assert {s[4] for s in blocked} == {("transfer", "transfer cycle")}
    assert seconds_in(record, "pockets", State.BLOCKED) == pytest.approx(40 * 4.5, abs=1e-6)


@pytest.mark.parametrize(
    ("fingers", "held_cuts", "set_s"), [(True, 0, 7.5), (False, 0, 10.5), (False, 40, 7.5)]
)
def test_the_pick_costs_its_time_unless_fingers_or_belt_catch_the_sheets(
    fingers: bool, held_cuts: int, set_s: float
) -> None:
    """A pick of 3 s is 40 cuts at 800 cuts/min."""
    scenario = calm(
        transfer={"pick_s": 3},
        pockets={"interim_fingers": fingers},
        overlap_belt={"hold_cuts": held_cuts},
    )
    record = simulate(scenario, hours=0.1)
    assert record.history is not None
    assert np.diff(record.history.set_full_ns) / 1e9 == pytest.approx(
        [set_s] * (len(record.history.set_full_ns) - 1), abs=1e-6
    )


def test_a_full_bridge_blocks_the_knives_after_the_work() -> None:
    """12 places take three sets; the fourth hangs in the grip, the fifth stands in the pockets.

    The wrapper, that stands from the start for A and then for B, is at the root of it.
    """
    forced = [
        ForcedStop(station="wrapper", at_h=0, minutes=10, cause="A"),
        ForcedStop(station="wrapper", at_h=0.1, minutes=10, cause="B"),
    ]
    record = simulate(calm(bridge={"places": 12}), hours=0.3, forced=forced)
    blocked = [s for s in spans_of(record, "cutter") if s[2] == State.BLOCKED]
    assert [(s[0], s[1], s[4]) for s in blocked[:4]] == [
        (5 * SET_S, 600.0, ("wrapper", "A")),
        # From 600 s on it stands for B alone, until 0.1 h + 10 min = 960 s. Then its pace is to
        # blame, until it takes the fourth ream at 963 s; last the transfer's, which sets down,
        # 1 s, goes home, 1 s, and takes the set that waits.
        (600.0, 960.0, ("wrapper", "B")),
        (960.0, 963.0, ("wrapper", "")),
        (963.0, 965.0, ("transfer", "transfer cycle")),
    ]
    transfer = [s for s in spans_of(record, "transfer") if s[2] == State.BLOCKED]
    assert {s[4] for s in transfer[:2]} == {("wrapper", "A"), ("wrapper", "B")}
    assert record.history is not None
    assert int(record.history.bridge_level()[1].max()) == 12


def test_a_wrapper_stop_reaches_the_knives_after_free_places_over_inflow() -> None:
    """40 places at 32 reams/min: ten sets on the bridge, one in the grip, one in the pockets."""
    forced = [ForcedStop(station="wrapper", at_h=0.1, minutes=10)]
    record = simulate(calm(bridge={"places": 40}), hours=0.25, forced=forced)
    first = next(s for s in spans_of(record, "cutter") if s[2] == State.BLOCKED)
    # A set fills at 360 s exactly and reaches the bridge 3 s later; 12 sets after 352.5 s.
    assert first[0] == pytest.approx(352.5 + 12 * SET_S, abs=SET_S + 0.01)
    assert first[4] == ("wrapper", "forced stop")


@pytest.mark.parametrize(
    "of_6_m",
    [
        {"places": 100, "ream_pitch_mm": 60},
        {"places": 199, "ream_pitch_mm": 60, "tracks": 2},
        {"places": None, "length_m": 6},
    ],
)
def test_reams_need_their_time_along_the_belt(of_6_m: dict[str, float]) -> None:
    """6 m at 30 m/min are 12 s; a set is set down 3 s after it is full."""
    record = simulate(calm(bridge=of_6_m | {"belt_speed_m_per_min": 30}), hours=0.05)
    assert record.history is not None
    assert record.history.ream_start_ns[:4] / 1e9 == pytest.approx(
        [7.5 + 3 + 12 + k for k in range(4)], abs=1e-6
    )


def levels_at_restart(record: Record) -> set[int]:
    assert record.history is not None
    times, level = record.history.bridge_level()
    ends = [
        s[1]
        for s in spans_of(record, "cutter")
        if s[2] == State.BLOCKED and s[1] < record.end_ns / 1e9
    ]
    return {int(level[np.searchsorted(times, end * 1e9 + 0.5) - 1]) for end in ends}


def test_the_sheeter_starts_again_only_at_the_restart_level() -> None:
    """A wrapper half as fast fills the bridge to 24; the knives start again at 8, or at 23."""
    slow = {"wrapper": [{"rate_reams_per_min": 16}]}
    wide = calm(bridge={"places": 60, "stop_at_reams": 24, "restart_at_reams": 8}, **slow)
    narrow = calm(bridge={"places": 60, "stop_at_reams": 24}, **slow)
    many, few = (simulate(s, hours=2) for s in (narrow, wide))
    assert levels_at_restart(few) == {8}
    assert levels_at_restart(many) == {23}

    def starts(record: Record) -> int:
        return sum(s[2] == State.BLOCKED for s in spans_of(record, "cutter"))

    assert starts(few) * 3 < starts(many)


def test_the_sheeter_is_slow_exactly_while_the_bridge_is_above_the_level() -> None:
    scenario = calm(
        bridge={"places": 60, "slow_at_reams": 20, "slow_to_fraction": 0.5},
        wrapper=[{"rate_reams_per_min": 20}],
    )
    record = simulate(scenario, hours=0.8)  # before the first reel runs out
    assert record.history is not None
    times, level = record.history.bridge_level()
    ends = np.append(times[1:], record.end_ns)
    above = (ends - times)[level >= 20].sum() / 1e9
    assert above > 600
    assert seconds_in(record, "cutter", State.SLOWED) == pytest.approx(above, abs=1e-3)


def test_the_wrapper_catches_up_above_its_level() -> None:
    """2.5 s for a ream, 2.5 s / 1.25 from 20 reams on; the level decides as the ream is taken."""
    scenario = calm(
        bridge={"places": 60, "catch_up_at_reams": 20, "catch_up_factor": 1.25},
        wrapper=[{"rate_reams_per_min": 24}],
    )
    record = simulate(scenario, hours=1)
    history = record.history
    assert history is not None
    lengths = history.ream_end_ns - history.ream_start_ns
    assert set((lengths / 1e9).tolist()) == {2.5, 2.0}
    times, level = history.bridge_level()
    before = level[np.searchsorted(times, history.ream_start_ns, side="left") - 1]
    # A set put down at the very moment is seen or not; leave such reams out.
    clear = ~np.isin(history.ream_start_ns, history.set_placed_ns)
    assert np.array_equal(before[clear] >= 20, lengths[clear] == 2_000_000_000)


def test_what_finds_no_place_is_set_aside_where_the_crew_does_so() -> None:
    """10 places: after two sets two reams of the third fit; everything else is put aside."""
    forced = [ForcedStop(station="wrapper", at_h=0, minutes=60)]
    scenario = calm(bridge={"places": 10, "when_full": "set_aside"})
    record = simulate(scenario, hours=0.1, forced=forced)
    assert seconds_in(record, "cutter", State.BLOCKED) == 0
    books = record.books.reams
    on_line = 10 + 4 * (books.made // 4 - 2 - 1 - books.set_aside // 4)
    assert books.set_aside % 4 == 2
    assert books.at_end == on_line
    assert books.set_aside == books.made - books.at_end


def test_the_same_stops_happen_under_another_bridge() -> None:
    jam = stop(
        "wrapper",
        "jam",
        every_reams={"law": "exponential", "mean": 60},
        restore_min={"law": "lognormal", "mean": 2, "sd": 2},
    )

    def restored(places: int) -> list[float]:
        record = simulate(calm(bridge={"places": places}, stop=[jam]), hours=3, seed=7)
        rows = [s for s in spans_of(record, "wrapper") if s[2] == State.DOWN]
        return [round(end - start, 6) for start, end, *_ in rows if end < 3 * 3600]

    short, long = restored(8), restored(100)
    assert len(short) > 10
    assert len(long) >= len(short)
    assert long[: len(short)] == short


def test_a_bridge_that_stands_moves_nothing_and_ends_with_its_stop() -> None:
    """From 360 s for 5 min nothing is taken and nothing set down."""
    forced = [ForcedStop(station="bridge", at_h=0.1, minutes=5)]
    record = simulate(calm(), hours=0.25, forced=forced)
    assert record.history is not None
    for moments in (record.history.ream_start_ns, record.history.set_placed_ns):
        seconds = moments / 1e9
        assert not ((seconds > 361.01) & (seconds < 660)).any()
        assert (seconds > 660).any()
    waiting = [s for s in spans_of(record, "wrapper") if s[2] == State.STARVED]
    assert any(s[4] == ("bridge", "forced stop") for s in waiting)


@pytest.mark.parametrize(
    ("fingers", "held_cuts", "m_per_s", "stands_s"),
    [(True, 0, 30 / 12, 0), (False, 40, 30 / 12, 0), (False, 0, 30 / 11, 1)],
)
def test_webs_keep_to_the_pace_of_a_slower_transfer(fingers, held_cuts, m_per_s, stands_s) -> None:
    """12 s for a cycle: 30 m of web in that time, or in what the pick leaves of it.

    With fingers, or a belt that holds the cuts of the pick, the webs never stand.
    """
    line = calm(
        transfer={"return_s": 9},
        pockets={"interim_fingers": fingers},
        overlap_belt={"hold_cuts": held_cuts},
    )
    full = 30 / m_per_s
    record = simulate(line, hours=(full + 12 * 20) / 3600)
    assert record.history is not None
    fulls = record.history.set_full_ns / SECOND
    assert fulls == pytest.approx([full + 12 * n for n in range(len(fulls))], abs=1e-5)
    assert len(fulls) == 20
    blocked = [s for s in spans_of(record, "pockets") if s[2] == State.BLOCKED]
    assert sum(s[1] - s[0] for s in blocked) == pytest.approx(20 * stands_s, abs=1e-5)
    assert {
        s[2:4] for s in spans_of(record, "cutter") if s not in blocked and s[2] != State.BLOCKED
    } == {(State.SLOWED, "transfer's pace")}
    assert record.books.paper.rejected == {}
    starved = {s[4] for s in spans_of(record, "wrapper") if s[2] == State.STARVED}
    assert ("cutter", "transfer's pace") in starved


def test_pacing_saves_the_cuts_that_find_no_room() -> None:
    """Webs that take 8 s to a stand and back, a start that costs 10 cuts, and no belt."""
    ramps = {"run_up_m_per_min_per_s": 60, "run_down_m_per_min_per_s": 60}
    made = []
    for paced in (True, False):
        transfer = {"return_s": 6, "paces_webs": paced}
        line = calm(transfer=transfer, cutter=ramps, gate={"cuts_after_stop": 10})
        made.append(simulate(line, hours=0.5, history=False).books)
    paced, unpaced = made
    assert paced.paper.rejected == {}
    assert sum(unpaced.paper.rejected.values()) > 0.1 * unpaced.paper.to_pockets
    assert paced.reams.wrapped == unpaced.reams.wrapped


def test_webs_that_gain_speed_begin_to_stop_in_time() -> None:
    """At 4 m/s they stop in 16 m: with the cut to spare 55 cuts, and the belt holds 58.

    Let go in the midst of a run-down they gain speed while the next set fills, and have more to
    lose at the moment at which they begin to stop than when that was planned.
    """
    ramps = {"run_up_m_per_min_per_s": 15, "run_down_m_per_min_per_s": 30}
    transfer = {"return_s": 9, "paces_webs": False}
    record = simulate(
        calm(transfer=transfer, cutter=ramps, overlap_belt={"hold_cuts": 58}), hours=0.5
    )
    causes = [span[3] for span in spans_of(record, "cutter")]
    assert causes.count("pockets full") > 100
    assert record.books.paper.rejected == {}


def test_a_faster_transfer_and_a_lower_level_speed_leave_the_pace_alone() -> None:
    bridge = {"slow_at_reams": 4, "slow_to_fraction": 0.25}
    line = calm(transfer={"return_s": 9}, bridge=bridge, wrapper=[{"rate_reams_per_min": 1}])
    causes = {span[3] for span in spans_of(simulate(line, hours=0.05), "cutter")}
    assert causes == {"transfer's pace", "bridge level"}
    assert {span[3] for span in spans_of(simulate(calm(), hours=0.05), "cutter")} == {""}


# Things of one moment. The line works from its end to its beginning, and what moves, moves before
# it stops. Webs that something else has brought to a stand begin no stop until that lets them go.


def test_a_ream_at_the_wrapper_when_the_belt_stops_is_taken_first() -> None:
    """Without travel the set put down at 10.5 s, which stops the belt, is at the wrapper then."""
    held = stop("bridge", every_reams=4, restore_min=1)
    record = simulate(calm(stop=[held]), hours=0.03)
    assert record.history is not None
    starts = np.sort(record.history.ream_start_ns) / SECOND
    assert list(starts[:3]) == [10.5, 70.5, 71.5]
    assert spans_of(record, "bridge")[1][:4] == (10.5, 70.5, State.DOWN, "fault")


def test_a_stop_due_as_full_pockets_stop_the_webs_comes_with_that_very_cut() -> None:
    """The 100th cut fills the pockets at 7.5 s; the set is lifted while the knives stand."""
    held = stop("cutter", every_cuts=100, restore_min=1)
    line = calm(stop=[held], pockets={"interim_fingers": False})
    spans = spans_of(simulate(line, hours=0.03), "cutter")
    assert [span[:3] for span in spans[:3]] == [
        (0, 7.5, State.RUNNING),
        (7.5, 67.5, State.DOWN),
        (67.5, 75, State.RUNNING),
    ]


@pytest.mark.parametrize(
    "due",
    [{"every_cuts": 140}, {"every_web_km": 0.042}, {"every_running_h": 10.5 / 3600}],
)
def test_a_stop_due_as_the_bridge_stops_the_webs_begins_when_they_are_let_go(due) -> None:
    """The set put down at 10.5 s brings the bridge to its stop level: 42 m and 140 cuts are run.

    Half a minute a ream: the fourth is taken at 100.5 s, which lets the webs go.
    """
    bridge = {"stop_at_reams": 3, "restart_at_reams": 0}
    slow = [{"rate_reams_per_min": 2}]
    line = calm(bridge=bridge, wrapper=slow, stop=[stop("cutter", **due)])
    spans = spans_of(simulate(line, hours=0.05), "cutter")
    assert [span[:3] for span in spans[:3]] == [
        (0, 10.5, State.RUNNING),
        (10.5, 100.5, State.BLOCKED),
        (100.5, 160.5, State.DOWN),
    ]
