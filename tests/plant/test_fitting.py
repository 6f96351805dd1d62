"""Causes matched, meters read, laws fitted: on logs whose truth is known."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from linesim.plant.causes_matched import logged_stops, match_causes
from linesim.plant.fitting import Fitter, outside_planned, planned_of_log
from linesim.plant.machine_names import station_of
from linesim.plant.running_meter import Planned, meter, planned_by_day
from linesim.plant.stop_log import CleanStop, StopLog
from linesim.scenario import find_scenario, load
from linesim.studies.runner import StoppedError

MONDAY = dt.datetime(2026, 3, 2, 6)
SCENARIO = load(find_scenario("short-bridge"))


def hour(n: float) -> dt.datetime:
    return MONDAY + dt.timedelta(hours=n)


def stop(at_h: float, minutes: float = 6, station="wrapper", cause="wrapper jam", line=0):
    return CleanStop(line, hour(at_h), hour(at_h + minutes / 60), station, cause)


def log_of(*stops: CleanStop) -> StopLog:
    return StopLog("log", "", {}, len(stops), stops, (), (), ())


def test_names_are_matched_and_the_rest_is_offered_as_new() -> None:
    stops = (
        stop(1, cause="Wrapper-Jam"),
        stop(2, cause="wraper jam"),
        stop(3, cause="jam, wrapper"),
        stop(4, cause="static web 3", station="web path"),
        stop(5, cause="pallet missing", station="Outfeed"),
        stop(6, cause="palet missing", station="outfeed"),
        stop(7, cause="pallet missing", station="outfeed"),
        stop(8, cause="lane 1", station="somewhere"),
        stop(9, cause="lane 2", station="somewhere"),
        stop(10, cause="Web break", station="web path"),
        stop(11, cause="roll change"),
    )
    found = match_causes(stops, SCENARIO)
    assert [(each.cause, each.station, len(each.stops), each.new) for each in found] == [
        ("static", "web_path", 1, False),
        ("wrapper jam", "wrapper", 3, False),
        ("pallet missing", "outfeed", 3, True),
        ("lane 1", None, 1, True),
        ("lane 2", None, 1, True),
        ("web break", "web_path", 1, False),
        ("wrapping roll", "wrapper", 1, False),
    ]
    assert sum(len(each.stops) for each in found) == len(stops)
    told = match_causes(stops, SCENARIO, {"Lane 1": "static", "lane 2": "static"})
    assert [len(each.stops) for each in told if each.cause == "static"] == [3]
    assert [each.station for each in logged_stops(stops, SCENARIO)][:3] == ["wrapper"] * 3


def test_a_like_name_at_another_station_is_another_cause() -> None:
    (found,) = match_causes([stop(1, station="outfeed", cause="wrapper jams")], SCENARIO)
    assert found.new
    assert station_of("Kompressor", SCENARIO) is None
    assert station_of("Overlap belt", SCENARIO) == "overlap_belt"


def test_a_meter_stands_with_its_station_and_outside_of_shifts() -> None:
    planned = planned_by_day(MONDAY, hour(30), 8, dt.time(6))
    assert [each.start for each in planned] == [hour(0), hour(24)]
    stops = [stop(2, 60), stop(7.5, 60)]
    hours = meter("every_running_h", "wrapper", planned, stops)
    assert hours.at(hour(2)) == pytest.approx(2)
    assert hours.at(hour(2.5)) == pytest.approx(2)
    assert hours.at(hour(12)) == pytest.approx(6.5)
    assert hours.total == pytest.approx(14.5)
    clock = meter("every_clock_h", "wrapper", planned, stops)
    assert clock.total == pytest.approx(16)
    counted = [Planned(hour(0), hour(8), reams=4000, web_km=60), Planned(hour(8), hour(16), 0, 0)]
    reams = meter("every_reams", "wrapper", counted, stops)
    assert reams.at(hour(2)) == pytest.approx(4000 * 2 / 6.5)
    assert reams.total == pytest.approx(4000)
    # 60 km at 250 m/min are 4 h of moving, though the web was not stopped by itself at all.
    moving = meter("every_running_h", "cutter", counted, [], SCENARIO)
    assert moving.total == pytest.approx(4)
    cuts = meter("every_cuts", "cutter", counted, [], SCENARIO)
    assert cuts.total == pytest.approx(60e6 / 297)
    with pytest.raises(ValueError, match="no counts"):
        meter("every_reams", "wrapper", planned, stops)


def invented_log(seed: int, mean_h: float, mean_min: float, sd_min: float, hours: float):
    """Exponential intervals of running and lognormal times to restore, in one long shift."""
    rng = np.random.default_rng(seed)
    variance = np.log1p((sd_min / mean_min) ** 2)
    now, stops = 0.0, []
    while True:
        now += rng.exponential(mean_h)
        if now >= hours:
            return stops
        long_min = float(rng.lognormal(np.log(mean_min) - variance / 2, np.sqrt(variance)))
        stops.append(stop(now, long_min, line=len(stops)))
        now += long_min / 60


def test_intervals_cover_the_truth_at_their_stated_rate() -> None:
    exponential, restored = [], []
    for seed in range(40):
        stops = invented_log(seed, 2.0, 6.0, 4.0, 80.0)
        fitter = Fitter(match_causes(stops), [Planned(hour(0), hour(80))], resamples=2)
        found = fitter.fit(fitter.causes[0])
        if found.interval.fit.law == "exponential":
            low, high = found.interval.intervals["mean"]
            exponential.append(low <= 2.0 <= high)
        restored.append(abs(found.restore_min.mean / 6.0 - 1) < 0.35)
    assert len(exponential) >= 25
    assert sum(exponential) >= 0.88 * len(exponential)
    # Some 38 values with a spread of two thirds of the mean: three standard errors.
    assert all(restored)


def test_few_stops_give_a_rate_and_no_more() -> None:
    stops = [stop(n * 10 + 3, 4 + n, line=n) for n in range(5)]
    fitter = Fitter(match_causes(stops, SCENARIO), [Planned(hour(0), hour(50))], SCENARIO)
    found = fitter.fit(fitter.causes[0])
    assert found.few
    assert found.trend is None
    assert found.interval.fit.law == "exponential"
    assert found.interval.goodness == "too few to tell"
    low, high = found.interval.intervals["mean"]
    # Garwood: 5 events lie between 1.623 and 11.668.
    assert found.meter.total / low == pytest.approx(11.668, abs=1e-3)
    assert found.meter.total / high == pytest.approx(1.623, abs=1e-3)
    # Without counts the log does not move the scenario's meter of reams.
    assert found.instead_of == "every_reams"


def test_a_machine_that_gets_worse_shows_it_and_figures_repeat() -> None:
    stops = [stop(100 * (n / 30) ** 0.4, 2, line=n) for n in range(1, 30)]
    fitter = Fitter(match_causes(stops), planned_of_log(log_of(*stops)), resamples=20)
    first, again = fitter.fit(fitter.causes[0]), fitter.fit(fitter.causes[0])
    assert first.trend is not None
    assert first.trend.shown
    assert first.trend.u > 0
    assert first.interval == again.interval


def test_a_fit_ends_when_it_is_told_to() -> None:
    stops = [stop(3 * n + 1, 2, line=n) for n in range(12)]
    asked = iter([False] * 3 + [True] * 99)
    fitter = Fitter(match_causes(stops), planned_of_log(log_of(*stops)), stop=lambda: next(asked))
    with pytest.raises(StoppedError):
        fitter.fit(fitter.causes[0])


def test_each_web_has_its_share_of_a_cause_of_every_web() -> None:
    stops = [stop(n + 0.5, 3, "web_path", "tension control", line=n) for n in range(40)]
    fitter = Fitter(
        match_causes(stops, SCENARIO), [Planned(hour(0), hour(40))], SCENARIO, resamples=5
    )
    found = fitter.fit(fitter.causes[0])
    assert found.webs == 5
    assert found.interval.mean == pytest.approx(found.meter.total / 40 * 5)


def test_stops_outside_of_planned_time_are_left_out_with_that_reason() -> None:
    log = outside_planned(log_of(stop(1, line=2), stop(9, line=3)), [Planned(hour(0), hour(8))])
    assert [each.line for each in log.stops] == [2]
    assert [each.reason for each in log.left_out] == ["began outside of the planned time"]


def test_counts_of_nothing_leave_the_clock() -> None:
    nothing = [Planned(hour(0), hour(8), reams=0, web_km=0.0)]
    fitter = Fitter(match_causes([stop(1), stop(2)], SCENARIO), nothing, SCENARIO)
    found = fitter.fit(fitter.causes[0])
    assert found.meter.field == "every_clock_h"
    assert found.instead_of == "every_reams"
    assert found.meter.total == pytest.approx(8)
