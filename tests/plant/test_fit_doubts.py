"""Fits written with how sure they are: of many stops, of few, of none."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from linesim.plant.certainty import certainty
from linesim.plant.few_stops import mean_ends, spread_of_few
from linesim.plant.fitting import LEVEL
from linesim.plant.into_scenario import write_fits
from linesim.plant.lifetimes import Sample, fit_law
from linesim.plant.log_fits import FitSettings, LogFits, fit_log
from linesim.plant.stop_log import CleanStop, StopLog
from linesim.report.answers.stop_fits import fit_answer, fit_words
from linesim.scenario import Scenario, check_text, shipped_scenarios
from linesim.scenario.laws import Lognormal, law_of, lognormal
from linesim.scenario.stops import Stop
from tests.plant.logs import read_stop_log
from tests.report.any_width import assert_fits

DEMO = shipped_scenarios()["short-bridge"].read_text(encoding="utf-8")
WEARING = (
    DEMO
    + """
[[stop]]
cause = "wear"
station = "cutter"
every_running_h = { law = "weibull", mean = 30, shape = 3.5 }
restore_min = 20
"""
)
MONDAY = dt.datetime(2026, 3, 2, 6)
DAY = dt.timedelta(days=1)


def log_of(cause: str, station: str, hours: list[float], minutes: list[float]) -> StopLog:
    stops = []
    for n, (hour, long_min) in enumerate(zip(hours, minutes, strict=True)):
        start = MONDAY + dt.timedelta(hours=hour)
        stops.append(CleanStop(n, start, start + dt.timedelta(minutes=long_min), station, cause))
    return StopLog("log.csv", "", {}, len(stops), tuple(stops), (), (), ())


def fitted(log: StopLog, text: str = DEMO, *, days: int = 5) -> LogFits:
    settings = FitSettings(since=MONDAY, until=MONDAY + days * DAY, resamples=20)
    return fit_log(log, check_text(text, file="x"), settings)


def written(log: StopLog, text: str = DEMO, *, days: int = 5) -> tuple[str, Scenario]:
    """The scenario with the log in it, as text and as read: every check of a file is passed."""
    done = write_fits(text, check_text(text, file="x"), fitted(log, text, days=days)).text
    return done, check_text(done, file="x")


def stop_of(scenario: Scenario, cause: str) -> Stop:
    return next(stop for stop in scenario.stop if stop.cause == cause)


def test_one_stop_gives_its_rate_and_leaves_the_time_to_restore() -> None:
    """Else rare causes would keep the scenario's figures, and frequent ones get the log's."""
    stated = stop_of(check_text(DEMO, file="x"), "trim suction")
    law = stated.restore_min
    log = log_of("trim suction", "slitter", [50.0], [law.average() * 1.2])
    text, scenario = written(log)
    stop = stop_of(scenario, "trim suction")
    often, long = stop.doubt
    assert stop.interval.average() == pytest.approx(120, rel=0.005)
    # Garwood: one event lies between 0.0253 and 5.572.
    assert often.between == pytest.approx((120 / 5.572, 120 / 0.02532), rel=0.01)
    assert (often.stops, often.days, often.why) == (1, 5, "1 stop in 5 days of log")
    assert stop.restore_min == law
    assert long.between[0] < law.average() < long.between[1]
    assert 'note = "fitted to 1 stop of log.csv' in text


def test_one_stop_that_rules_the_stated_time_out_moves_it() -> None:
    law = stop_of(check_text(DEMO, file="x"), "trim suction").restore_min
    log = log_of("trim suction", "slitter", [50.0], [law.average() * 40])
    moved = stop_of(written(log)[1], "trim suction").restore_min
    assert moved.average() == pytest.approx(40 * law.average(), rel=0.005)


def test_some_stops_move_the_law_of_the_scenario_and_its_spread_with_it() -> None:
    law = stop_of(check_text(DEMO, file="x"), "trim suction").restore_min
    minutes = [law.average() * factor for factor in (1.5, 2.0, 2.5)]
    stop = stop_of(
        written(log_of("trim suction", "slitter", [9, 50, 90], minutes))[1], "trim suction"
    )
    moved = stop.restore_min
    assert moved.average() == pytest.approx(2 * law.average(), rel=0.005)
    assert isinstance(moved, Lognormal)
    assert isinstance(law, Lognormal)
    assert moved.sd / moved.mean == pytest.approx(law.sd / law.mean, rel=0.01)
    assert [doubt.of for doubt in stop.doubt] == [stop.meter, "restore_min"]


def test_a_spread_is_doubted_with_its_mean_as_both_were_fitted() -> None:
    """The correlation against that of the delta method, for a lognormal law."""
    rng = np.random.default_rng(3)
    sample = Sample(rng.lognormal(0.5, 0.8, 400), np.ones(400, bool))
    fit = fit_law(sample, "lognormal")
    found = certainty(sample, fit, seed=1, resamples=600).correlation
    variance = math.log1p((fit.parameters["sd"] / fit.parameters["mean"]) ** 2)
    # Logarithms of mean and sd are mu + s/2 and mu + s/2 + log(expm1(s))/2, s being the variance
    # of the logarithms, whose own variances are s/n and 2 s**2/n.
    of_mean, of_sd = 0.5, 0.5 + 0.5 * math.exp(variance) / math.expm1(variance)
    own = [variance + 2 * of**2 * variance**2 for of in (of_mean, of_sd)]
    both = variance + 2 * of_mean * of_sd * variance**2
    assert found == pytest.approx(both / math.sqrt(own[0] * own[1]), abs=0.05)


@pytest.mark.parametrize(("count", "spread"), [(1, 0.7), (3, 0.7), (3, 1.0), (9, 0.4)])
def test_the_mean_of_few_lies_within_its_ends_as_often_as_said(count: int, spread: float) -> None:
    rng = np.random.default_rng(5)
    variance = math.log1p(spread**2)
    law = lognormal(1.0, spread)
    held, logs = 0, 600
    for _ in range(logs):
        values = rng.lognormal(-variance / 2, math.sqrt(variance), count)
        used = spread_of_few(law, values.tolist())
        low, high = mean_ends(float(values.mean()), count, LEVEL, used)
        held += low <= 1 <= high
    assert 0.94 <= held / logs <= 0.995


def test_the_spread_to_go_by() -> None:
    assert spread_of_few(lognormal(4, 2), [3.0]) == pytest.approx(0.5)
    assert spread_of_few(lognormal(4, 2), [1.0, 1.0, 10.0]) == pytest.approx(1.299, abs=1e-3)
    assert spread_of_few(None, [3.0, 3.1]) == 1
    assert spread_of_few(law_of(5), [3.0, 3.1]) == 1
    uniform = law_of({"law": "uniform", "low": 0, "high": 2})
    assert spread_of_few(uniform, [1.0]) == pytest.approx(1 / math.sqrt(3), abs=1e-3)


def test_a_cause_that_never_came_keeps_its_mean_as_far_as_the_log_allows() -> None:
    log = log_of("trim suction", "slitter", [50.0, 60.0], [3.0, 4.0])
    text, scenario = written(log)
    before = stop_of(check_text(DEMO, file="x"), "reel handling")
    never = stop_of(scenario, "reel handling")
    assert never.interval == before.interval
    (doubt,) = never.doubt
    # Some 120 h without: 60 h may be 120 / 3.69 or more, and as far above.
    stood_h = 7 / 60
    assert doubt.between[0] == pytest.approx((120 - stood_h) / 3.689, rel=0.01)
    assert doubt.between[1] == pytest.approx(max(120 - stood_h, 60**2 / doubt.between[0]), rel=0.01)
    assert (doubt.stops, doubt.why) == (0, "none in 5 days of log")
    # By the scenario ten stops of glue: none has a chance of one in twenty thousand.
    glue = stop_of(scenario, "glue and sealing")
    assert not glue.doubt
    said = " ".join(fit_words(fitted(log)))
    assert "probably not logged at all, and left as they stand: " in said
    assert "glue and sealing (10 stops expected)" in said
    assert "reel handling (32.5 h or more)" in said
    # Reams are not counted here.
    assert "how far their meters ran, and left as they stand: " in said
    assert not stop_of(scenario, "wrapper jam").doubt
    assert text.count("none in 5 days") == sum(
        any(doubt.stops == 0 for doubt in stop.doubt) for stop in scenario.stop
    )


JUDGED = DEMO.replace(
    'cause = "reel handling"\n',
    'cause = "reel handling"\n'
    "doubt = [\n"
    '    { of = "people", between = [1, 4], why = "the foreman" },  # asked in May\n'
    '    { of = "every_running_h", between = [50, 70], why = "the foreman" },\n'
    "]\n",
).replace(
    'cause = "trim suction"\n',
    'cause = "trim suction"\n'
    "doubt = [\n"
    '    { of = "restore_min.sd", between = [1, 9], why = "an old fit" },\n'
    '    { of = "spoils_cuts", between = [0, 9], why = "the foreman" },  # asked in June\n'
    '    { of = "every_running_h.mean", between = [1, 900], why = "an old fit", stops = 3 },\n'
    "]\n",
)


def test_a_new_fit_replaces_the_doubts_of_what_it_writes_and_no_others() -> None:
    log = log_of("trim suction", "slitter", [9.0, 50.0, 60.0], [3.0, 4.0, 5.0])
    text, scenario = written(log, JUDGED)
    trim = stop_of(scenario, "trim suction")
    assert {doubt.of: doubt.stops for doubt in trim.doubt} == {
        "spoils_cuts": None,
        "every_running_h": 3,
        "restore_min": 3,
    }
    assert "asked in May" in text
    assert "asked in June" in text
    # What somebody says of a cause that the log never names goes before "none".
    reel = stop_of(scenario, "reel handling")
    assert [(doubt.of, doubt.between) for doubt in reel.doubt] == [
        ("people", (1, 4)),
        ("every_running_h", (50, 70)),
    ]
    # Once more, with nothing new: nothing changes.
    assert written(log, text)[0] == text


def test_a_longer_log_without_a_stop_moves_what_the_shorter_said() -> None:
    log = log_of("trim suction", "slitter", [20.0, 30.0], [3.0, 4.0])
    first = written(log, days=2)[0]
    longer = stop_of(written(log, first, days=5)[1], "reel handling")
    shorter = stop_of(check_text(first, file="x"), "reel handling")
    assert longer.doubt[0].between[0] > shorter.doubt[0].between[0]
    assert longer.interval == shorter.interval


def test_a_counter_without_dates_tells_stops_and_no_days(tmp_path: Path) -> None:
    rows = "".join(f"{10 + 5 * n};{3 + n};slitter;trim suction\n" for n in range(5))
    (tmp_path / "log.csv").write_text(f"hour meter;min;station;cause\n{rows}", encoding="utf-8")
    scenario = check_text(DEMO, file="x")
    found = fit_log(read_stop_log(tmp_path / "log.csv"), scenario, FitSettings(resamples=20))
    text = write_fits(DEMO, scenario, found).text
    doubt = stop_of(check_text(text, file="x"), "trim suction").doubt[0]
    assert (doubt.why, doubt.stops, doubt.days) == ("5 stops in the log", 5, None)


def test_few_stops_tell_a_rate_and_leave_the_kind_of_law() -> None:
    """A knife that was changed once goes on wearing out."""
    _, scenario = written(log_of("wear", "cutter", [50.0], [30.0]), WEARING)
    law = stop_of(scenario, "wear").interval
    assert (law.law, law.shape) == ("weibull", 3.5)
    assert law.mean != 30


def test_the_answer_says_what_to_measure_next_without_a_run() -> None:
    """A knife of one stop leaves its station's rate more open than a jam that came often."""
    hours = [n * 1.3 + 0.2 for n in range(40)]
    often = log_of("wrapper jam", "wrapper", hours, [1.5 + 0.01 * n for n in range(40)])
    rare = log_of("trim suction", "slitter", [50.0], [90.0])
    both = replace(often, stops=(*often.stops, *rare.stops), rows=len(often.stops) + 1)
    answer, _ = fit_answer(fitted(both))
    assert_fits(answer)
    rows = answer.table("what-to-measure").rows
    assert rows[0][0] == "trim suction"
    assert rows[0][1] == "1 stop in 5 days"
    assert "wrapper jam" in [row[0] for row in rows]
    assert all(0 < row[5] < row[3] for row in rows)
