"""The orders of a run in time, of orders put together by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

import linesim
from linesim.record import Record
from linesim.record.record import OrderDone
from linesim.report import order_at, orders_in_time, orders_table

H = linesim.scenario.HOUR


@pytest.fixture(scope="module")
def record() -> Record:
    scenario = linesim.scenario.load(linesim.scenario.find_scenario("orders"))
    run = linesim.fast.simulate(scenario, hours=0.1)
    names = [(order.name, order.reams) for order in scenario.order]
    times = [(0.0, 11.0, 11.5), (11.25, 17.0, 17.5), (18.0, 34.0, None), (None,) * 3, (None,) * 3]
    made = tuple(
        OrderDone(name, reams, *(None if t is None else round(t * H) for t in (cut, done, begun)))
        for (name, reams), (begun, cut, done) in zip(names, times, strict=True)
    )
    return replace(run, orders=made, end_ns=34 * H)


def test_what_is_due_is_late_from_then_on(record: Record) -> None:
    first, second, third, fourth, fifth = orders_in_time(record)
    # Due after 12, 16, 32, 33 and 50 hours, by the file.
    assert (first.due_h, first.late_h) == (12, None)
    assert (second.begun_h, second.done_h, second.late_h) == (11.25, 17.5, 1.5)
    assert (third.done_h, third.late_h) == (None, 2)
    assert (fourth.begun_h, fourth.late_h) == (None, 1)
    assert fifth.late_h is None
    scenario = record.scenario
    assert second.words(scenario).splitlines() == [
        "A4 75 g: 7,000 reams",
        "due Mon 2 Mar 22:00: 1.5 h late",
        "begun Mon 2 Mar 17:15, done Mon 2 Mar 23:30",
    ]
    assert "due Tue 3 Mar 14:00: 2.0 h late as the run ends" in third.words(scenario)


def test_of_two_orders_on_the_line_the_later_is_made(record: Record) -> None:
    names = [None if (at := order_at(record, h)) is None else at.name for h in (11, 11.3, 17.8, 20)]
    assert names == ["A4 80 g", "A4 75 g", None, "A3 80 g"]


def test_the_table_has_dates_for_people_and_hours_in_files(record: Record) -> None:
    dated = orders_table(record)
    assert [column.heading for column in dated.columns][2:5] == ["begun", "done", "due"]
    assert dated.header[2:5] == ["begun [h]", "done [h]", "due [h]"]
    assert dated.rows[1][2:] == (11.25, 17.5, 16, 1.5)
    assert dated.texts(dated.rows[1])[2:] == [
        "Mon 2 Mar 17:15",
        "Mon 2 Mar 23:30",
        "Mon 2 Mar 22:00",
        "1.50",
    ]
    scenario = record.scenario
    calendar = scenario.calendar.model_copy(update={"starts": None})
    bare = replace(record, scenario=scenario.model_copy(update={"calendar": calendar}))
    assert [column.heading for column in orders_table(bare).columns][2] == "begun, h"
    assert orders_table(bare).texts(dated.rows[1])[4] == "16.0"
