"""Wrappers, their rolls, the divert rules, rework and the outfeed."""

from __future__ import annotations

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.record import Record, State
from linesim.record.effectiveness import station_effectiveness
from linesim.scenario import ForcedStop
from tests.line.calm_line import SECOND, calm, seconds_in, spans_of, stop, stops_of

TWO = [{"name": "one", "rate_reams_per_min": 20}, {"name": "two", "rate_reams_per_min": 20}]
ROLL = {
    "rate_reams_per_min": 60,
    "roll_length_m": 100,
    "wrap_length_mm": 1000,
    "roll_change_min": 2,
    "roll_change_people": 0,
}
"""100 reams from a roll."""


def in_order(record: Record) -> np.ndarray:
    """Wrapper of each ream, in the order in which reams were taken off the bridge."""
    assert record.history is not None
    return record.history.ream_wrapper[np.argsort(record.history.ream_start_ns, kind="stable")]


def test_the_roll_is_changed_after_as_many_reams_as_it_holds() -> None:
    record = simulate(calm(wrapper=[ROLL]), hours=0.5)
    assert record.history is not None
    changes = [s for s in spans_of(record, "wrapper") if s[2] == State.CHANGEOVER]
    ends = record.history.ream_end_ns / 1e9
    assert len(changes) == record.wrapped_by[0] // 100 > 3
    assert [s[0] for s in changes] == [ends[100 * k + 99] for k in range(len(changes))]
    assert all(s[1] - s[0] == pytest.approx(120) for s in changes[:-1])


@pytest.mark.parametrize(("fails", "stops"), [(0, False), (1, True)])
def test_a_roll_is_spliced_without_a_stop_unless_the_splice_fails(fails: int, stops: bool) -> None:
    wrapper = ROLL | {"roll_change": "splice", "roll_splice_fail_chance": fails}
    record = simulate(calm(wrapper=[wrapper]), hours=0.5)
    count, _ = stops_of(record, "wrapper", "wrapping roll")
    assert count == (record.wrapped_by[0] // 100 if stops else 0)


def test_a_stopped_ream_is_finished_not_begun_again() -> None:
    """Reams of 10 s from 10.5 s on; the wrapper stands from 14 s for a minute."""
    forced = [ForcedStop(station="wrapper", at_h=14 / 3600, minutes=1)]
    record = simulate(calm(wrapper=[{"rate_reams_per_min": 6}]), hours=0.1, forced=forced)
    assert record.history is not None
    assert record.history.ream_start_ns[:2] / 1e9 == pytest.approx([10.5, 80.5], abs=1e-6)
    assert record.history.ream_end_ns[0] / 1e9 == pytest.approx(80.5, abs=1e-6)


def test_a_jam_that_spoils_takes_the_ream_in_hand() -> None:
    """Every 0.005 running hours (18 s) of reams of 10 s: the second of two is lost."""
    jam = stop("wrapper", every_running_h=0.005, spoils_reams=1)
    record = simulate(calm(wrapper=[{"rate_reams_per_min": 6}], stop=[jam]), hours=0.5)
    count, _ = stops_of(record, "wrapper", "fault")
    assert record.books.reams.repulped == count > 5
    assert record.history is not None
    assert record.history.bridge_level()[1].max() <= 100


@pytest.mark.parametrize(
    ("places", "good_chance", "where"),
    [(0, 1, "repulped"), (5000, 1, "reworked"), (5000, 0, "repulped")],
)
def test_spoiled_wraps_are_saved_or_repulped(places: int, good_chance: int, where: str) -> None:
    scenario = calm(
        wrapper=[{"rate_reams_per_min": 60, "spoiled_per_10000": 500}],
        rework={"places": places, "good_chance": good_chance, "rewrap_min": 0},
    )
    record = simulate(scenario, hours=1)
    books = record.books.reams
    spoiled = sum(record.wrapped_by) - books.wrapped
    assert spoiled > 20
    assert {"repulped": books.repulped, "reworked": books.reworked} == (
        {"repulped": 0, "reworked": 0} | {where: spoiled}
    )


def test_in_turn_the_wrappers_alternate() -> None:
    record = simulate(calm(wrapper=TWO, divert={"rule": "in_turn"}), hours=0.25)
    who = in_order(record)[:100]
    assert np.array_equal(who, np.arange(100) % 2)


def test_the_nearest_free_wrapper_takes_the_next_ream() -> None:
    """Four reams at once: one, two, and again; the first is always asked first."""
    record = simulate(calm(wrapper=TWO, divert={"rule": "nearest_free"}), hours=0.25)
    assert in_order(record)[:4].tolist() == [0, 1, 0, 1]
    quick = [TWO[0] | {"rate_reams_per_min": 600}, TWO[1]]
    sole = simulate(
        calm(wrapper=quick, divert={"rule": "nearest_free"}, slitter={"lanes": 1}), hours=0.25
    )
    assert sole.wrapped_by[1] == 0


def test_the_second_wrapper_helps_from_a_level() -> None:
    scenario = calm(wrapper=TWO, divert={"rule": "second_above_level", "second_at_reams": 30})
    record = simulate(scenario, hours=1)
    history = record.history
    assert history is not None
    times, level = history.bridge_level()
    started = history.ream_start_ns[history.ream_wrapper == 1]
    assert len(started) > 50
    assert level[np.searchsorted(times, started, side="left") - 1].min() >= 30 - 4
    # By the level just before, or after a set put down at that very moment.
    apart = started[~np.isin(started, history.set_placed_ns)]
    assert level[np.searchsorted(times, apart, side="left") - 1].min() >= 30


def test_a_hot_standby_works_only_while_the_first_stands() -> None:
    forced = [ForcedStop(station="one", at_h=0.25, minutes=5)]
    scenario = calm(wrapper=TWO, divert={"rule": "hot_standby"})
    record = simulate(scenario, hours=0.5, forced=forced)
    assert record.history is not None
    started = record.history.ream_start_ns[record.history.ream_wrapper == 1] / 1e9
    assert started.min() == 900.0
    # 300 s, 3 s each; at 1200 s it takes one more in the moment in which the first comes back.
    assert started.max() <= 1200
    assert len(started) in (100, 101)


def test_a_standing_outfeed_blocks_the_wrapper_when_its_buffer_is_full() -> None:
    """At rest after 360 s: one ream is with the outfeed or finished, 10 wait, one is held."""
    forced = [ForcedStop(station="outfeed", at_h=0.1, minutes=10)]
    scenario = calm(outfeed={"rate_reams_per_min": 120, "buffer_reams": 10})
    record = simulate(scenario, hours=0.2, forced=forced)
    assert record.history is not None
    blocked = [s for s in spans_of(record, "wrapper") if s[2] == State.BLOCKED]
    assert blocked[0][4] == ("outfeed", "forced stop")
    ends = record.history.ream_end_ns / 1e9
    assert ((ends > 360) & (ends <= blocked[0][0])).sum() == 11
    assert seconds_in(record, "outfeed", State.DOWN) == pytest.approx(360, abs=1e-6)


def test_an_outfeed_that_keeps_its_wrappers_pace_works_less_than_it_waits() -> None:
    """47 sets of 4 reams by 360 s: half a second's work a ream, then half a second to the next.

    After the fourth the next set is far: four seconds in which the webs are waited for.
    """
    line = calm(outfeed={"rate_reams_per_min": 120, "buffer_reams": 10})
    for history in (True, False):
        record = simulate(line, hours=0.1, history=history)
        outfeed, wrapper = record.station("outfeed"), record.station("wrapper")
        pace = (outfeed, State.STARVED, 0, wrapper, 0)
        assert record.taken_out == (188,)
        assert seconds_in(record, "outfeed", State.RUNNING) == 94
        assert record.sums[pace] / SECOND == 47 * 3 * 0.5
        assert seconds_in(record, "outfeed", State.STARVED) == 360 - 94
    spans = spans_of(simulate(line, hours=0.1), "outfeed")
    assert spans[1:4] == [
        (11.5, 12.0, State.RUNNING, "", None),
        (12.0, 15.0, State.SLOWED, "", ("wrapper", "")),
        (15.0, 19.0, State.STARVED, "", ("cutter", "")),
    ]
    found = next(e for e in station_effectiveness(record) if e.name == "outfeed")
    assert (found.performance, found.speed_ns) == (1, 0)


def test_a_wrapper_that_waits_at_the_webs_pace_is_starved_by_them() -> None:
    record = simulate(calm(), hours=0.1)
    cutter, wrapper = record.station("cutter"), record.station("wrapper")
    assert record.wrapped_by == (188,)
    assert seconds_in(record, "wrapper", State.RUNNING) == 188
    assert record.sums[wrapper, State.STARVED, 0, cutter, 0] / SECOND == 360 - 188


def test_a_ream_that_is_never_wrapped_is_known_by_its_wrapper() -> None:
    """After 25 s of work a jam takes the ream in hand and one from the bridge."""
    jam = stop("wrapper", every_running_h=0.007, spoils_reams=2)
    wrappers = [{"name": name, "rate_reams_per_min": 6} for name in "AB"]
    record = simulate(calm(wrapper=wrappers, stop=[jam]), hours=0.241)
    history = record.history
    assert history is not None
    columns = (history.ream_off_ns, history.lost_ns, history.lost_wrapper)
    rows = list(zip(*(column.tolist() for column in columns), strict=True))
    in_hand = [row for row in rows if row[1] > record.end_ns]
    thrown = [row for row in rows if row[2] < 0]
    lost = [row for row in rows if row not in in_hand and row not in thrown]
    assert len(lost) + len(thrown) == record.books.reams.repulped > 4
    assert {wrapper for _, _, wrapper in lost} == {0, 1}
    assert in_hand
    assert all(taken == gone for taken, gone, _ in thrown)
    for taken, gone, wrapper in lost:
        spans = record.history.spans.of(record.stations.index("AB"[wrapper]))
        assert gone in spans.start_ns[spans.state == State.DOWN]
        mine = history.ream_wrapper == wrapper
        others = (history.ream_start_ns[mine] < gone) & (history.ream_end_ns[mine] > taken)
        assert not others.any()
