"""Trucks that bring reels, for all stands, and reels ordered ahead of need."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.fast import simulate
from linesim.record import Record, State
from linesim.record.audit import audit
from linesim.record.capacity import slowest_net, station_rates
from tests.line.calm_line import REEL_M, SPEED_M_PER_S, calm, one_web, spans_of, stops_of

REEL_S = REEL_M / SPEED_M_PER_S
"""A fresh reel lasts 1943.86 s."""
SPLICE = {"change": "standstill_splice", "splice_min": 1, "prepare_people": 0, "splice_people": 0}
TRUCK = {"reel_min": 5}
PAIRED = SPLICE | {"stands_per_web": 2}


def waits(record: Record, cause: str) -> list[tuple[float, float]]:
    """When the webs waited for a reel, s, for this cause."""
    spans = spans_of(record, "unwind")
    return [s[:2] for s in spans if s[2] == State.WAITING_REEL and s[3] == cause]


def close(*spans: tuple[float, float]) -> list[Any]:
    return [pytest.approx(span, abs=1e-3) for span in spans]


def test_five_fresh_reels_that_run_out_together_come_one_after_the_other() -> None:
    """They come 5, 10, 15, 20 and 25 min later, and each is changed in 2 min when it has come."""
    record = simulate(calm(unwind={"change_min": 2}, reel_truck=TRUCK), hours=1)
    came = [REEL_S + 300 * k for k in range(1, 6)]
    before = [REEL_S, *[at + 120 for at in came[:-1]]]
    assert waits(record, "reel truck") == close(*zip(before, came, strict=True))
    assert stops_of(record, "unwind", "reel change") == (1, 600.0)
    assert stops_of(record, "unwind", "reel truck") == (5, pytest.approx(17 * 60, abs=1e-3))
    starved = [s for s in spans_of(record, "cutter") if s[4] == ("unwind", "reel truck")]
    assert sum(s[1] - s[0] for s in starved) == pytest.approx(17 * 60, abs=1e-3)


def test_two_trucks_bring_five_reels_in_three_turns() -> None:
    """All are changed while others come: in 3 x 5 min and the change of the last."""
    truck = TRUCK | {"trucks": 2}
    record = simulate(calm(unwind={"change_min": 2}, reel_truck=truck), hours=1)
    spans = [s for s in spans_of(record, "unwind") if s[2] > State.SLOWED]
    assert (spans[0][0], spans[-1][1]) == close((REEL_S, REEL_S + 17 * 60))[0]
    assert stops_of(record, "unwind", "reel truck")[1] == pytest.approx(11 * 60, abs=1e-3)


def test_who_brings_the_reel_changes_it_afterwards() -> None:
    """One person: 5 min on the truck and then 2 at the stand, reel after reel: 35 min."""
    truck, unwind = TRUCK | {"people": 1}, {"change_min": 2, "change_people": 1}
    record = simulate(calm(unwind=unwind, reel_truck=truck, crew={"size": 1}), hours=1.3)
    spans = [s for s in spans_of(record, "unwind") if s[2] > State.SLOWED]
    assert (spans[0][0], spans[-1][1]) == close((REEL_S, REEL_S + 35 * 60))[0]


@pytest.mark.parametrize(
    ("bring_min", "prepare_min", "by_truck_s"), [(30, 10, 0), (40, 1, 2460 - 60 - REEL_S)]
)
def test_a_second_stand_is_prepared_when_its_reel_has_come(
    bring_min: float, prepare_min: float, by_truck_s: float
) -> None:
    """Emptied at 2003.86 s; the next reel ends at 3947.73 s. Brought for 30 min it is there in time
    and prepared 10 min later, at 4403.86 s; for 40 min it comes at 4403.86 s."""
    unwind, truck = PAIRED | {"prepare_min": prepare_min}, {"reel_min": bring_min}
    record = simulate(one_web(unwind=unwind, reel_truck=truck), hours=1.3)
    ready, out = REEL_S + 60 + 60 * (bring_min + prepare_min), 2 * REEL_S + 60
    came = out + by_truck_s
    assert waits(record, "reel truck") == (close((out, came)) if by_truck_s else [])
    assert waits(record, "splice") == close((came, ready))
    assert stops_of(record, "unwind", "splice")[0] == 2


def test_spare_stands_wait_for_the_truck_too() -> None:
    """Staggered reels end every 388.77 s of running. Emptied at 448.77 s, the one spare stand has
    its reel 10 min later; a minute more is for preparing it. The webs stand from 837.55 s."""
    unwind = SPLICE | {"spare_stands": 1, "prepare_min": 1}
    tables = {"reels": {"at_start": "staggered"}, "reel_truck": {"reel_min": 10}}
    record = simulate(calm(unwind=unwind, **tables), hours=1200 / 3600)
    came = REEL_S / 5 + 60 + 600
    assert waits(record, "reel truck") == close((2 * REEL_S / 5 + 60, came))
    assert waits(record, "splice") == close((came, came + 60))


@pytest.mark.parametrize(("below_m", "waited_s"), [(2400, 0), (600, 150)])
def test_a_reel_that_is_ordered_ahead_is_there(below_m: float, waited_s: float) -> None:
    """At 4 m/s with 2400 m left, 600 s ahead, it is there in 300 s; with 600 m left, too late."""
    truck = TRUCK | {"places": 1, "order_below_m": below_m}
    record = simulate(one_web(unwind={"change_min": 2}, reel_truck=truck), hours=4)
    lap = REEL_S + waited_s + 120
    out = [REEL_S + k * lap for k in range(int((4 * 3600 - REEL_S) / lap) + 1)]
    expected = [(at, at + waited_s) for at in out] if waited_s else []
    assert waits(record, "reel truck") == close(*expected)
    assert stops_of(record, "unwind", "reel change")[0] == len(out)


def test_no_more_is_ordered_ahead_than_there_are_places() -> None:
    """Fresh reels of five webs are all low at once: of two places two reels are at hand, three
    more come at 5, 10 and 15 min; each is changed in 2 min."""
    truck = TRUCK | {"places": 2, "order_below_m": 7000}
    record = simulate(calm(unwind={"change_min": 2}, reel_truck=truck), hours=1)
    came = [REEL_S + 300 * k for k in range(1, 4)]
    before = [REEL_S + 120, *[at + 120 for at in came[:-1]]]
    assert waits(record, "reel truck") == close(*zip(before, came, strict=True))


def test_from_a_place_beside_the_line_a_stand_is_prepared_in_the_time_to_chuck() -> None:
    """Prepared from 2003.86 s, 36 min long; `prepare_min` says nothing of it."""
    unwind = PAIRED | {"prepare_min": 500}
    truck = TRUCK | {"places": 1, "order_below_m": 2400, "chuck_min": 36}
    record = simulate(one_web(unwind=unwind, reel_truck=truck), hours=1.3)
    out, ready = 2 * REEL_S + 60, REEL_S + 60 + 36 * 60
    assert waits(record, "splice") == close((out, ready))
    assert waits(record, "reel truck") == []


def test_a_change_of_grade_waits_for_all_its_reels() -> None:
    """25 min for five of them from when the line is empty; people are done in 10."""
    orders = [{"name": "a", "reams": 300}, {"name": "b", "reams": 900, "grammage_g_per_m2": 90}]
    tables = {"order": orders, "changeover": {"grade_min": 10, "people": 0}}
    record = simulate(calm(reel_truck=TRUCK, **tables), hours=2)
    (change,) = [s for s in spans_of(record, "unwind") if s[2] == State.CHANGEOVER]
    assert waits(record, "reel truck") == close((change[1], change[1] + 900))


def test_stands_prepared_for_the_old_grade_are_prepared_anew() -> None:
    """The change waits for reels of the webs; the others come while the line runs again, and
    nobody waits for them."""
    orders = [{"name": "a", "reams": 300}, {"name": "b", "reams": 900, "grammage_g_per_m2": 90}]
    changeover = {"grade_min": 10, "people": 0}
    for stands in ({"stands_per_web": 2}, {"spare_stands": 2}):
        unwind = SPLICE | {"prepare_min": 1} | stands
        line = calm(unwind=unwind, reel_truck=TRUCK, order=orders, changeover=changeover)
        record = simulate(line, hours=2)
        assert [fault for check in audit(record) for fault in check.faults] == []
        assert sum(b - a for a, b in waits(record, "reel truck")) == pytest.approx(900, abs=1e-3)


def test_a_truck_that_always_fails_brings_every_reel_later() -> None:
    truck = TRUCK | {"stops_per_100_reels": 100, "stop_min": 7}
    record = simulate(one_web(unwind={"change_min": 2}, reel_truck=truck), hours=1)
    assert waits(record, "reel truck") == close((REEL_S, REEL_S + 12 * 60))


def test_no_station_makes_more_than_the_truck_brings_reels_for() -> None:
    """7775.44 m every 100 min; 500 sheets of 0.3 m are 150 m of web, and a set of 4 reams: of one
    web's lanes a reel makes 207.345 reams. The line as it runs makes as much, to a set."""
    truck = {"reel_min": 100}
    scenario = calm(unwind=PAIRED | {"prepare_min": 0}, reel_truck=truck)
    sheeter = slowest_net(scenario)
    assert sheeter.station == "sheeter"
    assert sheeter.net == pytest.approx(REEL_M / 150 * 4 / 100)
    laps = simulate(scenario, hours=15 * 500 / 60, warm_up_h=3 * 500 / 60, history=False)
    assert laps.books.reams.good == pytest.approx(sheeter.net * 15 * 500, abs=4)


def test_a_standing_change_takes_the_time_of_its_truck() -> None:
    """A change every 7775.44 m of a web: of 1943.86 s running, 5 min for the truck and 2 for it."""
    scenario = one_web(unwind={"change_min": 2}, reel_truck=TRUCK)
    sheeter = station_rates(scenario)[0]
    assert sheeter.availability == pytest.approx(REEL_S / (REEL_S + 420))
    assert sheeter.minutes_per_running_h["reel truck"] == pytest.approx(5 * 3600 / REEL_S)


@pytest.mark.parametrize(
    ("trucks", "people", "stands_min"), [(1, 0, 27), (2, 0, 17), (2, 1, 17), (5, 1, 15)]
)
def test_reels_changed_together_are_changed_while_others_come(
    trucks: int, people: int, stands_min: float
) -> None:
    """Five reels in turns of 5 min, the change of the last 2 min: 27 with one truck, 17 with two.

    One person who changes them changes two while the next two come. Where all come at once, after
    5 min, five changes follow. The net rate knows the same minutes.
    """
    unwind = {"change_min": 2, "change_people": people}
    line = calm(unwind=unwind, reel_truck=TRUCK | {"trucks": trucks}, crew={"size": 1})
    stood = [s for s in spans_of(simulate(line, hours=1.1), "unwind") if s[2] > State.SLOWED]
    assert stood[-1][1] - stood[0][0] == pytest.approx(stands_min * 60, abs=1e-3)
    availability = station_rates(line)[0].availability
    assert availability == pytest.approx(REEL_S / (REEL_S + stands_min * 60))
