"""Whom people go to first, what they lay down for it, and what becomes of work at a shift's end."""

from __future__ import annotations

from typing import Any

import pytest

from linesim import fast
from linesim.fast import simulate
from linesim.record import Record, State
from linesim.scenario import Scenario, find_scenario, load
from tests.line.calm_line import (
    REEL_M,
    SECOND,
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
SPLICED = {
    "change": "standstill_splice",
    "stands_per_web": 2,
    "splice_min": 1,
    "splice_people": 1,
    "prepare_people": 1,
}


def spans_in(record: Record, station: str, *states: State) -> list[tuple[float, float]]:
    """Seconds at which each span of a station in one of these states begins and ends."""
    return [
        (round(start, 3), round(end, 3))
        for start, end, state, *_ in spans_of(record, station)
        if state in states
    ]


def saved_s(record: Record) -> list[float]:
    """Seconds at which reams were saved at the rework table."""
    assert record.history is not None
    return [round(float(at) / SECOND, 3) for at in record.history.ream_saved_ns]


def sums_of(scenario: Scenario) -> Record:
    """Two shifts, by whichever engine is sooner."""
    return fast.simulate(scenario, hours=16, history=False)


def one_person(**fields: Any) -> dict[str, Any]:
    return {"size": 1} | fields


@pytest.mark.parametrize("lays_down", [True, False])
def test_a_jam_that_spoils_a_ream_is_mended_before_the_ream_is_wrapped_again(
    lays_down: bool,
) -> None:
    """The 40th ream jams at 78 s (3 s behind the tenth set, full at 75 s), for two minutes."""
    jam = stop("wrapper", "jam", every_reams=40, spoils_reams=1, people=1, restore_min=2)
    scenario = calm(
        stop=[jam],
        rework={"people": 1, "rewrap_min": 10, "good_chance": 1, "places": 9},
        crew=one_person(lay_work_down=lays_down),
    )
    record = simulate(scenario, hours=0.06)
    assert seconds_in(record, "wrapper", State.WAITING_PEOPLE) == 0
    ((begin, end),) = spans_in(record, "wrapper", State.DOWN)
    assert end - begin == 120.0


@pytest.mark.parametrize("change", ["standstill_splice", "flying_splice"])
@pytest.mark.parametrize("lays_down", [True, False])
def test_a_broken_web_is_threaded_before_the_emptied_stand_is_prepared_where_work_is_laid_down(
    change: str, lays_down: bool
) -> None:
    """The splice at 1943.86 s does not hold: the web is threaded for 3 min, the stand prepared for
    20 min from the splice on, since nobody knows that the splice will not hold."""
    scenario = one_web(
        unwind=SPLICED | {"change": change, "prepare_min": 20, "splice_fail_chance": 1},
        web_path={"rethread_held_min": 3, "rethread_people": 1, "clamp_holds_chance": 1},
        crew=one_person(lay_work_down=lays_down),
    )
    record = simulate(scenario, hours=1)
    # At speed it gives way at once; else he prepares by then, and goes on where he may not stop.
    at_once = change == "flying_splice"
    waited = 0 if at_once or lays_down else pytest.approx(1200, abs=1)
    assert seconds_in(record, "web_path", State.WAITING_PEOPLE) == waited
    assert seconds_in(record, "web_path", State.DOWN) == 180
    assert stops_of(record, "web_path", "web break")[0] == 1
    assert seconds_in(record, "unwind", State.WAITING_REEL) == 0


def test_what_stands_comes_before_what_does_not_whatever_the_priorities() -> None:
    """One person mends the pockets from 60 s to 660 s; then the cutter, then the stand."""
    busy = stop("pockets", "busy", every_clock_h=2 * REEL_S / 3600, people=1, restore_min=10)
    cutter = stop(
        "cutter", every_clock_h=(2 * REEL_S + 60) / 3600, people=1, restore_min=5, priority=9
    )
    scenario = one_web(
        unwind=SPLICED | {"prepare_min": 20, "splice_people": 0, "prepare_people": 1},
        stop=[busy, cutter],
        crew=one_person(priority_prepare=1, lay_work_down=False),
    )
    record = simulate(scenario, hours=1.5)
    # The second splice is at 2 x 1943.86 s + 60 s, while he mends the pockets.
    mended = 2 * REEL_S + 600
    assert spans_in(record, "cutter", State.DOWN)[0] == pytest.approx(
        (mended, mended + 300), abs=0.01
    )


def test_a_reel_that_the_webs_stand_for_comes_before_a_wrapper_that_stands() -> None:
    """One person wraps a ream again from 1942 s to 4342 s: the last of set 258, full at 1935 s.

    The stand is emptied at 1943.86 s and spliced by itself for 60 s. The wrapper asks at 3000 s,
    the next reel runs out at 3947.73 s: then the webs stand for the stand, which is prepared from
    4342 s to 4942 s, and the wrapper is mended after it.
    """
    scenario = one_web(
        unwind=SPLICED | {"prepare_min": 10, "splice_people": 0},
        bridge={"places": 100_000},
        stop=[
            stop("wrapper", "tear", every_reams=4 * 258, spoils_reams=1, restore_min=0),
            stop("wrapper", "jam", every_clock_h=3000 / 3600, people=1, restore_min=5),
        ],
        rework={"people": 1, "rewrap_min": 40, "places": 1},
        crew=one_person(lay_work_down=False),
    )
    record = simulate(scenario, hours=1.45)
    assert spans_in(record, "unwind", State.WAITING_REEL) == [(round(2 * REEL_S + 60, 3), 4942)]
    assert [span for span in spans_in(record, "wrapper", State.DOWN) if span[0] > 2000] == [
        (4942, 5220)
    ]


@pytest.mark.parametrize(("lays_down", "mended", "saved"), [(True, 300, 847), (False, 547, 547)])
def test_a_ream_is_laid_down_half_wrapped_for_a_standing_line(
    lays_down: bool, mended: float, saved: float
) -> None:
    """A ream is wrapped again from 187 s on, for 6 min. At 300 s the cutter stands for 5 min: he
    goes there, and has 247 s of the ream left at 600 s. Or he finishes it first, at 547 s."""
    scenario = calm(
        stop=[
            stop("wrapper", "tear", every_reams=4 * 24, spoils_reams=1, restore_min=0),
            stop("cutter", every_clock_h=300 / 3600, people=1, restore_min=5),
        ],
        rework={"people": 1, "rewrap_min": 6, "good_chance": 1, "places": 1},
        crew=one_person(lay_work_down=lays_down),
    )
    record = simulate(scenario, hours=0.25)
    assert spans_in(record, "cutter", State.DOWN)[0] == (mended, mended + 300)
    assert saved_s(record)[0] == saved


def test_no_more_is_laid_down_than_is_needed_and_nothing_in_vain() -> None:
    """Three people wrap reams again, from 14.5 s, 22 s and 29.5 s on; each takes 8 min.

    Set k is full at 7.5 k s and its last ream wrapped 7 s later. At 300 s the cutter needs two for
    5 min: the last two begun are laid down. At 400 s the transfer needs two: the third alone would
    not help, so he is done at 494.5 s. At 600 s, when the cutter runs, two go to it for a minute;
    the second ream has 480 s less 278 s left from then on, the third 480 s less 270.5 s from 660 s.
    """
    scenario = calm(
        stop=[
            stop("wrapper", "tear", every_reams=4, spoils_reams=1, restore_min=0),
            stop("cutter", every_clock_h=300 / 3600, people=2, restore_min=5),
            stop("transfer", every_clock_h=400 / 3600, people=2, restore_min=1),
        ],
        rework={"people": 1, "rewrap_min": 8, "good_chance": 1, "places": 3},
        crew={"size": 3},
    )
    record = simulate(scenario, hours=0.25)
    assert spans_in(record, "cutter", State.DOWN)[0] == (300, 600)
    assert spans_in(record, "transfer", State.DOWN)[0] == (600, 660)
    assert saved_s(record) == [494.5, 802, 869.5]


@pytest.mark.parametrize(
    ("at_shift_end", "down"),
    [
        ("handed_over", [(2700, 3600), (86_400, 87_300)]),
        ("finished", [(2700, 3600)]),
    ],
)
def test_work_in_hand_at_the_end_of_a_shift(
    at_shift_end: str, down: list[tuple[float, float]]
) -> None:
    """A shift of an hour a day. When it has run for 45 min the cutter is mended for half an hour:
    15 min are left for the next day, or are done when the shift is over."""
    scenario = calm(
        line={"shift_hours": 1},
        calendar={"shifts_per_day": 1},
        unwind={"change_min": 0},
        stop=[stop("cutter", every_running_h=0.75, people=1, restore_min=30)],
        crew=one_person(work_at_shift_end=at_shift_end),
    )
    record = simulate(scenario, hours=24.3)
    assert spans_in(record, "cutter", State.DOWN, State.WAITING_PEOPLE) == down
    assert stops_of(record, "cutter", "fault")[0] == 1


def test_work_goes_on_where_the_next_shift_follows_at_once_and_through_a_break() -> None:
    """Two shifts of 12 h: at 12 h a repair is half done. At 13 h the crew has a break."""
    scenario = calm(
        line={"shift_hours": 12},
        stop=[
            stop("cutter", "one", every_clock_h=11.75, people=1, restore_min=30),
            stop("wrapper", "other", every_clock_h=12.9, people=1, restore_min=12),
        ],
        break_=[{"start_h": 1, "minutes": 30}],
        crew=one_person(),
    )
    record = simulate(scenario, hours=14)
    assert spans_in(record, "cutter", State.DOWN) == [(11.75 * 3600, 12.25 * 3600)]
    assert stops_of(record, "wrapper", "other") == (1, 360)


def test_what_ends_with_the_shift_is_done() -> None:
    """The repair ends as the shift does: nothing is left of it for the next day."""
    scenario = calm(
        line={"shift_hours": 1},
        calendar={"shifts_per_day": 1},
        unwind={"change_min": 0},
        stop=[stop("cutter", every_running_h=0.75, people=1, restore_min=15)],
        crew=one_person(),
    )
    record = simulate(scenario, hours=24.1)
    assert spans_in(record, "cutter", State.DOWN, State.WAITING_PEOPLE) == [(2700, 3600)]


def test_wraps_made_again_cost_the_line_nothing_where_they_are_laid_down() -> None:
    """One person: with a rework table and without one every station has the same account."""
    line = load(find_scenario("small-crew"))
    with_table = line.varied(rework={"places": 20, "people": 1})
    without = line.varied(rework={"places": 0})
    waits, never_waits = (sums_of(each) for each in (with_table, without))
    assert waits.books.reams.reworked > 3
    assert waits.sums == never_waits.sums
    finishes_first = with_table.varied(crew={"lay_work_down": False})
    assert sums_of(finishes_first).sums != never_waits.sums
