"""Lengths written down as whole minutes are fitted as what they are: rounded."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from linesim.plant.certainty import certainty
from linesim.plant.lifetimes import Rounding, Sample, fit_best, fit_law
from linesim.plant.log_fits import fit_log
from linesim.plant.probability_plot import plotting_positions
from linesim.scenario.laws import Exponential, Lognormal
from tests.plant.logs import read_stop_log

MEAN, SD = 1.4, 0.9
LAW = Lognormal(law="lognormal", mean=MEAN, sd=SD)
BOTH = [Rounding(1.0), Rounding(1.0, by_ends=True)]


def rounded(rounding: Rounding, count: int, seed: int, law: object = LAW) -> Sample:
    rng = np.random.default_rng(seed)
    values = rounding.rounded(law.quantile(rng.random(count)), rng)  # type: ignore[attr-defined]
    return Sample(values, np.ones(count, bool), rounding)


@pytest.mark.parametrize("rounding", BOTH, ids=["length", "ends"])
def test_the_law_behind_whole_minutes_is_found(rounding: Rounding) -> None:
    """Forty logs: the mean of their fits is the truth; taken as they stand they are another law."""
    fits, bare = [], []
    for seed in range(40):
        sample = rounded(rounding, 300, seed)
        fits.append(fit_law(sample, "lognormal").parameters)
        # What it was before: no time is no stop, and a minute is a minute.
        left = sample.values[sample.values > 0]
        bare.append(fit_law(Sample(left, np.ones(left.size, bool)), "lognormal").parameters)
    for name, truth in (("mean", MEAN), ("sd", SD)):
        found = np.array([each[name] for each in fits])
        error = found.std(ddof=1) / np.sqrt(len(found))
        assert abs(found.mean() - truth) < 3 * error
    wrong = np.array([each["mean"] for each in bare])
    assert abs(wrong.mean() - MEAN) > 10 * wrong.std(ddof=1) / np.sqrt(len(wrong))


def test_every_cell_adds_up_to_all_there_is() -> None:
    for rounding in BOTH:
        values = np.arange(0.0, 60.0)
        fit = fit_law(rounded(rounding, 300, 1), "lognormal")
        cells = rounding.cells(values)
        chances = sum(w * (fit.longer_than(a) - fit.longer_than(b)) for a, b, w in cells)
        assert float(np.sum(chances)) == pytest.approx(1, abs=1e-3)


def test_the_exponential_mean_of_short_stops() -> None:
    law = Exponential(law="exponential", mean=0.8)
    means = [
        fit_law(rounded(BOTH[0], 400, seed, law), "exponential").parameters["mean"]
        for seed in range(30)
    ]
    assert np.mean(means) == pytest.approx(0.8, abs=3 * np.std(means) / np.sqrt(30))


def test_a_law_that_fits_is_said_to_and_one_that_does_not_is_not() -> None:
    good = rounded(BOTH[0], 400, 3)
    best = fit_best(good)[0]
    assert certainty(good, best, seed=1, resamples=60).p > 0.05
    two = np.concatenate([np.full(150, 1.0), np.full(150, 30.0)]) + np.arange(300) % 2
    mixed = Sample(two, np.ones(300, bool), BOTH[0])
    assert certainty(mixed, fit_law(mixed, "lognormal"), seed=1, resamples=60).p < 0.05
    shown, _ = plotting_positions(good)
    assert shown[0] == 0.25


def log_of(path: Path, lengths: list[str], heading: str = "minutes") -> Path:
    rows = "".join(
        f"2026-03-{13 + n // 100} {8 + n % 100 // 10:02}:{n % 10 * 6:02};{length};wrapper;jam\n"
        for n, length in enumerate(lengths)
    )
    path.write_text(f"start;{heading};station;cause\n{rows}", encoding="utf-8")
    return path


def test_a_stop_of_no_minutes_is_a_stop_in_a_log_of_whole_minutes(tmp_path: Path) -> None:
    log = read_stop_log(log_of(tmp_path / "log.csv", ["0", "1", "2", "0", "3"] * 8))
    assert log.rounding == Rounding(1.0)
    assert len(log.stops) == 40
    assert "Lengths are rounded to a minute" in log.notes[-1]
    (fit,) = fit_log(log).fits
    assert fit.restore_min.sample is not None
    assert fit.restore_min.sample.rounding == Rounding(1.0)
    assert fit.restore_min.mean == pytest.approx(1.2, abs=0.1)
    fine = read_stop_log(log_of(tmp_path / "fine.csv", ["0", "1.2", "2.4", "0.3", "3.1"] * 8))
    assert fine.rounding is None
    assert {each.reason for each in fine.left_out} == {"lasts no time as logged"}


def test_steps_of_five_minutes_are_known_as_such(tmp_path: Path) -> None:
    log = read_stop_log(log_of(tmp_path / "log.csv", ["5", "10", "0", "20", "5"] * 5))
    assert log.rounding == Rounding(5.0)
    same = read_stop_log(log_of(tmp_path / "same.csv", ["10"] * 30))
    assert same.rounding == Rounding(1.0)


def test_start_and_end_to_the_minute_and_a_finer_length_beside_them(tmp_path: Path) -> None:
    ends = tmp_path / "ends.csv"
    begins = [(8 + n // 6, n % 6 * 10, n % 4) for n in range(40)]
    rows = "".join(
        f"2026-03-13 {hour:02}:{at:02};{hour:02}:{at + long:02};w;jam\n"
        for hour, at, long in begins
    )
    ends.write_text(f"start;end;station;cause\n{rows}", encoding="utf-8")
    log = read_stop_log(ends)
    assert log.rounding == Rounding(1.0, by_ends=True)
    assert len(log.stops) == 40
    both = tmp_path / "both.csv"
    both.write_text(
        "start;end;min;station;cause\n2026-03-13 08:00;2026-03-13 08:04;3,6;w;jam\n"
        "2026-03-13 09:00;2026-03-13 09:01;0,5;w;jam\n",
        encoding="utf-8",
    )
    assert [stop.minutes for stop in read_stop_log(both).stops] == pytest.approx([3.6, 0.5])


def test_a_stop_that_begins_as_another_ends_is_not_within_it(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text(
        "start;min;station;cause\n2026-03-13 08:00;5;w;jam\n2026-03-13 08:05;0;w;label\n"
        "2026-03-13 09:00;3;w;jam\n",
        encoding="utf-8",
    )
    log = read_stop_log(file)
    assert [stop.minutes for stop in log.stops] == [5, 0, 3]
    # One that ends a log is still within it.
    file.write_text(
        "start;min;cause\n"
        + "".join(
            f"2026-03-13 0{hour}:00;{length};jam\n" for hour, length in ((6, 4), (7, 2), (8, 0))
        )
    )
    assert [fit.count for fit in fit_log(read_stop_log(file)).fits] == [3]


def test_a_counter_s_stop_of_no_time_is_a_stop_too(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    rows = "".join(f"{n * 1.5};{n % 3};w;jam\n" for n in range(1, 20))
    file.write_text(f"counter h;min;station;cause\n{rows}", encoding="utf-8")
    log = read_stop_log(file)
    assert len(log.stops) == 19


def test_intervals_between_whole_minutes_keep_their_law() -> None:
    """Stops every three minutes by chance: taken as they stand, short gaps make another law."""
    rounding, shapes, bare = Rounding(1.0, by_ends=True), [], []
    for seed in range(25):
        moments = np.floor(np.cumsum(np.random.default_rng(seed).exponential(3.0, 200)))
        values, complete = np.diff(moments), np.ones(199, bool)
        shapes.append(fit_law(Sample(values, complete, rounding), "weibull").parameters["shape"])
        floored = Sample(np.maximum(values, 0.5), complete)
        bare.append(fit_law(floored, "weibull").parameters["shape"])
    error = np.std(shapes, ddof=1) / 5
    assert abs(np.mean(shapes) - 1) < 3 * error
    assert abs(np.mean(bare) - 1) > 3 * error


def test_moments_to_the_minute_are_known_apart_from_lengths(tmp_path: Path) -> None:
    log = read_stop_log(log_of(tmp_path / "log.csv", ["1.2", "2.4", "0.3", "3.1"] * 8))
    assert log.rounding is None
    assert log.start_step == 1
    found = fit_log(log)
    assert found.fits[0].interval.sample is not None
    assert found.fits[0].interval.sample.rounding is not None
    assert found.fits[0].restore_min.sample is not None
    assert found.fits[0].restore_min.sample.rounding is None
