"""Parts changed by plan: lives cut off at the age of the change, in the fit of what wears out."""

from __future__ import annotations

import datetime as dt
import math

import numpy as np
import pytest
from scipy import stats

from linesim.plant.causes_matched import logged_stops, match_causes
from linesim.plant.certainty import certainty, resampled
from linesim.plant.few_stops import scaled_to
from linesim.plant.fitting import CauseFit, Fitter
from linesim.plant.into_scenario import write_fits
from linesim.plant.lifetimes import Sample, fit_exponential, fit_law
from linesim.plant.log_fits import fit_log
from linesim.plant.running_meter import Planned
from linesim.plant.stop_log import CleanStop, StopLog
from linesim.report.answers.stop_fits import fit_answer
from linesim.scenario import Scenario, dump
from linesim.scenario.laws import Exponential, Weibull
from tests.line.calm_line import calm
from tests.plant.hidden import BEGAN, log_of, watched

SHAPE, MEAN_H, EVERY_H = 3.0, 4.0, 4.0
BOTH = ("knives", "knives, by plan")


def knives(**fields: object) -> Scenario:
    cause = {
        "cause": "knives",
        "station": "cutter",
        "every_running_h": {"law": "weibull", "mean": MEAN_H, "shape": SHAPE},
        "restore_min": 12,
        "people": 0,
        "changed_every": EVERY_H,
        "change_min": 3,
    }
    return calm(
        reels={"diameter_mm": 2000},
        unwind={"stand_limit_kg": 20000, "change_min": 0},
        stop=[cause | fields],
    )


def row(at_h: float, cause: str, station: str = "cutter", minutes: float = 6) -> CleanStop:
    start = BEGAN + dt.timedelta(hours=at_h)
    return CleanStop(int(60 * at_h), start, start + dt.timedelta(minutes=minutes), station, cause)


def fitted(rows: list[CleanStop], hours: float, scenario: Scenario | None = None) -> CauseFit:
    causes = [cause for cause in match_causes(rows, scenario) if cause.cause == "knives"]
    planned = [Planned(BEGAN, BEGAN + dt.timedelta(hours=hours))]
    return Fitter(causes, planned, scenario, resamples=100).fit(causes[0])


def changed(values: list[float], failed: list[bool]) -> Sample:
    complete = np.array(failed)
    return Sample(np.array(values), complete, None, ~complete)


def test_an_exponential_mean_is_time_in_use_for_each_failure() -> None:
    sample = changed([3.0, 5.0, 5.0, 1.0, 5.0, 5.0], [True, False, False, True, False, False])
    # 24 in use, two failures.
    assert fit_exponential(sample).parameters["mean"] == pytest.approx(12)
    # From a log: failures after 3 h and 1 h of running, changes after 5 h, each 6 min long.
    lives = [(3, BOTH[0]), (5, BOTH[1]), (5, BOTH[1]), (1, BOTH[0]), (5, BOTH[1]), (5, BOTH[1])]
    rows, now = [], 0.0
    for life, cause in lives:
        rows.append(row(now := now + life, cause))
        now += 0.1
    found = fitted(rows, now)
    assert found.count == 2
    assert found.interval.mean == pytest.approx(12)
    assert found.restore_min.count == 2
    assert [round(each) for each in found.changed_at] == [8, 13, 19, 24]


@pytest.mark.parametrize("law", ["weibull", "gamma", "lognormal"])
def test_laws_are_those_of_scipy_with_the_same_lives_cut_off(law: str) -> None:
    lives = 100 * np.random.default_rng(4).weibull(SHAPE, 60)
    failed = lives <= 90
    sample = changed(np.minimum(lives, 90).tolist(), failed.tolist())
    found = fit_law(sample, law).parameters
    data = stats.CensoredData(uncensored=lives[failed], right=np.full((~failed).sum(), 90.0))
    rule = {"weibull": stats.weibull_min, "gamma": stats.gamma, "lognormal": stats.lognorm}[law]
    theirs = rule(*rule.fit(data, floc=0))
    assert found["mean"] == pytest.approx(theirs.mean(), rel=1e-3)
    sd = theirs.std()
    if law == "weibull":
        ours = Weibull(law="weibull", **found)
        assert ours.below(80) == pytest.approx(theirs.cdf(80), rel=1e-3)
    else:
        assert found["sd"] == pytest.approx(sd, rel=1e-3)


def test_the_law_behind_planned_changes_is_found_and_without_them_it_is_not() -> None:
    log = log_of(watched(knives(), shifts=50, seed=3))
    whole = fitted(list(log.stops), 400)
    assert whole.interval.fit.law == "weibull"
    for name, truth in (("mean", MEAN_H), ("shape", SHAPE)):
        low, high = whole.interval.intervals[name]
        assert low < truth < high
    # Left out, a change makes one long life of two; called a failure, it makes a short one.
    left_out = fitted([each for each in log.stops if each.cause == "knives"], 400)
    assert left_out.interval.intervals["mean"][0] > MEAN_H
    failures = [row for row in log.stops if row.cause == "knives, by plan"]
    called = [
        CleanStop(s.line, s.start, s.end, s.station, "knives") if s in failures else s
        for s in log.stops
    ]
    assert fitted(called, 400).interval.intervals["mean"][1] < MEAN_H


def test_intervals_cover_the_truth_where_most_lives_are_cut_off() -> None:
    """At 3.2 of a mean life of 4 two parts of three are changed before they fail."""
    held, shares = 0, []
    law = Weibull(law="weibull", mean=MEAN_H, shape=SHAPE)
    for seed in range(16):
        lives = law.quantile(np.random.default_rng(seed).random(90))
        sample = changed(np.minimum(lives, 3.2).tolist(), (lives <= 3.2).tolist())
        fit = fit_law(sample, "weibull")
        low, high = certainty(sample, fit, seed=seed, resamples=40).intervals["mean"]
        held += low < MEAN_H < high
        again = next(resampled(sample, fit, np.random.default_rng(seed), 1))
        assert again.by_plan is not None
        assert again.values[again.by_plan].tolist() == [3.2] * int(again.by_plan.sum())
        shares.append(again.complete.mean())
    # 40 resamples know a 95 % interval less well: 92 % of 16 less two errors.
    assert held >= 12
    assert np.mean(shares) == pytest.approx(law.below(3.2), abs=0.03)


def test_ages_of_the_plan_are_drawn_by_their_share_of_parts_that_lived_so_long() -> None:
    """Kaplan and Meier on paper: of 4 parts one is changed at 2, of the 2 left one at 5."""
    sample = changed([2.0, 3.0, 5.0, 9.0], [False, True, False, True])
    drawn = sample.plans(np.random.default_rng(1), 8000)
    assert np.mean(drawn == 2) == pytest.approx(1 / 4, abs=0.02)
    assert np.mean(drawn == 5) == pytest.approx(3 / 4 / 2, abs=0.02)
    assert np.mean(np.isinf(drawn)) == pytest.approx(3 / 8, abs=0.02)


def test_few_failures_move_the_mean_of_the_wear_that_is_stated() -> None:
    """Weibull with its shape known: scale to the power of shape is the mean of lives so raised."""
    lives, failed = [50.0, 80, 80, 70, 80, 80, 10], [True, False, False, True, False, False, False]
    law = Weibull(law="weibull", mean=300, shape=3)
    found = scaled_to(law, changed(lives, failed), 0.95)
    assert found is not None
    fit, (low, high) = found
    raised = sum(life**3 for life in lives)
    assert fit.parameters["mean"] == pytest.approx((raised / 2) ** (1 / 3) * math.gamma(4 / 3))
    assert fit.parameters["shape"] == pytest.approx(3)
    # At both ends twice the logarithm of the likelihood is less by 3.841: lives so raised are
    # exponential, and for r of them that is 2 r (q - 1 - ln q), q their mean over the end's.
    for end in (low, high):
        q = (fit.parameters["mean"] / end) ** 3
        assert 4 * (q - 1 - math.log(q)) == pytest.approx(3.841, abs=1e-3)
    assert low < fit.parameters["mean"] < high
    assert scaled_to(Exponential(law="exponential", mean=2), changed(lives, failed), 0.95) is None


def log_with(*rows: CleanStop) -> StopLog:
    return StopLog("log", "", {}, len(rows), rows, (), (), ())


def test_few_failures_are_written_as_the_wear_they_are() -> None:
    scenario = knives(every_running_h={"law": "weibull", "mean": 12, "shape": 3})
    rows = [row(4.1 * n, BOTH[n != 7], minutes=6) for n in range(1, 20)]
    found = fit_log(log_with(*rows), scenario)
    (fit,) = found.fits
    assert (fit.count, len(fit.matched.changes)) == (1, 18)
    # 19 lives of 4 h and one failure: by a rate alone it would be 76 h.
    assert fit.interval.mean == pytest.approx((19 * 4**3) ** (1 / 3) * math.gamma(4 / 3), rel=0.02)
    answer, text = fit_answer(found, into=dump(scenario), into_name="mine.toml")
    assert text is not None
    assert 'law = "weibull", mean = 9.' in text
    assert "1 stop and 18 planned changes" in text
    said = " ".join(answer.words)
    assert (
        "Changed by plan before they failed, so lives cut off, not stops: knives (18 changes)"
        in (said)
    )
    assert answer.tables[0].rows[0][-3] == "as stated"


def test_a_part_that_never_failed_is_told_and_left_as_it_stands() -> None:
    scenario = knives()
    rows = [row(4.1 * n, "knives, by plan") for n in range(1, 12)]
    rows.append(row(30.0, "jam", "wrapper"))
    found = fit_log(log_with(*rows), scenario)
    assert [fit.matched.cause for fit in found.fits] == ["jam"]
    assert found.unseen == ()
    answer, _ = fit_answer(found)
    said = " ".join(answer.words)
    assert (
        "Never failed in this log, so no law can be fitted, and left as they stand: knives" in said
    )
    assert write_fits(dump(scenario), scenario, found).causes == ("jam",)


def test_planned_changes_are_known_by_their_name_or_told() -> None:
    scenario = knives()
    rows = [row(1, "Knives"), row(2, "KNIVES - by plan"), row(3, "knives, by plan (web 2)")]
    (found,) = match_causes([*rows, row(4, "Messerwechsel")], scenario, {"Messerwechsel": BOTH[1]})
    assert (found.cause, len(found.stops), len(found.changes)) == ("knives", 1, 3)
    # What was told of a name that says it already does not make a failure of it.
    (told,) = match_causes([row(1, "blades by plan")], scenario, {"blades by plan": "knives"})
    assert (told.cause, len(told.stops), len(told.changes)) == ("knives", 0, 1)
    # A cause that is itself called so is what it is called.
    checks = knives(cause="check by plan", changed_every=None, change_min=None)
    (check,) = match_causes([row(1, "check by plan")], checks)
    assert (check.cause, len(check.stops), check.changes) == ("check by plan", 1, ())
    # Runs call them as the log does, so they are compared with each other.
    assert [each.cause for each in logged_stops(rows, scenario)] == [
        "knives",
        "knives, by plan",
        "knives, by plan",
    ]
