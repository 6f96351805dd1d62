"""Grades and sizes by name: what they limit, and what it takes from one to another."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.fast import simulate
from linesim.record import State
from tests.line.calm_line import METRE, calm, spans_of, stops_of

SIZES = [
    {"name": "small", "sheet_width_mm": 210, "sheet_length_mm": 300, "lanes": 4},
    {"name": "large", "sheet_width_mm": 297, "sheet_length_mm": 450, "lanes": 2},
]
GRADES = [{"name": "white"}, {"name": "pink"}]


def orders(*made: tuple[str, str]) -> list[dict[str, Any]]:
    """An order of 40 reams of each size and grade."""
    return [
        {"name": f"{number}", "reams": 40, "size": size, "grade": grade}
        for number, (size, grade) in enumerate(made)
    ]


def changes(record, cause: str) -> list[tuple[float, float]]:
    """Seconds at work on a change-over, and in which: waiting for the empty line left out."""
    return [(s[0], s[1]) for s in spans_of(record, "unwind") if s[3] == cause]


def test_a_grade_limits_the_speed_of_the_webs() -> None:
    """120 m/min are 2 m/s: a set takes 15 s. The next order has no limit: a set takes 7.5 s."""
    grades = [{"name": "white"}, {"name": "pink", "web_speed_m_per_min": 120}]
    made = orders(("small", "pink"), ("small", "white"))
    table = {"grade_min": 1, "people": 0}
    record = simulate(calm(grade=grades, size=SIZES, order=made, changeover=table), hours=0.2)
    first, second = record.orders
    assert first.cut_ns == pytest.approx(150e9, abs=1000)
    assert second.cut_ns - second.begun_ns == pytest.approx(75e9, abs=1000)


def test_the_lower_limit_of_grade_and_size_and_cutter_counts() -> None:
    """Cutter 240, size 180, grade 120 m/min; then size 60: 1 m/s, 30 s a set."""
    for size_limit, seconds in ((180, 150), (60, 300), (None, 150)):
        size = SIZES[0] | ({"web_speed_m_per_min": size_limit} if size_limit else {})
        grade = {"name": "pink", "web_speed_m_per_min": 120}
        scenario = calm(grade=[grade], size=[size], order=orders(("small", "pink")))
        record = simulate(scenario, hours=0.2)
        assert record.orders[0].cut_ns == pytest.approx(seconds * 1e9, abs=1000)


def test_a_size_limits_the_wrappers_and_the_next_does_not() -> None:
    """At 30 reams a minute 40 reams take 80 s from 10.5 s on, when the first set is put down.

    The next size is cut in sets of two that take 11.25 s and is wrapped at 60 a minute: its last
    ream leaves 3 s of the transfer's and 2 s of the wrapper's after its last set.
    """
    sizes = [SIZES[0] | {"wrapper_rate_reams_per_min": 30}, SIZES[1]]
    scenario = calm(
        size=sizes,
        grade=GRADES,
        order=orders(("small", "white"), ("large", "white")),
        changeover={"size_min": 1, "people": 0},
    )
    first, second = simulate(scenario, hours=0.3).orders
    assert first.wrapped_ns == pytest.approx(90.5e9, abs=1000)
    assert second.wrapped_ns - second.begun_ns == pytest.approx((20 * 11.25 + 5) * 1e9, abs=2000)


@pytest.mark.parametrize(("limit", "closed"), [(None, 12), (6, 8)])
def test_a_size_of_the_product_limits_the_carton_packer(limit: float | None, closed: int) -> None:
    """Four reams are there from 14.5 s on, every 7.5 s. A carton takes 1 s, or 10 s: until 100 s
    they are 1 + (100 - 15.5) / 7.5, or (100 - 14.5) / 10, whole ones."""
    size = SIZES[0] | ({"packer_rate_cartons_per_min": limit} if limit else {})
    scenario = calm(
        size=[size],
        product={"size": "small"},
        carton_packer={"reams_per_carton": 4, "rate_cartons_per_min": 60, "conveyor_reams": 100},
    )
    books = simulate(scenario, hours=100 / 3600).books
    assert books.cartons is not None
    assert books.cartons.cartons == closed


def test_a_grade_that_breaks_twice_as_often_breaks_at_half_the_length() -> None:
    """The first break by the same draw: of the meter of breaks a metre takes twice as much."""
    path = {"breaks_per_100_reels": 400, "rethread_people": 0}
    places = []
    for breaks in (400, 800):
        grade = {"name": "pink", "breaks_per_100_reels": breaks}
        scenario = calm(grade=[grade], size=SIZES, order=orders(("small", "pink")), web_path=path)
        scenario = scenario.varied(order=({"name": "o", "reams": 10**6, "grade": "pink"},))
        record = simulate(scenario, hours=1)
        down = next(s for s in spans_of(record, "web_path") if s[3] == "web break")
        places.append(down[0])
    assert places[0] == pytest.approx(2 * places[1], abs=1e-5)


def test_a_grade_that_never_breaks() -> None:
    path = {"breaks_per_100_reels": 2000, "rethread_people": 0}
    made = [{"name": "o", "reams": 5000, "grade": "pink"}]
    grade = {"name": "pink", "breaks_per_100_reels": 0}
    assert stops_of(
        simulate(calm(grade=[grade], order=made, web_path=path), hours=1), "web_path", "web break"
    ) == (0, 0)


def test_breaks_of_a_grade_count_its_own_reels() -> None:
    """At half the thickness a reel is twice as long: the same breaks a reel are half as many a
    metre, so the first falls due at twice the length."""
    places = []
    for thickness in (100, 50):
        grade = {"name": "pink", "thickness_um": thickness, "breaks_per_100_reels": 400}
        made = [{"name": "o", "reams": 10**6, "grade": "pink"}]
        path = {"breaks_per_100_reels": 400, "rethread_people": 0}
        record = simulate(calm(grade=[grade], order=made, web_path=path), hours=1)
        down = next(s for s in spans_of(record, "web_path") if s[3] == "web break")
        places.append(down[0])
    assert places[1] == pytest.approx(2 * places[0], abs=1e-5)


def test_the_product_may_name_a_grade_and_a_size() -> None:
    scenario = calm(
        grade=[{"name": "pink", "web_speed_m_per_min": 120}],
        size=[{"name": "other", "lanes": 4, "wrapper_rate_reams_per_min": 40}],
        product={"grade": "pink", "size": "other"},
    )
    # 15 s a set of four.
    assert simulate(scenario, hours=151 / 3600).books.reams.made == 40
    unnamed = calm(product={"grade": None})
    assert unnamed.product.thickness_um == 100


PAIRS = [
    {"before": "small", "after": "large", "time_min": 5},
    {"before": "large", "after": "small", "time_min": 2},
    {"before": "white", "after": "pink", "time_min": 8, "people": 3},
]


def lengths(made: list[dict[str, Any]], **table: Any) -> list[tuple[str, float]]:
    """Each change-over of these orders, and how long work on it took, s."""
    usual = {"grade_min": 1, "size_min": 10, "people": 1} | table
    scenario = calm(
        grade=GRADES, size=SIZES, order=made, changeover=usual, changeover_pair=PAIRS, crew={}
    )
    record = simulate(scenario, hours=2)
    assert all(order.wrapped_ns is not None for order in record.orders)
    assert record.books.faults() == []
    found = []
    for last, order in zip(record.orders, record.orders[1:], strict=False):
        # Somebody looks every second whether the line has run empty: from the last cut on.
        looked = -(-(last.wrapped_ns - last.cut_ns) // 10**9)
        begun = last.cut_ns + looked * 10**9
        spans = [s for s in spans_of(record, "unwind") if s[0] * 1e9 >= last.cut_ns - 1000]
        found.append((spans[0][3], round((order.begun_ns - begun) / 1e9, 3)))
    return found


def test_a_pair_is_not_symmetric_and_what_is_not_named_goes_by_the_simple_times() -> None:
    there_and_back = orders(("small", "white"), ("large", "white"), ("small", "white"))
    assert lengths(there_and_back) == [("change of size", 300), ("change of size", 120)]
    grades = orders(("small", "white"), ("small", "pink"), ("small", "white"))
    assert lengths(grades) == [("change of grade", 480), ("change of grade", 60)]


@pytest.mark.parametrize(
    ("how", "there", "back"), [("meanwhile", 480, 120), ("afterwards", 780, 180)]
)
def test_grade_and_size_together(how: str, there: float, back: float) -> None:
    """Meanwhile: white to pink is known to take longer than the size; back the size alone counts.
    Afterwards: 5 + 8 minutes, and 2 + 1."""
    made = orders(("small", "white"), ("large", "pink"), ("small", "white"))
    found = lengths(made, grade_with_size=how)
    assert found == [("change of size", there), ("change of size", back)]


def test_a_pair_takes_its_people() -> None:
    """One of three is at the outfeed from 80 s to 260 s: a change that takes three waits for it."""
    made = orders(("small", "white"), ("small", "pink"))
    stop = {"station": "outfeed", "cause": "jam", "every_clock_h": 80 / 3600, "people": 1}
    scenario = calm(
        grade=GRADES,
        size=SIZES,
        order=made,
        changeover={"grade_min": 1, "people": 1},
        changeover_pair=PAIRS,
        crew={"size": 3},
        outfeed={"rate_reams_per_min": 100, "buffer_reams": 100},
        stop=[stop | {"restore_min": 3}],
    )
    record = simulate(scenario, hours=0.5)
    assert record.orders[1].begun_ns == pytest.approx((260 + 480) * 1e9, abs=1000)


def test_another_wrapping_of_the_same_sheet_leaves_reels_and_knives() -> None:
    sizes = [SIZES[0], SIZES[0] | {"name": "small, strong wrap", "wrapper_rate_reams_per_min": 50}]
    made = orders(("small", "white"), ("small, strong wrap", "white"))
    for minutes, seconds in ((4, 240), (None, 600)):
        table = {"size_min": 10, "people": 0} | ({"wrapping_min": minutes} if minutes else {})
        scenario = calm(grade=GRADES, size=sizes, order=made, changeover=table)
        record = simulate(scenario, hours=0.5)
        count, stood = stops_of(record, "unwind", "change of wrapping")
        assert (count, stood) == (1, pytest.approx(7 + seconds, abs=0.01))
        assert record.books.paper.returned == 0


def test_a_pair_meets_its_own_luck_wherever_it_comes() -> None:
    """The first change from small to large takes the same time first or second in the sequence."""
    law = {"law": "lognormal", "mean": 5, "sd": 3}
    pairs = [PAIRS[0] | {"time_min": law}, PAIRS[1] | {"time_min": law}]
    found = []
    for made in (
        orders(("small", "white"), ("large", "white")),
        orders(("large", "white"), ("small", "white"), ("large", "white")),
    ):
        table = {"people": 0}
        scenario = calm(
            grade=GRADES, size=SIZES, order=made, changeover=table, changeover_pair=pairs
        )
        last, order = simulate(scenario, hours=2).orders[-2:]
        looked = -(-(last.wrapped_ns - last.cut_ns) // 10**9) * 10**9
        found.append(order.begun_ns - last.cut_ns - looked)
    assert found[0] == pytest.approx(found[1], abs=1)


def not_released(record) -> list[tuple[float, float]]:
    return [
        (pytest.approx(s[0], abs=1e-6), s[1])
        for s in spans_of(record, "cutter")
        if s[3] == "order not released"
    ]


def test_nothing_is_made_of_an_order_before_its_release() -> None:
    """40 reams are cut at 75 s; the next of the same goods is released at 360 s."""
    made = [{"name": "a", "reams": 40}, {"name": "b", "reams": 40, "released_h": 0.1}]
    record = simulate(calm(order=made), hours=0.2)
    assert not_released(record) == [(75.0, 360.0)]
    assert record.orders[1].begun_ns == 360 * 10**9
    assert record.orders[1].cut_ns == pytest.approx((360 + 75) * 1e9, abs=1000)
    spans = [s for s in spans_of(record, "cutter") if s[3] == "order not released"]
    assert {s[2] for s in spans} == {State.PLANNED}


def test_the_first_order_may_not_be_released_yet() -> None:
    made = [{"name": "a", "reams": 40, "released_h": 0.1}]
    record = simulate(calm(order=made), hours=0.2)
    assert not_released(record) == [(0.0, 360.0)]
    assert record.orders[0].begun_ns == 360 * 10**9
    assert record.orders[0].cut_ns == pytest.approx((360 + 75) * 1e9, abs=1000)


def test_a_change_over_begins_with_the_release() -> None:
    made = orders(("small", "white"), ("small", "pink"))
    made[1]["released_h"] = 0.1
    table = {"grade_min": 3, "people": 1}
    scenario = calm(grade=GRADES, size=SIZES, order=made, changeover=table)
    record = simulate(scenario, hours=0.3)
    assert not_released(record) == [(75.0, 360.0)]
    assert changes(record, "change of grade") == [(360.0, 540.0)]
    assert record.orders[1].begun_ns == 540 * 10**9


def test_a_release_by_date_is_one_in_hours() -> None:
    dated = calm(
        order=[
            {"name": "a", "reams": 40, "released": "2026-03-02 06:06", "due": "2026-03-02 08:00"}
        ],
        calendar={"starts": "2026-03-02 06:00"},
    )
    assert dated.released_h(dated.order[0]) == pytest.approx(0.1)
    assert dated.due_h(dated.order[0]) == 2
    past = dated.varied(order=({"name": "a", "reams": 1, "released": "2026-03-01 06:06"},))
    assert past.released_h(past.order[0]) == 0


def test_reams_lost_while_the_line_waits_for_a_release_are_made_first() -> None:
    """The last ream is spoiled at 82 s: one more set is cut, and the wait goes on after it."""
    made = [{"name": "a", "reams": 40}, {"name": "b", "reams": 40, "released_h": 0.1}]
    tear = {"station": "wrapper", "cause": "tear", "every_reams": 40, "spoils_reams": 1}
    scenario = calm(order=made, stop=[tear | {"restore_min": 0, "people": 0}])
    record = simulate(scenario, hours=0.2)
    assert not_released(record) == [(75.0, 82.0), (89.5, 360.0)]
    assert record.orders[1].begun_ns == 360 * 10**9
    assert record.books.faults() == []


def test_metres_are_metres() -> None:
    """A grade by another name is other paper: its reels go back."""
    made = orders(("small", "white"), ("small", "pink"))
    scenario = calm(grade=GRADES, size=SIZES, order=made, changeover={"grade_min": 1, "people": 0})
    paper = simulate(scenario, hours=0.3).books.paper
    assert paper.returned > 5 * 7000 * METRE
