"""A hidden plant, its log, the line fitted to it, and what both of them say."""

from __future__ import annotations

import csv
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from linesim.fast import simulate
from linesim.plant.into_scenario import write_fits
from linesim.plant.log_fits import FitSettings, fit_log
from linesim.plant.log_settings import LogSettings
from linesim.plant.stop_log import clean_log
from linesim.plant.table_files import read_table
from linesim.scenario import Scenario, check_text, shipped_scenarios
from linesim.scenario.changed_law import scaled, with_mean
from linesim.scenario.field_descriptions import as_written
from linesim.statistics import Crossing, Interval, interval_of
from linesim.studies.add_wrapper import LONGER
from linesim.studies.changes import ready_for_more, with_another, with_bridge
from linesim.studies.differences import crossed, reams
from linesim.studies.runner import WEEK_H, Runner, Settings
from tests.plant.make_plant import NOT_LOGGED, SHIFT_H, logged_rows, production_rows

LINES = ("short-bridge", "slow-wrapper", "small-crew", "two-wrappers")
SHIFTS_A_WEEK = 10
OFTEN_SD, LONG_SD, SPREAD_SD = 0.35, 0.3, 0.2
"""How far hidden plants lie from the demo: of the logarithms of mean interval, of mean time to
restore, and of its spread over its mean."""
FIGURES = ("reams a week", "longer bridge", "second wrapper")
HEADINGS = ["date", "start", "minutes", "station", "cause"]
RESAMPLES = 100
WEEKS_A_PART = 3
"""Of the truth: so long is each of its runs."""


@dataclass(frozen=True)
class Trial:
    """What a plant's log led to: by figure, the values of the runs, reams a week."""

    line: str
    weeks: int
    number: int
    stops: int
    written: int
    answer: dict[str, list[float]]
    """Of the line fitted to the log, runs of a week, crossed."""
    foreseen: tuple[list[list[float]], list[list[float]]]
    """Of these runs' plants, by square, and its covariance."""
    truth: dict[str, list[float]]
    """Of the hidden plant itself, runs of some weeks."""
    seconds: float
    """Of processor time."""

    @property
    def place(self) -> tuple[str, int, int]:
        return self.line, self.weeks, self.number

    def said(self, figure: str) -> Interval:
        """The interval of the answer."""
        moved, covariance = map(np.array, self.foreseen)
        return interval_of(self.answer[figure], crossed=Crossing(moved, covariance))


def try_plant(line: str, weeks: int, number: int, *, truth_weeks: int, runs: int = 20) -> Trial:
    """The same names and numbers give the same trial; ``runs`` of a week are asked."""
    began = time.process_time()
    place = [*shipped_scenarios()].index(line)
    seed = int(np.random.SeedSequence([place, weeks, number]).generate_state(1)[0] % 2**31)
    rng = np.random.default_rng(seed)
    text = shipped_scenarios()[line].read_text(encoding="utf-8")
    hidden = hidden_plant(check_text(text, file=line), rng)
    fitted, stops, written = fitted_line(text, hidden, weeks, rng, seed)
    # Log, answer and truth each have a luck of their own.
    answer, foreseen = values_of(fitted, runs, 1, seed=seed + 1)
    parts = max(2, round(truth_weeks / WEEKS_A_PART))
    truth, _ = values_of(hidden, parts, WEEKS_A_PART, seed=seed + 2)
    spent = time.process_time() - began
    assert foreseen is not None
    assert foreseen.moved is not None
    assert foreseen.covariance is not None
    matrices = foreseen.moved.tolist(), foreseen.covariance.tolist()
    return Trial(line, weeks, number, stops, written, answer, matrices, truth, spent)


def hidden_plant(demo: Scenario, rng: np.random.Generator) -> Scenario:
    """The demo with other intervals and times to restore of all that a log tells of."""
    stops = []
    for stop in demo.stop:
        data = stop.model_dump(exclude_none=True)
        if stop.cause not in NOT_LOGGED:
            often, long, spread = np.exp(rng.normal(0, [OFTEN_SD, LONG_SD, SPREAD_SD]))
            data[stop.meter] = scaled(as_written(stop.interval), often)
            law = as_written(stop.restore_min)
            law = with_mean(law, stop.restore_min.average() * long)
            if isinstance(law, dict) and "sd" in law:
                law["sd"] *= spread
            data["restore_min"] = law
        stops.append(data)
    return demo.varied(stop=stops)


def fitted_line(
    text: str, hidden: Scenario, weeks: int, rng: np.random.Generator, seed: int
) -> tuple[Scenario, int, int]:
    """The line of *text* with so many weeks of the hidden one's log in it.

    Also how many stops the log has, and how many causes were written.
    """
    shifts = weeks * SHIFTS_A_WEEK
    record = simulate(hidden, seed=seed, hours=shifts * SHIFT_H, buckets=shifts)
    with tempfile.TemporaryDirectory() as folder:
        log, counts = Path(folder, "stop-log.csv"), Path(folder, "production.csv")
        _write(log, [HEADINGS, *logged_rows(record, rng)])
        _write(counts, production_rows(record))
        demo = check_text(text, file="demo")
        clean = clean_log(read_table(log), LogSettings(counts=counts))
        settings = FitSettings(production=counts, seed=seed, resamples=RESAMPLES)
        done = write_fits(text, demo, fit_log(clean, demo, settings))
    return check_text(done.text, file="fitted"), len(clean.stops), len(done.causes)


def _write(path: Path, rows: list[list[str]]) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file, delimiter=";").writerows(rows)


def values_of(
    line: Scenario, runs: int, weeks: int, *, seed: int
) -> tuple[dict[str, list[float]], Crossing | None]:
    """By run: what the line makes in a week, what a longer bridge and a second wrapper bring."""
    settings = Settings(replications=runs, hours=WEEK_H * weeks, seed=seed, processes=1)
    with Runner(settings) as runner:
        (stated,) = runner.as_stated({"": line}).values()
        base = ready_for_more(stated)
        longer = with_bridge(base, round(LONGER * base.bridge_places))
        rows = runner.outcomes({"": base, "bridge": longer, "wrapper": with_another(base)})
    foreseen = crossed(next(iter(rows.values())))
    now, *others = ([reams(each) for each in variant] for variant in rows.values())
    gains = [[b - a for a, b in zip(now, each, strict=True)] for each in others]
    return dict(zip(FIGURES, [now, *gains], strict=True)), foreseen
