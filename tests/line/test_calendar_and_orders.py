"""Breaks, planned work and shifts; orders in sequence and what a change between them takes."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.record import Loss, State
from linesim.scenario import ForcedStop
from tests.line.calm_line import METRE, REEL_M, SET_S, calm, spans_of, stop, stops_of


def planned(record, station: str) -> list[tuple[float, float, str]]:
    """Planned spans of a station: start and end in seconds, what for."""
    return [(s[0], s[1], s[3]) for s in spans_of(record, station) if s[2] == State.PLANNED]


def test_breaks_and_planned_work_stand_in_the_calendar() -> None:
    scenario = calm(
        break_=[{"start_h": 0.1, "minutes": 5}],
        planned_work=[{"name": "cleaning", "start_h": 0.3, "minutes": 6, "every_h": 0.2}],
    )
    record = simulate(scenario, hours=0.55)
    for station in ("unwind", "cutter", "transfer", "bridge", "wrapper"):
        assert planned(record, station) == [
            (360.0, 660.0, "break"),
            (1080.0, 1440.0, "cleaning"),
            (1800.0, 1980.0, "cleaning"),
        ]
        assert record.losses[record.station(station)][Loss.PLANNED] == 840 * 10**9


def test_a_relieved_break_stops_nothing() -> None:
    scenario = calm(break_=[{"start_h": 0.1, "minutes": 5, "line": "relieved"}])
    assert planned(simulate(scenario, hours=0.25), "cutter") == []


def test_nobody_begins_a_job_in_a_break() -> None:
    """The fault at 300 s needs one person, who is busy until 400 s; the break lasts to 660 s."""
    causes = [
        stop("wrapper", every_clock_h=280 / 3600, restore_min=2, people=1),
        stop("cutter", every_clock_h=300 / 3600, restore_min=2, people=1),
    ]
    scenario = calm(stop=causes, crew={"size": 1}, break_=[{"start_h": 0.1, "minutes": 5}])
    record = simulate(scenario, hours=0.2)
    down = [s for s in spans_of(record, "cutter") if s[2] == State.DOWN]
    assert down[0][0] == 660.0


def test_hours_without_a_shift_are_planned() -> None:
    scenario = calm(line={"shift_hours": 8}, calendar={"shifts_per_day": 1})
    record = simulate(scenario, hours=9)
    assert planned(record, "wrapper") == [(8 * 3600.0, 9 * 3600.0, "no shift")]


def test_the_line_stands_when_the_orders_are_made() -> None:
    """100 reams are 25 sets of 7.5 s; the last ream leaves 3 + 4 s after the last set is full."""
    record = simulate(calm(order=[{"name": "only", "reams": 100}]), hours=0.1)
    (order,) = record.orders
    assert order.cut_ns == pytest.approx(25 * SET_S * 1e9, abs=100)
    assert order.wrapped_ns == pytest.approx((25 * SET_S + 7) * 1e9, abs=100)
    assert record.books.reams.made == 100
    assert planned(record, "cutter") == [(pytest.approx(25 * SET_S, abs=1e-6), 360.0, "no order")]


def test_orders_of_the_same_goods_follow_each_other_without_a_stop() -> None:
    orders = [{"name": "a", "reams": 40}, {"name": "b", "reams": 40}]
    record = simulate(calm(order=orders), hours=0.1)
    assert [o.cut_ns for o in record.orders] == [
        pytest.approx(75e9, abs=100),
        pytest.approx(150e9, abs=100),
    ]


def test_another_grade_sends_the_reels_back() -> None:
    """Five reels less 300 m each; fresh ones at 100 um are 7775.44 m, at 125 um 4/5 of that.

    The last set is full at 75 s and its last ream wrapped 7 s later: then the order is done.
    """
    orders = [
        {"name": "thin", "reams": 40},
        {"name": "thick", "reams": 40, "thickness_um": 125, "grammage_g_per_m2": 100},
    ]
    scenario = calm(order=orders, changeover={"grade_min": 5, "people": 1})
    record = simulate(scenario, hours=0.2)
    assert stops_of(record, "unwind", "change of grade") == (1, 307.0)
    assert record.orders[1].cut_ns == pytest.approx((75 + 7 + 300 + 75) * 1e9, abs=100)
    paper = record.books.paper
    assert paper.returned == pytest.approx(5 * (REEL_M - 300) * METRE, abs=50)
    assert paper.loaded == pytest.approx(5 * REEL_M * 0.8 * METRE, abs=50)
    assert record.books.faults() == []


def test_another_size_waits_until_the_line_is_empty() -> None:
    """The last set of four is wrapped 7 s after it is full; somebody looks every second.

    The new sheet is 450 mm long: a set of 4 takes 45 m, 11.25 s; 2 lanes make 40 reams in 20 sets.
    """
    orders = [
        {"name": "short", "reams": 40},
        {"name": "long", "reams": 40, "sheet_length_mm": 450, "lanes": 2},
    ]
    scenario = calm(order=orders, changeover={"size_min": 5, "people": 1})
    record = simulate(scenario, hours=0.2)
    change = [s for s in spans_of(record, "unwind") if s[3] == "change of size"]
    assert change[0][0] == pytest.approx(75, abs=1e-6)
    assert 75 + 7 + 300 <= change[-1][1] <= 75 + 8 + 300 + 0.001
    assert record.orders[1].cut_ns == pytest.approx((change[-1][1] + 20 * 11.25) * 1e9, abs=1000)
    assert record.books.faults() == []


def test_reams_set_aside_are_made_again() -> None:
    """The wrapper stands for 30 s, and two sets of 4 fit on the bridge: a sixth set is cut."""
    scenario = calm(
        order=[{"name": "only", "reams": 20}], bridge={"places": 8, "when_full": "set_aside"}
    )
    forced = [ForcedStop(station="wrapper", at_h=0, minutes=0.5)]
    record = simulate(scenario, hours=0.2, forced=forced)
    # Sets are put down at 10.5, 18, 25.5, 33, 40.5 and 48 s. The third finds no place; at 33 s
    # three reams are wrapped and a fourth is off the bridge. The last is wrapped 4 s after 48 s.
    assert record.books.reams.set_aside == 4
    assert record.books.reams.wrapped == 20
    assert record.orders[0].wrapped_ns == 52 * 10**9


def test_an_order_is_done_when_its_good_reams_are() -> None:
    """A tenth of the wraps is spoiled and none saved: about 111 reams are made again."""
    scenario = calm(order=[{"name": "only", "reams": 1000}], wrapper=[{"spoiled_per_10000": 1000}])
    record = simulate(scenario, hours=1)
    books, (order,) = record.books.reams, record.orders
    assert order.wrapped_ns is not None
    assert 1000 <= books.wrapped < 1004
    assert books.made == books.wrapped + books.repulped
    assert 60 < books.repulped < 170
    assert record.books.faults() == []


@pytest.mark.parametrize(("rewrap_min", "done_s", "made"), [(10, 93.5, 44), (0.1, 88, 44)])
def test_a_spoiled_ream_counts_when_it_is_wrapped_again(
    rewrap_min: float, done_s: float, made: int
) -> None:
    """The tenth set is full at 75 s: the webs stand. The last of the 40 reams is spoiled at 82 s,
    so they run again until a set is full at 89.5 s, whose first ream is wrapped at 93.5 s, unless
    the spoiled one is saved before."""
    scenario = calm(
        order=[{"name": "only", "reams": 40}],
        stop=[stop("wrapper", "tear", every_reams=40, spoils_reams=1, restore_min=0)],
        rework={"places": 1, "rewrap_min": rewrap_min, "good_chance": 1},
    )
    record = simulate(scenario, hours=0.25)
    assert record.orders[0].wrapped_ns == pytest.approx(done_s * 1e9, abs=100)
    assert record.orders[0].cut_ns == pytest.approx(89.5e9, abs=100)
    assert record.books.reams.made == made
    assert record.books.reams.reworked == 1


def test_a_ream_of_the_order_before_counts_for_that_order_only() -> None:
    """A ream of the first order is saved while the second, of another grade, is made."""
    orders = [
        {"name": "thin", "reams": 40},
        {"name": "thick", "reams": 32, "thickness_um": 125, "grammage_g_per_m2": 100},
    ]
    scenario = calm(
        order=orders,
        changeover={"grade_min": 1, "people": 0},
        stop=[stop("wrapper", "tear", every_reams=40, spoils_reams=1, restore_min=0)],
        rework={"places": 1, "rewrap_min": 2, "good_chance": 1},
    )
    record = simulate(scenario, hours=0.3)
    # Thin: 44 reams, one of them spoiled; the change from 96.5 s, looked for every second from
    # 89.5 s on, to 156.5 s; the ream is saved at 202 s. Thick: eight sets, the last at 216.5 s.
    assert record.orders[1].begun_ns == pytest.approx(156.5e9, abs=1e6)
    assert record.orders[1].wrapped_ns == pytest.approx(223.5e9, abs=1e6)
    assert record.books.reams.reworked == 1
