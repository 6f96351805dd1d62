"""The invented plant, from its dirty log into a scenario: does the fit find the hidden truth?"""

from __future__ import annotations

import datetime as dt
import json
import re
import shutil
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from linesim.commands import main
from linesim.plant.causes_matched import match_causes
from linesim.plant.fitting import CauseFit, Fitter, outside_planned, worked
from linesim.plant.production import read_counts
from linesim.plant.running_meter import planned_by_day, planned_from_counts
from linesim.report.answers import Answer, answer_text
from linesim.report.answers.log_tables import log_words
from linesim.report.answers.stop_fits import fit_tables
from linesim.report.page.inputs import stops_grid
from linesim.scenario import load
from tests.plant.logs import read_stop_log
from tests.plant.make_plant import (
    CLONE,
    FOLDER,
    HIDDEN,
    SEED,
    hidden_plant,
    logged_rows,
    production_rows,
    run_plant,
)
from tests.report.any_width import assert_fits

LOG, PRODUCTION = FOLDER / "stop-log.csv", FOLDER / "production.csv"
DEMO = CLONE / "scenarios" / "short-bridge.toml"


@pytest.fixture(scope="module")
def fits() -> dict[str, CauseFit]:
    """Fits of the shipped log by cause."""
    planned = planned_from_counts(read_counts(PRODUCTION).shifts)
    log = outside_planned(read_stop_log(LOG), planned)
    scenario = load(DEMO)
    fitter = Fitter(match_causes(log.stops, scenario), planned, scenario, resamples=40)
    return {cause.cause: fitter.fit(cause) for cause in fitter.causes}


def test_the_shipped_files_are_what_the_script_makes() -> None:
    """The first two of the twenty shifts: counts row by row, and every stop in the log's words."""
    record = run_plant(2)
    counted = PRODUCTION.read_text("utf-8").splitlines()
    assert [",".join(row) for row in production_rows(record)] == counted[:3]
    logged = logged_rows(record, np.random.default_rng(SEED))
    # The last stop may still be under way when so short a run ends.
    made = [";".join(row) for row in logged[:-1]]
    assert len(made) > 60
    shipped = LOG.read_text("cp1252").splitlines()
    places = [shipped.index(row) for row in made]
    assert places == sorted(places)


def inside(interval: tuple[float, float], truth: float) -> bool:
    return interval[0] <= truth <= interval[1]


def test_the_intervals_cover_the_hidden_truth(fits: dict[str, CauseFit]) -> None:
    """95 % intervals, some forty of them: two or three may miss, five would be a fault."""
    covered: dict[str, bool] = {}
    for stop in hidden_plant().stop:
        fit = fits.get(stop.cause)
        if fit is None:
            continue
        assert fit.meter.field == stop.meter
        truth = stop.interval.average()
        covered[f"{stop.cause}: interval"] = inside(fit.interval.intervals["mean"], truth)
        restore = stop.restore_min.average()
        covered[f"{stop.cause}: restore"] = inside(fit.restore_min.intervals["mean"], restore)
    missed = [name for name, found in covered.items() if not found]
    assert len(covered) >= 36
    assert len(missed) <= 0.1 * len(covered), missed


def test_the_log_tells_the_plant_from_the_demo(fits: dict[str, CauseFit]) -> None:
    """The wrapper jams of the plant are neither as rare nor as short as the demo has them."""
    demo = next(stop for stop in load(DEMO).stop if stop.cause == "wrapper jam")
    jam = fits["wrapper jam"]
    assert not inside(jam.interval.intervals["mean"], demo.interval.average())
    assert not inside(jam.restore_min.intervals["mean"], demo.restore_min.average())
    assert inside(jam.interval.intervals["mean"], HIDDEN["wrapper jam"]["every_reams"]["mean"])
    assert jam.restore_min.fit.law == "lognormal"
    assert fits["label printer"].interval.fit.law == "weibull"
    assert fits["pallet missing"].matched.new
    assert fits["web break"].matched.set_in == "[web_path]"


def test_each_cause_is_one_line_of_a_table(fits: dict[str, CauseFit]) -> None:
    tables = fit_tables(list(fits.values()))
    assert_fits(Answer("", "", (), tuple(tables)))
    for table in tables:
        lines = answer_text(Answer("", "", (), (table,))).splitlines()
        rows = [row for row in lines if row.startswith(tuple(fits))]
        assert len(rows) == len(fits)
        # A title with its line, headings with theirs, and nothing else.
        assert len(list(filter(str.strip, lines))) == len(rows) + 4


def fit_stops(*arguments: str):
    return CliRunner().invoke(main, ["fit-stops", *arguments])


def test_into_a_scenario_whose_comments_stay(tmp_path: Path, fits: dict[str, CauseFit]) -> None:
    mine = tmp_path / "mine.toml"
    shutil.copy(DEMO, mine)
    found = fit_stops(
        *(str(LOG), "--production", str(PRODUCTION), "--into", str(mine)),
        *("--resamples", "20", "--json", "-"),
    )
    assert found.exit_code == 0, found.output
    answer = json.loads(found.stdout)
    rows, used = read_stop_log(LOG).rows, sum(fit.count for fit in fits.values())
    counted = f"{rows} rows = {used} stops used + {rows - used} left out"
    assert counted in answer["words"][0]
    text = mine.read_text(encoding="utf-8")
    before = DEMO.read_text(encoding="utf-8")
    assert [line for line in before.splitlines() if line.startswith("#")] == [
        line for line in text.splitlines() if line.startswith("#")
    ]
    scenario = load(mine)
    jam = next(stop for stop in scenario.stop if stop.cause == "wrapper jam")
    stops = fits["wrapper jam"].count
    assert jam.note.startswith(f"fitted to {stops} stops of stop-log.csv, 2026-03-02 to ")
    assert jam.meter == "every_reams"
    # What the file said of the figures replaced is not told as the origin of the new ones.
    assert "every ten minutes or so" in before
    assert "# before the fit: every ten minutes or so" in text
    assert "every ten minutes or so" not in str(stops_grid(scenario, text).rows)
    # Each figure says how sure it is, on a line of its own, and so does what the log never names.
    (often, long, spread) = jam.doubt
    assert (often.of, long.of, spread.of) == ("every_reams", "restore_min", "restore_min.sd")
    assert often.between == pytest.approx(fits["wrapper jam"].interval.intervals["mean"], rel=0.005)
    assert (often.stops, often.days, often.why) == (stops, 12, f"{stops} stops in 12 days of log")
    assert spread.correlation is not None
    assert sum("of = " in line for line in text.splitlines()) == text.count("of = ")
    for stop in scenario.stop:
        assert stop.doubt, stop.cause
        assert (stop.doubt[0].stops == 0) == (stop.cause not in fits)
    new = next(stop for stop in scenario.stop if stop.cause == "pallet missing")
    assert new.station == "outfeed"
    assert not [stop for stop in scenario.stop if stop.cause == "web break"]


def test_without_counts_it_says_what_that_does(tmp_path: Path) -> None:
    log = tmp_path / "log.csv"
    rows = "".join(f"2026-03-{n:02} 08:00,{4 + n % 3},wrapper,wrapper jam\n" for n in range(2, 7))
    log.write_text("start,minutes,station,cause\n" + rows, encoding="utf-8")
    found = fit_stops(str(log), "--for", "short-bridge", "--hours-per-day", "8")
    assert found.exit_code == 0, found.output
    said = " ".join(found.output.split())
    assert "Planned time: 40 h: 8 h a day from 06:00, as told." in said
    assert "wrapper jam (reams)" in said
    assert "intervals come out too long where waiting is much" in said
    assert "Fewer than 10 stops" in said


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["nowhere.csv"], "there is no such file"),
        ([str(LOG), "--column", "start"], "is not two names with = between"),
        ([str(LOG), "--column", "start=Wann"], "there is no column 'Wann'"),
        ([str(LOG), "--from", "soon"], "is no date"),
        ([str(LOG), "--for", "short-bridge", "--into", str(DEMO)], "either --into or --for"),
        ([str(LOG), "--hours-per-day", "8", "--day-starts", "6 am"], "is no time of day"),
    ],
)
def test_what_cannot_be_done_is_said_without_a_traceback(arguments: list[str], says: str) -> None:
    found = fit_stops(*arguments)
    assert found.exit_code == 2
    assert says in " ".join(found.output.split())
    assert "Traceback" not in found.output


def test_columns_named_by_hand_are_kept_until_forgotten(tmp_path: Path) -> None:
    log = tmp_path / "log.csv"
    rows = "".join(f"{n * 1.5};6;wrapper;wrapper jam\n" for n in range(1, 13))
    log.write_text("t;long;p;q\n" + rows, encoding="utf-8")
    columns = [f"--column={c}" for c in ("counter=t", "minutes=long", "station=p", "cause=q")]
    named = fit_stops(str(log), *columns, "--counter-unit", "h", "--resamples", "20")
    assert named.exit_code == 0, named.output
    said = " ".join(named.output.split())
    assert "Time is told by the counter 't' (h), which runs on while a stop lasts." in said
    assert "Planned time: 18.1 h: all that the counter counted." in said
    assert "last time" not in said
    again = fit_stops(str(log), "--resamples", "20")
    assert "Columns as you named them last time: counter = 't'" in " ".join(again.output.split())
    assert fit_stops(str(log), "--forget-columns").exit_code == 2
    dated = fit_stops(str(log), *columns, "--hours-per-day", "8")
    assert "planned hours are of days, but the counter of this log has none" in dated.output


def test_a_log_of_which_nothing_can_be_used(tmp_path: Path) -> None:
    log = tmp_path / "log.csv"
    log.write_text("start,minutes,cause\nsoon,4,jam\n", encoding="utf-8")
    found = fit_stops(str(log))
    assert found.exit_code == 0, found.output
    assert "1 row = 0 stops used + 1 left out" in " ".join(found.output.split())
    assert "nothing was fitted" in found.output


def test_days_with_hardly_a_stop_are_days_off() -> None:
    log = read_stop_log(LOG)
    days = planned_by_day(log.stops[0].start, log.stops[-1].start, 16, dt.time(14))
    found = worked(log, days)
    assert [day.start.weekday() for day in found] == [0, 1, 2, 3, 4] * 2
    # A log with few stops a day cannot tell.
    assert worked(read_stop_log(LOG, until=dt.datetime(2026, 3, 2, 14, 30)), days) == days


def test_the_reasons_for_rows_left_out_add_up_in_words() -> None:
    said = log_words(read_stop_log(LOG))[0]
    found = re.search(r"\+ (\d+) left out \((.*)\)\.", said)
    assert found is not None
    left, reasons = found.groups()
    assert sum(int(reason.split()[0]) for reason in reasons.split(", ")) == int(left)
    assert "for other reasons" in reasons


def test_a_log_without_dates_is_not_held_against_counts(tmp_path: Path) -> None:
    log = tmp_path / "log.csv"
    log.write_text("counter h,min,station,cause\n1,5,wrapper,jam\n2,5,gate,x\n", encoding="utf-8")
    asked = ["validate", "short-bridge", "--against", str(PRODUCTION), "--log", str(log)]
    found = CliRunner().invoke(main, asked)
    assert found.exit_code == 2
    assert "the log tells time by a counter" in found.output
