"""What a forced stop did: worked out by hand on the calm line, and as laws on the demo lines.

On the calm line a set of 4 reams is full every 7.5 s (32 reams/min), stands on the bridge 3 s
later, and a wrapper takes 1 s for a ream. At 360 s, when the stops begin, the bridge is empty and
a set has just been filled.
"""

from __future__ import annotations

import pickle
from typing import Any

import pytest

from linesim.fast import simulate
from linesim.record import Record, State
from linesim.record.disturbance import Disturbance, disturbance, rated_set_ns
from linesim.record.ripple import stop_events
from linesim.scenario import ForcedStop, Scenario, find_scenario, load, shipped_scenarios
from tests.line.calm_line import SECOND, SET_S, calm

AT_S = 360


def told(
    scenario: Scenario, station: str, minutes: float, *, hours: float = 0.5
) -> tuple[Record, Disturbance]:
    """The disturbed run and what the stop did to it."""
    forced = ForcedStop(station=station, at_h=AT_S / 3600, minutes=minutes)
    quiet = simulate(scenario, hours=hours)
    record = simulate(scenario, hours=hours, forced=(forced,))
    return record, disturbance(quiet, record, forced)


def reached(record: Record, found: Disturbance) -> dict[str, tuple[State, float, float]]:
    """Station -> how it waited, after how many seconds, for how many."""
    return {
        record.stations[each.station]: (
            each.state,
            each.after_ns / SECOND,
            each.waited_ns / SECOND,
        )
        for each in found.reached
    }


def wholly_forgotten(found: Disturbance) -> bool:
    """Not even a delay was left."""
    return found.forgotten_ns is not None and found.delay_ns == 0


def test_a_stop_that_the_bridge_swallows_is_wholly_forgotten() -> None:
    _, found = told(calm(), "wrapper", 2)
    assert (found.began_ns, found.ended_ns) == (360 * SECOND, 480 * SECOND)
    assert found.reached == ()
    assert (found.bridge_full_ns, found.bridge_empty_ns) == (None, None)
    assert (found.reams_lost, found.delay_ns, wholly_forgotten(found)) == (0, 0, True)
    # 16 sets came meanwhile. The wrapper gains 28 reams/min on the sheeter, and is a set behind
    # when 60 of the 64 are made good.
    assert found.forgotten_ns is not None
    assert found.forgotten_ns / SECOND == pytest.approx(480 + 60 / 28 * 60, abs=1)
    assert found.felt_until_ns == 480 * SECOND


def test_a_longer_wrapper_stop_fills_the_bridge_and_stops_the_knives() -> None:
    record, found = told(calm(), "wrapper", 5)
    # 25 sets fill 100 places: the first of them is full at 360 s.
    assert found.bridge_full_ns == round((AT_S + 24 * SET_S + 3) * SECOND)
    by_name = reached(record, found)
    # The 26th set is lifted and carried for 2 s and finds no place; the 27th finds no transfer.
    assert by_name["transfer"] == (State.BLOCKED, 25 * SET_S + 2, 300 - 25 * SET_S - 2)
    assert by_name["cutter"] == (State.BLOCKED, 26 * SET_S, 300 - 26 * SET_S)
    # The trainer's sum, free places / inflow, is right to within the two sets on their way.
    assert 100 / 32 * 60 <= by_name["cutter"][1] <= 100 / 32 * 60 + 2 * SET_S
    assert found.felt_until_ns == 660 * SECOND
    # The knives stood 105 s for the wrapper and 5 s for the transfer to come back for a set.
    assert found.delay_ns == 110 * SECOND
    assert found.reams_lost == 4 * round(110 / SET_S)
    assert found.forgotten_ns is not None
    assert not wholly_forgotten(found)


def test_a_bridge_that_is_stopped_at_a_level_is_full_there() -> None:
    levels = {"stop_at_reams": 60, "restart_at_reams": 20}
    record, found = told(calm(bridge=levels), "wrapper", 4)
    assert found.bridge_full_ns == round((AT_S + 14 * SET_S + 3) * SECOND)
    assert reached(record, found)["cutter"][:2] == (State.BLOCKED, 14 * SET_S + 3)


def test_the_knives_starve_what_follows_and_their_time_is_lost_for_good() -> None:
    record, found = told(calm(), "cutter", 2)
    assert reached(record, found)["wrapper"] == (State.STARVED, 0, 120)
    assert reached(record, found)["unwind"] == (State.BLOCKED, 0, 120)
    assert found.bridge_empty_ns == 360 * SECOND  # it was empty between two sets, and stays so
    assert found.bridge_full_ns is None
    assert found.delay_ns == 120 * SECOND
    assert found.reams_lost == 64
    assert found.forgotten_ns is not None
    assert found.forgotten_ns <= (480 + 2 * SET_S) * SECOND


def test_a_line_that_cannot_catch_up_forgets_nothing() -> None:
    _, found = told(calm(wrapper=[{"rate_reams_per_min": 32}]), "wrapper", 2)
    assert found.reached == ()
    assert found.reams_lost == 64
    assert (found.delay_ns, found.forgotten_ns) == (120 * SECOND, None)


def test_nothing_is_believed_of_the_last_sets_of_a_run() -> None:
    _, found = told(calm(), "wrapper", 2, hours=0.2)
    assert found.forgotten_ns is None  # caught up at 609 s, 14 sets before the end
    _, found = told(calm(), "wrapper", 2, hours=0.23)
    assert found.forgotten_ns is not None


def test_a_planned_stop_is_no_delay_and_does_not_end_the_forced_one() -> None:
    rest = [{"start_h": 420 / 3600, "minutes": 1}]
    _, found = told(calm(break_=rest), "wrapper", 4)
    assert (found.began_ns, found.ended_ns) == (360 * SECOND, 600 * SECOND)
    assert wholly_forgotten(found)


def test_a_line_put_out_of_step_by_what_comes_later_says_when_it_first_was() -> None:
    clock = {"station": "cutter", "cause": "check", "every_clock_h": 0.4, "restore_min": 3}
    # The wrapper's stop costs 110 s of sets: what stops by the clock then meets another set.
    record, found = told(calm(stop=[clock | {"people": 0}]), "wrapper", 5, hours=0.7)
    check = next(e for e in stop_events(record) if record.causes[e.cause] == "check")
    assert (check.start_ns, check.length_ns) == (1440 * SECOND, 180 * SECOND)
    assert found.in_step_ns is not None
    assert found.forgotten_ns is not None
    assert found.in_step_ns < check.start_ns < check.end_ns <= found.forgotten_ns
    assert found.forgotten_ns <= check.end_ns + (110 + 2 * SET_S) * SECOND
    assert found.in_step_delay_ns == found.delay_ns == 110 * SECOND


def test_a_stop_hidden_by_another_never_began() -> None:
    rest = [{"start_h": 300 / 3600, "minutes": 5}]
    _, found = told(calm(break_=rest), "wrapper", 1)
    assert (found.began_ns, found.ended_ns, found.felt_until_ns) == (None, None, None)
    assert found.reached == ()
    assert wholly_forgotten(found)


def test_a_pair_that_is_none_is_refused() -> None:
    forced = ForcedStop(station="wrapper", at_h=0.1, minutes=2)
    disturbed = simulate(calm(), hours=0.3, forced=(forced,))
    others: dict[str, Any] = {
        "history": simulate(calm(), hours=0.3, history=False),
        "random numbers": simulate(calm(), hours=0.3, seed=2),
        "warm-up": simulate(calm(), hours=0.2, warm_up_h=0.1),
    }
    for word, other in others.items():
        with pytest.raises(ValueError, match=word):
            disturbance(other, disturbed, forced)
    with pytest.raises(ValueError, match="no station called 'press'"):
        disturbance(disturbed, disturbed, ForcedStop(station="press", at_h=0.1, minutes=2))


@pytest.mark.parametrize("name", sorted(shipped_scenarios()))
def test_laws_on_the_demo_lines(name: str) -> None:
    scenario = load(find_scenario(name))
    forced = ForcedStop(station="wrapper", at_h=1, minutes=6)
    quiet = simulate(scenario, hours=3)
    record = simulate(scenario, hours=3, forced=(forced,))
    found = disturbance(quiet, record, forced)
    assert found == disturbance(quiet, record, forced)
    assert pickle.loads(pickle.dumps(found)) == found
    assert found.began_ns == 3600 * SECOND
    # Six minutes fill every one of these bridges before they stop the knives.
    knives = reached(record, found)["cutter"]
    assert knives[0] is State.BLOCKED
    assert found.bridge_full_ns is not None
    assert found.bridge_full_ns <= found.began_ns + knives[1] * SECOND + rated_set_ns(scenario)
    assert found.bridge_full_ns < found.began_ns + 360 * SECOND
    assert 0 < found.delay_ns <= 2 * 360 * SECOND
    assert found.in_step_ns is not None
    assert found.ended_ns is not None
    assert found.ended_ns <= found.in_step_ns <= (found.forgotten_ns or record.end_ns)
