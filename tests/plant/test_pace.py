"""Hours and kilometres of the webs where the plant counts reams alone."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from linesim.fast import simulate
from linesim.plant.causes_matched import match_causes
from linesim.plant.fitting import Fitter
from linesim.plant.pace import Pace, pace_of, pace_words, rated_pace
from linesim.plant.running_meter import Planned, meter
from linesim.plant.stop_log import CleanStop
from linesim.record.states import PRODUCING
from linesim.report.answers.stop_fits import fit_notes
from linesim.scenario import load, shipped_scenarios

SCENARIO = load(shipped_scenarios()["short-bridge"])
SLOW = load(shipped_scenarios()["slow-wrapper"])
HELD = SLOW.varied(
    bridge={"slow_at_reams": None},
    wrapper=[SLOW.wrapper[0].model_dump(exclude_none=True) | {"rate_reams_per_min": 22}],
)
"""Its webs stand blocked a third of the time."""
BEGAN = dt.datetime(2026, 3, 2, 6)


def shifts(reams: list[int], web_km: float | None = None) -> list[Planned]:
    """Eight hours each."""
    length = dt.timedelta(hours=8)
    return [
        Planned(BEGAN + n * length, BEGAN + (n + 1) * length, each, web_km)
        for n, each in enumerate(reams)
    ]


def test_a_ream_holds_the_web_that_its_sheets_take() -> None:
    # 500 sheets by 5 webs are 100 cuts of 297 mm, and fill a pocket in each of so many lanes.
    pace = rated_pace(SCENARIO)
    assert pace.net_km_per_ream == pytest.approx(100 * 297e-6 / SCENARIO.slitter.lanes)
    assert pace.h_per_km == pytest.approx(1000 / SCENARIO.cutter.web_speed_m_per_min / 60)
    more = Pace(0.006, 0.07, 297e-6, waste=0.01, slower=0.1)
    assert (more.km_per_ream, more.h_per_km) == (pytest.approx(0.00606), pytest.approx(0.077))


def test_counted_kilometres_go_before_those_of_reams() -> None:
    pace = Pace(0.006, 0.07, 297e-6, waste=0.01)
    counted = meter("every_web_km", "slitter", shifts([1000, 2000], 10.0), [], SCENARIO, pace)
    assert counted.total == pytest.approx(20)
    followed = meter("every_web_km", "slitter", shifts([1000, 2000]), [], SCENARIO, pace)
    assert followed.total == pytest.approx(3000 * 0.00606)
    cuts = meter("every_cuts", "cutter", shifts([1000, 2000]), [], SCENARIO, pace)
    assert cuts.total == pytest.approx(3000 * 0.00606 / 297e-6)
    with pytest.raises(ValueError, match="no counts"):
        meter("every_web_km", "slitter", shifts([1000]), [])


def test_webs_that_wait_a_third_of_the_time_do_not_run_in_it() -> None:
    """The hidden line's own hours of moving, from nothing but its reams, to one per cent."""
    day = simulate(HELD, seed=9, hours=24, history=False, buckets=3)
    moved = sum(day.hours_in(day.station("overlap_belt"), state) for state in PRODUCING)
    assert moved < 17
    planned = shifts(list(day.good_per_bucket))
    found = meter("every_running_h", "overlap_belt", planned, [], HELD, pace_of(HELD))
    assert found.total == pytest.approx(moved, rel=0.01)
    km = meter("every_web_km", "slitter", planned, [], HELD, pace_of(HELD))
    assert km.total == pytest.approx(day.books.web_um / 1e9, rel=0.01)


def test_the_answer_says_where_kilometres_are_from_and_what_is_in_doubt() -> None:
    stops = [
        CleanStop(n, at, at + dt.timedelta(minutes=3), station, cause)
        for n in range(4)
        for station, cause in (("overlap belt", "overlap belt"), ("outfeed", "pallet missing"))
        for at in [BEGAN + dt.timedelta(hours=2 * n + 1)]
    ]
    planned = shifts([5000])
    fitter = Fitter(match_causes(stops, SCENARIO), planned, SCENARIO)
    fits = [fitter.fit(cause) for cause in fitter.causes]
    assert fitter.goes_by_pace
    said = " ".join(fit_notes(fits, True, fitter.pace, from_reams=True))
    assert "Kilometres of web are not counted here, so they follow from the reams" in said
    assert "If the plant wastes more" in said
    assert not any(fit.waiting for fit in fits)
    counted = " ".join(pace_words(rated_pace(SCENARIO), from_reams=False))
    assert "Kilometres of web are not counted" not in counted
    # Kilometres alone say nothing of the wrappers: their waiting counts as running, and it is said.
    two = load(shipped_scenarios()["two-wrappers"])
    jams = [stop for stop in stops if stop.station == "outfeed"]
    at_one = [CleanStop(s.line, s.start, s.end, two.wrapper[0].name, "tape torn") for s in jams]
    km_alone = [replace(each, reams=None, web_km=9.0) for each in planned]
    fitter = Fitter(match_causes(at_one, two), km_alone, two)
    notes = " ".join(fit_notes([fitter.fit(cause) for cause in fitter.causes], True))
    assert "so that counts as running" in notes
    assert "tape torn" in notes


def test_each_of_several_wrappers_has_its_own_share_of_reams_and_hours() -> None:
    """A hidden line's own hours of wrapping, from nothing but all reams, to two per cent."""
    two = load(shipped_scenarios()["two-wrappers"])
    run = simulate(two, seed=9, hours=80, buckets=10, history=False)
    planned, pace = shifts(list(run.good_per_bucket)), pace_of(two)
    reams = sum(run.good_per_bucket)

    def total(field: str, station: str) -> float:
        return meter(field, station, planned, [], two, pace).total

    hours = {
        each.name: sum(run.hours_in(run.station(each.name), state) for state in PRODUCING)
        for each in two.wrapper
    }
    for each in two.wrapper:
        own = hours[each.name]
        assert total("every_running_h", each.name) == pytest.approx(own, rel=0.02)
        wrapped = reams * own * each.rate_reams_per_min
        wrapped /= sum(hours[w.name] * w.rate_reams_per_min for w in two.wrapper)
        assert total("every_reams", each.name) == pytest.approx(wrapped, rel=0.02)
        assert total("every_clock_h", each.name) == pytest.approx(80)
    # "wrapper" is each of them by itself: their meters together.
    assert total("every_reams", "wrapper") == pytest.approx(reams)
    assert total("every_running_h", "wrapper") == pytest.approx(sum(hours.values()), rel=0.02)
    assert total("every_clock_h", "wrapper") == pytest.approx(160)


def test_a_line_of_several_products_goes_by_its_rated_speed() -> None:
    orders = load(shipped_scenarios()["orders"])
    assert pace_of(orders) == rated_pace(orders)
