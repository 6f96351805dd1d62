"""Planned run time goes by the product made; no factor passes 100 %. Worked on the calm line."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.record import Loss, Record
from linesim.record.audit import audit
from linesim.record.effectiveness import (
    Effectiveness,
    line_effectiveness,
    product_effectiveness,
    station_effectiveness,
)
from linesim.record.outflow import GAP_STEPS, outflow
from linesim.record.products import product_names
from linesim.scenario import ForcedStop
from tests.line.calm_line import SECOND, calm, stop

# Of the first 80 sets of 4 reams are made in 600 s (32 reams a minute), of the second 40 sets of
# 3 reams of sheets twice as long: 15 s each (12 reams a minute).
ORDERS = [
    {"name": "small", "reams": 320},
    {"name": "large", "reams": 120, "sheet_length_mm": 600, "lanes": 3},
]
CHANGE = {"size_min": 10, "people": 0}


def two_products(**tables) -> Record:
    return simulate(calm(order=ORDERS, changeover=CHANGE, **tables), hours=1)


def factors(record: Record) -> dict[str, tuple[float, float, float]]:
    each = [line_effectiveness(record), *station_effectiveness(record)]
    assert all(check.faults == () for check in audit(record))
    return {e.name: (e.availability, e.performance, e.quality) for e in each if e.paced}


def test_each_product_is_planned_at_its_own_speed():
    record = two_products()
    line = line_effectiveness(record)
    # At 600 s the last set is full; 7 s later its fourth ream is wrapped (3 s to the bridge, 1 s
    # each), at the latest a second after that somebody sees it. Ten minutes on, 600 s of work.
    changed = (line.set_up_ns - 600 * SECOND) / SECOND
    assert 7 <= changed <= 8
    assert line.name == "line, by its sheeter"
    assert line.rated_reams_per_min == pytest.approx(440 / 20)
    assert line.production_ns == 1200 * SECOND
    assert (line.good_ns, line.speed_ns, line.on_the_line_ns) == (1200 * SECOND, 0, 0)
    assert line.oee == pytest.approx(1200 / (1800 + changed))
    found = factors(record)
    assert found["sheeter"][1:] == (1, 1)
    # The transfer takes 4 s a set; what it made of either product took it 480 s together.
    transfer = next(e for e in station_effectiveness(record) if e.name == "transfer")
    assert transfer.good_ns == (80 + 40) * 4 * SECOND
    assert transfer.performance == pytest.approx(1)


def test_the_slowest_station_may_differ_from_product_to_product():
    # 24 reams a minute from the wrapper: slower than 32 of the small, faster than 12 of the large.
    record = two_products(wrapper=[{"rate_reams_per_min": 24}], bridge={"places": 400})
    line = line_effectiveness(record)
    assert line.name == "line, by its wrappers and sheeter"
    # 320 reams in 800 s of the wrapper, which waits for the first 3 s after the set; 600 s of webs.
    assert line.good_ns == (800 + 600) * SECOND
    assert line.production_ns == 1400 * SECOND
    assert line.performance == pytest.approx(1)
    assert sum(line.staircase().values()) == line.planned_busy_ns
    assert all(factor <= 1 for row in factors(record).values() for factor in row)


def test_the_promise_of_the_strip_follows_the_product():
    record = two_products()
    found, line = outflow(record), line_effectiveness(record)
    end = record.orders[1].begun_ns
    moments = np.array([300, 600, end / SECOND, end / SECOND + 300, 3600]) * SECOND
    promised = found.promised(moments.astype(np.int64))
    # While the change-over lasts the nameplate is that of the product before it.
    until = 32 * end / SECOND / 60
    assert promised == pytest.approx([160, 320, until, until + 60, until + 120])
    gap = found.gap(np.array([record.end_ns]))
    assert gap[GAP_STEPS[1]][0] == pytest.approx(line.set_up_ns / SECOND / 60 * 32)
    assert gap[GAP_STEPS[3]][0] == pytest.approx(0, abs=1e-6)


def test_parts_add_up_to_the_whole():
    record = two_products(stop=[stop("cutter", every_running_h=0.01, restore_min=0.1)])
    assert [part.order for part in record.parts] == [0, 1]
    for number, row in enumerate(record.losses):
        parts = [part.losses[number] for part in record.parts]
        assert [sum(column) for column in zip(*parts, strict=True)] == list(row)
        assert [sum(p) for p in parts] == [p.end_ns - p.start_ns for p in record.parts]
    assert sum(part.books.cuts for part in record.parts) == record.books.cuts == 12_000
    assert [part.wrapped_by for part in record.parts] == [(320,), (120,)]


@pytest.mark.parametrize("warm_up_h", [0.1, 0.1 + 0.5 / 3600, 0.11, 0.15])
@pytest.mark.parametrize("minutes", [0.1, 1, 5])
def test_what_stood_on_the_line_when_the_count_began_is_not_performance(warm_up_h, minutes):
    # The wrapper stands until 0.1 h, and the bridge is full; then it empties at 60 a minute before
    # webs that make 32: the line delivers almost twice what its sheeter can make.
    held = (ForcedStop(station="wrapper", at_h=0.02, minutes=4.8),)
    record = simulate(calm(), hours=minutes / 60, warm_up_h=warm_up_h, forced=held)
    line = line_effectiveness(record)
    assert all(factor <= 1 for row in factors(record).values() for factor in row)
    delivered = record.books.reams.good / (32 * minutes)
    if warm_up_h < 0.11:
        assert delivered > 1.1
    assert line.oee == pytest.approx(min(delivered, line.production_ns / line.planned_busy_ns))


def test_wrappers_that_catch_up_are_measured_at_that_speed():
    # Rated 20 a minute they would be the slowest; at three times that the webs are, with 32.
    bridge = {"catch_up_at_reams": 1, "catch_up_factor": 3}
    record = simulate(calm(bridge=bridge, wrapper=[{"rate_reams_per_min": 20}]), hours=0.5)
    line = line_effectiveness(record)
    assert line.name == "line, by its sheeter"
    assert line.oee == pytest.approx(1, abs=0.02)
    assert all(factor <= 1 for row in factors(record).values() for factor in row)


def test_reams_thrown_away_by_a_jam_are_not_wrapped():
    # Every 10th ream jams and takes 5 from the bridge: those cost the wrapper no time.
    jam = [stop("wrapper", "jam", every_reams=10, restore_min=0.1, spoils_reams=6)]
    line = calm(stop=jam, wrapper=[{"rate_reams_per_min": 24}], rework={"good_chance": 0})
    record = simulate(line, hours=1)
    found = next(e for e in station_effectiveness(record) if e.name == "wrapper")
    wrapped = record.losses[record.station("wrapper")][Loss.PRODUCING] // (2.5 * SECOND)
    assert record.wrapped_by[0] == wrapped
    assert record.books.reams.repulped > 4 * (wrapped // 10)
    assert found.performance == pytest.approx(1, abs=0.002)


def test_a_standby_that_takes_over_is_not_performance_above_100_percent():
    # Both could make 24 of 32 a minute; the first stands half the time, and the second steps in.
    two = [{"name": name, "rate_reams_per_min": 24} for name in ("A", "B")]
    held = [stop("A", every_running_h=0.1, restore_min=6)]
    line = calm(wrapper=two, divert={"rule": "hot_standby"}, stop=held)
    record = simulate(line, hours=0.5)
    found = line_effectiveness(record)
    assert found.name == "line, by its wrappers"
    assert found.performance == pytest.approx(1, abs=0.002)
    assert found.performance <= 1
    assert found.availability > 0.98


@pytest.mark.parametrize("warm_up_h", [0, 0.2])
def test_the_outfeed_is_judged_by_what_left_it(warm_up_h):
    outfeed = {"rate_reams_per_min": 24, "buffer_reams": 50}
    record = simulate(calm(outfeed=outfeed), hours=0.02, warm_up_h=warm_up_h)
    line = line_effectiveness(record)
    assert line.name == "line, by its outfeed"
    worked = record.losses[record.station("outfeed")][Loss.PRODUCING] / (2.5 * SECOND)
    assert record.taken_out == (pytest.approx(worked, abs=1),)
    assert all(factor <= 1 for row in factors(record).values() for factor in row)


def test_products_add_up_to_the_line_exactly():
    """A, B and A again: A is one product, of two stretches; every step and every ream adds up."""
    orders = [*ORDERS, ORDERS[0] | {"name": "small again", "reams": 160}]
    jam = stop("wrapper", every_reams=90, restore_min=2, spoils_reams=2)
    for warm_up_h in (0.0, 0.21):
        scenario = calm(order=orders, changeover=CHANGE, stop=[jam])
        record = simulate(scenario, hours=1.2, warm_up_h=warm_up_h)
        line, each = line_effectiveness(record), product_effectiveness(record)
        assert [of.effectiveness.name for of in each] == ["small", "large"]
        assert sum(of.good_reams for of in each) == record.books.reams.good
        for name in [field.name for field in fields(Effectiveness) if field.name.endswith("_ns")]:
            whole = sum(getattr(of.effectiveness, name) for of in each)
            assert getattr(line, name) == whole
        for of in each:
            found = of.effectiveness
            assert sum(found.staircase().values()) == found.planned_busy_ns
            assert 0 < found.availability <= 1
            assert found.performance is not None
            assert found.performance <= 1


def test_each_product_has_the_factors_of_its_own_time():
    """320 reams in 600 s at 32 a minute, then 7 to 8 s until the line is empty and ten minutes of
    change: available for 600 of 1,207.5 s. The next: 600 s at 12 a minute, all of it available."""
    small, large = product_effectiveness(two_products())
    assert (small.good_reams, large.good_reams) == (320, 120)
    found = small.effectiveness
    assert found.rated_reams_per_min == 32
    assert found.availability == pytest.approx(600 / 1207.5, abs=0.002)
    assert found.performance == pytest.approx(1)
    assert large.effectiveness.rated_reams_per_min == 12
    assert large.effectiveness.availability == pytest.approx(1)


def test_products_go_by_size_and_grade_or_by_their_first_order():
    scenario = calm(
        grade=[{"name": "80 g"}, {"name": "pink"}],
        size=[{"name": "A4"}],
        order=[
            {"name": "one", "reams": 9, "grade": "80 g", "size": "A4"},
            {"name": "two", "reams": 9, "grade": "pink"},
            {"name": "three", "reams": 9, "grade": "80 g", "size": "A4"},
            {"name": "A4 80 g", "reams": 9, "lanes": 2},
        ],
    )
    assert product_names(scenario) == ("A4 80 g", "two", "A4 80 g", "A4 80 g (4)")
