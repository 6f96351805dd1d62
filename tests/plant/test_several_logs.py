"""Several logs fitted together: each stop once, what changed, how the doubt shrank, what moved."""

from __future__ import annotations

import datetime as dt
import math
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from scipy import stats

import linesim
from linesim.commands import main
from linesim.plant.few_stops import Ends
from linesim.plant.into_scenario import write_fits
from linesim.plant.log_fits import FitSettings, LogFits, fit_log
from linesim.plant.log_look import look_at_log
from linesim.plant.log_settings import LogSettings
from linesim.plant.moved_figures import moved_figures
from linesim.plant.several_logs import joined, open_logs
from linesim.plant.stop_log import CleanStop, StopLog
from linesim.report.answers.log_changes import change_table, change_words, moved_words
from linesim.report.answers.stop_fits import fit_answer
from linesim.scenario import ScenarioFaults, check_text, shipped_scenarios
from linesim.statistics.counts import equal_rates
from linesim.statistics.several_tests import holm
from tests.report.any_width import assert_fits

DEMO = shipped_scenarios()["short-bridge"].read_text(encoding="utf-8")
MONDAY = dt.datetime(2026, 3, 2, 6)
Rows = list[tuple[float, float, str, str]]
"""Hours after Monday, minutes, station, cause."""


def log_of(file: str, rows: Rows) -> StopLog:
    stops = []
    for n, (hour, minutes, station, cause) in enumerate(rows, 2):
        start = MONDAY + dt.timedelta(hours=hour)
        end = start + dt.timedelta(minutes=minutes)
        stops.append(CleanStop(n, start, end, station, cause))
    stops.sort(key=lambda stop: stop.start)
    return StopLog(file, "text", {}, len(stops), tuple(stops), (), (), ())


def jams(seed: int, first_h: float, last_h: float, every_h: float, minutes: float = 4) -> Rows:
    rng = np.random.default_rng(seed)
    rows, now = [(first_h, 2.0, "unwind", "reel handling")], first_h
    while (now := now + rng.exponential(every_h)) < last_h:
        rows.append((now, minutes * rng.uniform(0.5, 1.5), "wrapper", "wrapper jam"))
    return [*rows, (last_h, 2.0, "unwind", "reel handling")]


def fitted(*logs: StopLog, text: str = DEMO) -> LogFits:
    return fit_log(joined(logs), check_text(text, file="x"), FitSettings(resamples=20))


def test_a_stop_that_two_logs_have_is_counted_once_and_said_to_be() -> None:
    one = log_of("one.csv", [(1, 4, "wrapper", "jam"), (5, 4, "wrapper", "jam"), (9, 1, "", "x")])
    # The other wrote one of them as longer, one under another cause, and one is new.
    rows: Rows = [(5.01, 6, "wrapper", "jam"), (9, 1, "", "X"), (8, 2, "wrapper", "other")]
    both = joined([log_of("two.csv", [*rows, (30, 4, "wrapper", "jam")]), one])
    assert [(stop.file, stop.line) for stop in both.stops] == [
        ("one.csv", 2),
        ("one.csv", 3),
        ("two.csv", 4),
        ("one.csv", 4),
        ("two.csv", 5),
    ]
    assert [(row.file, row.line, row.reason) for row in both.left_out] == [
        ("two.csv", 2, "the same stop as line 3 of one.csv"),
        ("two.csv", 3, "the same stop as line 4 of one.csv"),
    ]
    assert both.notes == ("2 stops of two.csv stand in an earlier log, too; counted once.",)
    assert both.rows == 7
    assert both.name == "one.csv and two.csv"


def test_a_log_with_itself_is_that_log() -> None:
    log = log_of("one.csv", jams(1, 0, 100, 4))
    twice = joined([log, log])
    assert [stop.start for stop in twice.stops] == [stop.start for stop in log.stops]
    found = fitted(log, log)
    alone = fitted(log)
    assert found.compared is None
    assert [f.interval for f in found.fits] == [f.interval for f in alone.fits]
    assert found.days == alone.days


def test_time_between_the_logs_is_not_watched() -> None:
    """Nobody wrote stops down then: none happened, as far as the logs can tell, but it may have."""
    first, last = log_of("a", jams(1, 0, 100, 4)), log_of("b", jams(2, 900, 1000, 4))
    found = fitted(first, last)
    assert sum(each.hours for each in found.matched.planned) == pytest.approx(200.07, abs=0.01)
    assert found.days == 10
    jam = next(fit for fit in found.fits if fit.matched.cause == "wrapper jam")
    assert jam.interval.mean == pytest.approx(4, rel=0.35)
    # A weekend between them is part of the calendar, as one within a log is.
    weekend = fitted(first, log_of("b", jams(2, 160, 260, 4)))
    assert weekend.days == 11
    by_day = FitSettings(resamples=20, hours_per_day=24)
    days = fit_log(joined([first, last]), None, by_day).matched.planned
    assert len(days) == 10


def test_shifts_between_the_logs_are_left_out_and_a_shift_that_two_files_count_is_one(
    tmp_path: Path,
) -> None:
    files, shift = [], dt.timedelta(hours=8)
    for name, hours in (("a.csv", range(0, 400, 8)), ("b.csv", range(392, 800, 8))):
        starts = [MONDAY + dt.timedelta(hours=h) for h in hours]
        rows = [f"{s:%Y-%m-%d %H:%M},{s + shift:%Y-%m-%d %H:%M},900" for s in starts]
        (tmp_path / name).write_text("\n".join(["start,end,good reams", *rows, ""]), "utf-8")
        files.append(tmp_path / name)
    logs = log_of("one", jams(1, 1, 99, 4)), log_of("two", jams(2, 701, 799, 4))
    found = fit_log(joined(logs), None, FitSettings(production=files, resamples=20))
    assert len(found.matched.planned) == 26
    assert "the 26 shifts of" in found.matched.planned_words
    # Where they lie says nothing of the plant.
    assert str(tmp_path) not in found.matched.planned_words
    assert "74 shifts between the logs left out" in found.matched.planned_words
    # Counted twice and differently: neither is believed.
    wrong = (tmp_path / "b.csv").read_text("utf-8").replace(",900", ",901")
    (tmp_path / "b.csv").write_text(wrong, "utf-8")
    with pytest.raises(ScenarioFaults, match=r"overlaps the shift of line 51 of .*a\.csv"):
        fit_log(joined(logs), None, FitSettings(production=files, resamples=20))


def test_what_changed_is_shown_cause_by_cause_and_all_together() -> None:
    before, new = jams(1, 0, 200, 4), jams(2, 200.1, 400, 1.5)
    found = fitted(log_of("may.csv", before), log_of("june.csv", new))
    assert found.compared is not None
    by_cause = {each.fit.matched.cause: each for each in found.compared.causes}
    jam, reel = by_cause["wrapper jam"], by_cause["reel handling"]
    assert (jam.changed, reel.changed) == (True, False)
    old, more = sum(r[3] == "wrapper jam" for r in before), sum(r[3] == "wrapper jam" for r in new)
    assert (jam.count_before, jam.count_new) == (old, more)
    # Of all jams the new ones are binomial by the share of the time.
    share = jam.exposure_new / (jam.exposure_new + jam.exposure_before)
    assert jam.p == pytest.approx(stats.binomtest(more, old + more, share).pvalue)
    assert jam.exposure_new + jam.exposure_before == pytest.approx(jam.fit.meter.total)
    (words,) = change_words(found.compared)
    assert f"Other in june.csv than before: wrapper jam comes {jam.ratio:.2g} times as" in words
    table = change_table(found.compared)
    rows = {str(row[0]): row for row in table.rows}
    assert str(rows["wrapper jam"][3]).endswith(", more")
    # The same rates: nothing is shown.
    same = fitted(log_of("may.csv", before), log_of("june.csv", jams(3, 200.1, 400, 4)))
    assert same.compared is not None
    assert change_words(same.compared)[0].startswith("No cause is shown to come more or less often")


def test_at_equal_rates_a_change_is_shown_no_oftener_than_said() -> None:
    rng = np.random.default_rng(2)
    shown = 0
    for _ in range(400):
        pairs = rng.poisson([40, 6, 2, 15, 1, 9], (2, 6))
        tests = [equal_rates(int(a), 2.0, int(b), 2.0) for a, b in pairs.T]
        shown += bool(holm(tests, 0.05))
    # The exact test is on the safe side: two standard errors above 5 % would be a fault.
    assert 0 < shown <= 400 * (0.05 + 2 * math.sqrt(0.05 * 0.95 / 400))


def width(ends: Ends) -> float:
    return math.log(ends[1] / ends[0])


def test_a_second_log_narrows_what_the_first_left_open() -> None:
    first = log_of("a", jams(1, 0, 300, 4))
    found = fitted(first, log_of("b", jams(2, 300.1, 600, 4)))
    assert found.compared is not None
    jam = next(each for each in found.compared.causes if each.fit.matched.cause == "wrapper jam")
    alone = next(f for f in fitted(first).fits if f.matched.cause == "wrapper jam").interval
    assert jam.before is not None
    assert jam.before.mean == pytest.approx(alone.mean, rel=0.01)
    assert jam.narrower == pytest.approx(
        1 - width(jam.fit.interval.intervals["mean"]) / width(jam.before.intervals["mean"])
    )
    # Twice as many stops: narrower by about 1 - 1 / sqrt 2.
    assert jam.narrower == pytest.approx(0.29, abs=0.12)


def test_a_new_fit_says_what_moved_out_of_what_the_old_one_allowed() -> None:
    scenario = check_text(DEMO, file="x")
    old = fitted(log_of("may.csv", jams(1, 0, 300, 4)))
    text = write_fits(DEMO, scenario, old).text
    scenario = check_text(text, file="x")
    new = fitted(log_of("june.csv", jams(2, 600, 900, 1.5, minutes=4.1)), text=text)
    moved = {(each.cause, each.field): each for each in moved_figures(new.fits, scenario)}
    often = moved["wrapper jam", "every_running_h"]
    jam = next(stop for stop in scenario.stop if stop.cause == "wrapper jam")
    assert often.old == jam.interval.average()
    assert often.old_ends == jam.doubt[0].between
    assert often.outside
    assert not moved["wrapper jam", "restore_min"].outside
    answer, _ = fit_answer(new, into=text, into_name="x")
    assert_fits(answer)
    said = " ".join(answer.words)
    assert "moved out of the 95 % interval that they had: wrapper jam (interval" in said
    assert "moved" in [table.name for table in answer.tables]
    # The same log once more moves nothing; a scenario that was never fitted has nothing to move.
    again = fitted(log_of("may.csv", jams(1, 0, 300, 4)), text=text)
    assert "no mean has moved" in moved_words(moved_figures(again.fits, scenario))[0]
    assert moved_figures(again.fits, check_text(DEMO, file="x")) == ()


GERMAN = "Wann;Dauer min;Station;Ursache\n"
ENGLISH = "start,minutes,station,cause\n"


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Path, Path]:
    """A month with other headings than the next, and a day in both."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    may, june = tmp_path / "may.csv", tmp_path / "june.csv"
    days = [f"{d:02}.05.2026 {h:02}:10" for d in (29, 30, 31) for h in range(6, 20, 2)]
    may.write_text(GERMAN + "".join(f"{day};4,5;wrapper;wrapper jam\n" for day in days), "cp1252")
    stamps = [f"2026-05-31 {h:02}:10" for h in range(6, 20, 2)]
    stamps += [f"2026-06-{d:02} {h:02}:11" for d in (1, 2, 3) for h in range(6, 20)]
    june.write_text(ENGLISH + "".join(f"{s},4.5,wrapper,wrapper jam\n" for s in stamps), "utf-8")
    return may, june


def test_two_files_with_other_headings_by_command(files: tuple[Path, Path]) -> None:
    asked = ["fit-stops", *map(str, reversed(files)), "--column", "start=Wann", "--resamples", "20"]
    found = CliRunner().invoke(main, [*asked, "--hours-per-day", "14", "--for", "short-bridge"])
    assert found.exit_code == 0, found.output
    said = " ".join(found.output.split())
    assert "may.csv and june.csv: 70 rows = 63 stops used + 7 left out" in said
    assert "7 stops of june.csv stand in an earlier log, too; counted once." in said
    assert "Planned time: 84 h" in said
    assert "Other in june.csv than before: wrapper jam comes 1.9 times as often" in said
    assert "june.csv 2 the same stop as line 16 of" in said
    # A heading that no log has is asked about, log by log.
    wrong = CliRunner().invoke(main, ["fit-stops", *map(str, files), "--column", "start=When"])
    assert wrong.exit_code == 2
    assert wrong.output.count("there is no column 'When'") == 2


def test_two_files_by_script_and_at_a_look(files: tuple[Path, Path]) -> None:
    settings = FitSettings(hours_per_day=14, resamples=20)
    reading = LogSettings({"start": "Wann"})
    answer = linesim.fit_stops(files, reading=reading, settings=settings)
    assert answer.words[0].startswith("may.csv and june.csv: 70 rows")
    look = look_at_log(files, None, reading, settings)
    assert look.columns["start"] == "Wann"
    assert look.headings == ("Wann", "Dauer min", "Station", "Ursache", *ENGLISH.strip().split(","))
    assert look.matched is not None
    assert len(look.matched.log.stops) == 63


def test_a_column_that_no_log_has_is_told_of_each(files: tuple[Path, Path]) -> None:
    """An empty heading is no heading of another log, though that has empty cells."""
    may, june = files
    may.write_text("Log of May;;;\n" + may.read_text("cp1252"), "cp1252")
    log = open_logs([may, june], LogSettings({"start": "Wann", "station": ""}))
    assert [part.columns.get("station") for part in log.parts] == [None, None]
    assert [part.columns["start"] for part in log.parts] == ["Wann", "start"]


def test_a_running_counter_stands_alone(tmp_path: Path) -> None:
    log = tmp_path / "counter.csv"
    log.write_text("hour meter,min,cause\n1,4,jam\n3,4,jam\n5,4,jam\n", "utf-8")
    with pytest.raises(ScenarioFaults, match="a running counter does not tell where"):
        open_logs([log, log])
