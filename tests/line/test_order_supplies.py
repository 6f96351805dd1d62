"""Holidays, change-overs by what changes, and what the orders take from the stores."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.scenario.shifts import pauses
from linesim.scenario.units import HOUR
from tests.line.calm_line import METRE, REEL_M, SET_S, calm, stops_of

DAY = 24 * HOUR
TWO_SIZES = [
    {"name": "short", "reams": 40},
    {"name": "long", "reams": 40, "sheet_length_mm": 450, "thickness_um": 125},
]


def stretches(until_h: float, **tables) -> list[tuple[float, float, str]]:
    """Every pause: start and end in hours, and why."""
    found = pauses(calm(**tables), round(until_h * HOUR))
    return [(each.start / HOUR, each.end / HOUR, each.name) for each in found]


def test_no_shift_begins_on_a_holiday() -> None:
    """One shift of 8 h a day, five days a week; the third day is free."""
    assert stretches(
        72,
        line={"shift_hours": 8},
        calendar={"shifts_per_day": 1, "days_per_week": 5},
        holiday=[{"name": "spring feast", "day": 3}],
    ) == [(8, 24, "no shift"), (32, 48, "no shift"), (48, 72, "spring feast")]


def test_a_shift_that_began_before_is_finished() -> None:
    """Shifts of 10 h without a pause begin at 0, 10, 20, ...; day 2 is from 24 to 48 h."""
    found = stretches(60, line={"shift_hours": 10}, holiday=[{"name": "feast", "day": 2}])
    assert found == [(30, 48, "feast"), (48, 50, "no shift")]


def test_a_holiday_has_no_breaks_and_ends_by_itself() -> None:
    found = stretches(
        100,
        line={"shift_hours": 8},
        break_=[{"start_h": 4, "minutes": 30}],
        holiday=[{"name": "works holiday", "day": 2, "days": 3}],
    )
    assert (24, 96, "works holiday") in found
    assert [each for each in found if each[2] == "break"] == [
        (4, 4.5, "break"),
        (12, 12.5, "break"),
        (20, 20.5, "break"),
    ]


def minutes_between(changeover: dict, orders: list[dict]) -> float:
    scenario = calm(order=orders, changeover={"people": 0} | changeover)
    record = simulate(scenario, hours=0.9)
    count, seconds = stops_of(record, "unwind", "change of size")
    assert count == 1
    assert record.books.faults() == []
    return seconds / 60


def test_other_lanes_have_a_time_of_their_own_where_the_length_stays() -> None:
    orders = [{"name": "a", "reams": 40}, {"name": "b", "reams": 40, "lanes": 3}]
    times = {"size_min": 20, "lanes_min": 12}
    # The webs stand a few seconds more: the line runs empty first.
    assert minutes_between(times, orders) == pytest.approx(12, abs=0.2)
    assert minutes_between({"size_min": 20}, orders) == pytest.approx(20, abs=0.2)
    assert minutes_between(times, TWO_SIZES) == pytest.approx(20, abs=0.2)


def test_the_reels_are_changed_meanwhile_or_afterwards() -> None:
    times = {"size_min": 20, "grade_min": 9}
    assert minutes_between(times, TWO_SIZES) == pytest.approx(20, abs=0.2)
    afterwards = times | {"grade_with_size": "afterwards"}
    assert minutes_between(afterwards, TWO_SIZES) == pytest.approx(29, abs=0.2)
    only_size = [TWO_SIZES[0], {"name": "long", "reams": 40, "sheet_length_mm": 450}]
    assert minutes_between(afterwards, only_size) == pytest.approx(20, abs=0.2)


def test_an_order_begins_when_the_line_is_ready_for_it() -> None:
    record = simulate(
        calm(
            order=[TWO_SIZES[0], TWO_SIZES[0] | {"name": "more"}, TWO_SIZES[1]],
            changeover={"size_min": 5, "people": 0},
        ),
        hours=0.5,
    )
    first, second, third = record.orders
    assert first.begun_ns == 0
    assert second.begun_ns == first.cut_ns == pytest.approx(10 * SET_S * 1e9, abs=100)
    assert third.begun_ns is not None
    assert third.begun_ns > 300e9 + second.cut_ns
    short = simulate(calm(order=TWO_SIZES, changeover={"size_min": 500, "people": 0}), hours=0.5)
    assert short.orders[1].begun_ns is None


def test_reels_and_part_reels_are_noted_with_width_and_grade() -> None:
    """Five reels less 300 m each go back; fresh ones at 125 um are 4/5 as long.

    The last set is full at 75 s and wrapped 7 s later; the change takes 5 min from then on.
    """
    orders = [
        {"name": "thin", "reams": 40},
        {"name": "thick", "reams": 40, "thickness_um": 125, "grammage_g_per_m2": 100},
    ]
    record = simulate(calm(order=orders, changeover={"grade_min": 5, "people": 1}), hours=0.2)
    moves = record.supplies.reels
    thin, back, thick = moves[:5], [m for m in moves if m.back], moves[-1]
    assert len(moves) == 15
    assert all(m.at_ns == 0 and m.length_um == pytest.approx(REEL_M * METRE) for m in thin)
    assert [(m.grammage_mg_per_m2, m.thickness_um) for m in back] == [(80_000, 100.0)] * 5
    assert sum(m.length_um for m in back) == record.books.paper.returned
    assert (thick.web_width_um, thick.grammage_mg_per_m2) == (860_000, 100_000)
    assert thick.at_ns == pytest.approx((75 + 7 + 300) * 1e9, abs=100)
    # 7775.44 m x 0.86 m x 80 g/m2
    assert thin[0].mass_kg == pytest.approx(534.95, abs=0.01)


def test_wrapping_rolls_are_noted_as_they_are_put_on() -> None:
    """A roll of 30 reams: on at the start, then after 30, 60 and 90 of 100 reams."""
    scenario = calm(
        order=[{"name": "only", "reams": 100}],
        wrapper=[
            {
                "rate_reams_per_min": 60,
                "roll_length_m": 30,
                "wrap_length_mm": 1000,
                "roll_change": "splice",
                "roll_splice_fail_chance": 0,
                "roll_change_people": 0,
            }
        ],
    )
    rolls = simulate(scenario, hours=0.2).supplies.rolls
    assert len(rolls) == 4
    assert rolls[0].at_ns == 0
    assert {(each.sheet_width_um, each.sheet_length_um) for each in rolls} == {(210_000, 300_000)}


def test_without_orders_nothing_is_noted() -> None:
    record = simulate(calm(), hours=1)
    assert record.supplies.reels == record.supplies.rolls == ()
