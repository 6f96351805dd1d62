"""Two lines of real shape, to the pallet and to the orders, said without working round anything."""

from __future__ import annotations

from pathlib import Path

import pytest

import linesim
from linesim.fast import kept_engine, simulate
from linesim.record.audit import audit
from linesim.scenario import load
from linesim.scenario.goods import goods_of
from linesim.scenario.units import HOUR
from linesim.scenario.wages import wages_of_the_crew

HERE = Path(__file__).with_name("whole_lines")
NAMES = ("six-lanes", "four-orders")


@pytest.mark.parametrize("name", NAMES)
def test_it_is_a_line_and_its_books_balance_in_both_ways_of_running(name: str) -> None:
    kept_engine.make()
    line = load(HERE / f"{name}.toml")
    by_machine = simulate(line, hours=2, seed=3, engine="compiled")
    by_python = simulate(line, hours=2, seed=3, engine="interpreted")
    assert by_machine.books == by_python.books
    assert by_machine.sums == by_python.sums
    assert [check.faults for check in audit(by_machine) if check.faults] == []


def test_six_lanes_are_what_their_figures_say() -> None:
    """300 m a minute, cuts of 0.297 m, 6 lanes of 5 webs, 500 sheets; 1,400 mm as bought."""
    line = load(HERE / "six-lanes.toml")
    goods = goods_of(line)
    assert goods.speed * 6e10 / goods.cut_um * 6 * 5 / 500 == pytest.approx(60.606, abs=0.001)
    assert goods.trim_um == 1_400_000 - 6 * 210_000
    record = simulate(line, hours=24, seed=1)
    cartons = record.books.cartons
    assert cartons is not None
    assert cartons.pallets > 0
    used = record.books.area_um2
    assert used["edge_trim"] / sum(used.values()) == pytest.approx(0.1, abs=0.005)


def test_two_people_at_night_and_three_by_day_are_paid_for_their_shifts() -> None:
    """31 an hour, 8,400 h a year: two for all of them, the third on two shifts of three."""
    paid = wages_of_the_crew(load(HERE / "six-lanes.toml"))
    assert paid == pytest.approx(31 * 8400 * (2 + 2 / 3))


def test_four_orders_are_done_in_turn_and_the_last_is_not_begun_before_it_is_released() -> None:
    record = simulate(load(HERE / "four-orders.toml"), hours=24, seed=1)
    begun = [order.begun_ns for order in record.orders]
    assert begun == sorted(begun)
    assert begun[3] >= 6 * HOUR
    assert linesim.record.product_effectiveness(record)
