"""Parts that failed or were changed by plan, at their prices: on every wrapper and web."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.studies.outcome import Stood, outcome_of
from linesim.studies.parts_used import part_stops, parts_used
from linesim.studies.worth import year_of
from tests.line.calm_line import calm, stop

PRICES = {"change_price": 3.0, "failure_price": 50.0}
PLAN = {"changed_every": 1, "change_min": 1}
STOOD = (
    Stood("web_path", "roller (web 1)", 2, 20),
    Stood("web_path", "roller (web 4)", 1, 10),
    Stood("web_path", "roller, by plan (web 4)", 7, 7),
    Stood("wrapper 1", "jaws", 4, 4),
    Stood("wrapper 2", "jaws", 5, 5),
    Stood("wrapper 2", "jaws, by plan", 6, 6),
    Stood("cutter", "jaws", 100, 100),
)


def test_parts_are_counted_on_every_web_and_wrapper_and_at_no_other_station() -> None:
    wrappers = [{"name": f"wrapper {n}", "rate_reams_per_min": 30} for n in (1, 2)]
    roller = stop("web_path", "roller", every_running_h=5, per_web=True)
    line = calm(
        wrapper=wrappers,
        stop=[roller | PRICES, stop("wrapper", "jaws", every_running_h=5) | PRICES],
    )
    found = [part_stops(line, each, STOOD) for each in line.stop]
    assert [(each.failures, each.changes, each.lost_ns) for each in found] == [
        (3, 7, 37),
        (9, 6, 15),
    ]
    assert parts_used(line, STOOD) == 50 * 3 + 3 * 7 + 50 * 9 + 3 * 6


def test_a_year_has_the_parts_of_its_stops_and_none_without_a_price() -> None:
    knives = stop("cutter", "knives", every_clock_h=9) | PLAN
    line = calm(stop=[knives | PRICES], money={"hours_per_year": 4000.0})
    outcome = outcome_of(simulate(line, hours=40, history=False))
    changes = sum(each.count for each in outcome.stops if each.cause == "knives, by plan")
    assert changes >= 39
    assert outcome.parts_cost == 3 * changes
    assert year_of(line, [outcome]).parts == pytest.approx(3 * changes * 100)
    free = calm(stop=[knives], money={"hours_per_year": 4000.0})
    assert outcome_of(simulate(free, hours=40, history=False)).parts_cost == 0
