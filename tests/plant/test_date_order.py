"""Day or month first: told, or known by something, and said; never taken in silence."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from click.testing import CliRunner

from linesim.commands import main
from linesim.plant.date_order import dates_of
from linesim.plant.log_fits import FitSettings, fit_log, match_log
from linesim.plant.log_settings import LogSettings, PlantTerms
from linesim.plant.production import read_counts
from linesim.report.answers.log_tables import log_words
from tests.plant.logs import read_stop_log

DAYS = range(2, 13)
"""Of March 2026: none above 12."""


def us_log(path: Path, days: range = DAYS) -> Path:
    rows = [
        f"03/{day:02}/2026 {hour}:{minute:02},4,wrapper,jam\n"
        for day in days
        for hour in range(8, 14)
        for minute in range(0, 60, 7)
    ]
    path.write_text("start,minutes,station,cause\n" + "".join(rows), encoding="utf-8")
    return path


def iso_counts(path: Path) -> Path:
    rows = [f"2026-03-{day:02} 06:00,2026-03-{day:02} 14:00,5000\n" for day in DAYS]
    path.write_text("shift start,shift end,good reams\n" + "".join(rows), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("dates", "order", "certain"),
    [
        (["13/03/2026", "02/03/2026"], "dmy", True),
        (["03/13/2026", "03/02/2026"], "mdy", True),
        # One slip does not turn the file round.
        (["03/13/2026", "03/14/2026", "14/03/2026"], "mdy", True),
        (["02.03.2026", "03.03.2026"], "dmy", True),
        (["2026-03-02"], "ymd", True),
        # Dates of two forms in one file: what begins with a year says nothing of the others.
        (["2026-03-02", "05.03.26", "13.03.2026"], "dmy", True),
        (["2026-03-02", "05.03.26"], "dmy", True),
        (["2026-03-02", "03/13/2026", "03/02/2026"], "mdy", True),
        (["2026-03-02", "26-03-05"], "ymd", False),
        (["03/02/2026", "03/03/2026", "03/04/2026"], "mdy", False),
        (["02/03/2026", "03/03/2026", "04/03/2026"], "dmy", False),
        (["Mon 03/02/2026", "Tue 03/03/2026", "Wed 03/04/2026"], "mdy", False),
        (["03/02/2026"], "dmy", False),
        ([], "dmy", True),
    ],
)
def test_what_dates_say_themselves(dates: list[str], order: str, certain: bool) -> None:
    found = dates_of(dates)
    assert (found.order, found.certain) == (order, certain)
    assert ("--dates" in found.words("x")) == (not certain)


def test_the_counts_settle_it_and_it_is_said(tmp_path: Path) -> None:
    """Day first, most rows would lie outside of the shifts and be dropped."""
    log, counts = us_log(tmp_path / "log.csv"), iso_counts(tmp_path / "counts.csv")
    read = read_stop_log(log, LogSettings(counts=counts))
    found = fit_log(read, settings=FitSettings(production=counts, resamples=20))
    assert len(found.log.stops) == read.rows == len(DAYS) * 6 * 9
    assert {stop.start.month for stop in read.stops} == {3}
    assert read.notes[0] == (
        "Dates of the log are read month first: so they fall within the shifts of the counts."
    )


def test_one_day_is_settled_by_the_counts_alone(tmp_path: Path) -> None:
    log, counts = us_log(tmp_path / "log.csv", range(4, 5)), iso_counts(tmp_path / "counts.csv")
    alone = read_stop_log(log)
    assert alone.stops[0].start.date() == dt.date(2026, 4, 3)
    assert "nothing tells. If that is wrong, tell it, under Dates: month-first" in alone.notes[0]
    settled = read_stop_log(log, LogSettings(counts=counts))
    assert settled.stops[0].start.date() == dt.date(2026, 3, 4)


def test_without_counts_the_days_of_a_week_are_not_scattered_over_months(tmp_path: Path) -> None:
    read = read_stop_log(us_log(tmp_path / "log.csv"))
    assert {stop.start.month for stop in read.stops} == {3}
    assert "they follow each other within 11 days, not 304" in read.notes[0]


def test_what_is_told_goes_before_all_else(tmp_path: Path) -> None:
    log, counts = us_log(tmp_path / "log.csv", range(4, 5)), iso_counts(tmp_path / "counts.csv")
    read = read_stop_log(log, LogSettings(terms=PlantTerms("dmy"), counts=counts))
    assert read.stops[0].start.date() == dt.date(2026, 4, 3)
    assert read.notes[0] == "Dates of the log are read day first: as told."
    # Told wrongly, all of it lies outside of the shifts, and that is said aloud.
    matched = match_log(read, None, FitSettings(production=counts))
    assert "Most rows were left out" in log_words(matched.log)[0]
    assert "Most rows were left out" not in log_words(read)[0]


def test_dates_of_counts_are_put_in_order_too(tmp_path: Path) -> None:
    file = tmp_path / "counts.csv"
    rows = "".join(f"03/{d:02}/2026 06:00,03/{d:02}/2026 14:00,50\n" for d in DAYS)
    file.write_text("shift start,shift end,good reams\n" + rows, encoding="utf-8")
    counts = read_counts(file)
    assert {count.start.month for count in counts.shifts} == {3}
    assert "month first" in counts.dates.words(str(file))
    one = tmp_path / "one.csv"
    one.write_text("start,end,reams\n03/04/2026 06:00,03/04/2026 14:00,50\n", encoding="utf-8")
    assert read_counts(one).shifts[0].start.month == 4
    assert read_counts(one, "mdy").shifts[0].start.month == 3


def test_a_year_at_the_end_is_a_year_whatever_stands_first(tmp_path: Path) -> None:
    log = tmp_path / "log.csv"
    log.write_text(
        "start,min,cause\n2026-03-02 08:00,4,jam\n02/03/2026 09:00,4,jam\n", encoding="utf-8"
    )
    assert {stop.start.year for stop in read_stop_log(log).stops} == {2026}


def test_the_option_of_the_command(tmp_path: Path) -> None:
    log = us_log(tmp_path / "log.csv", range(4, 5))
    given = ["fit-stops", str(log), "--dates", "month-first", "--resamples", "20"]
    found = CliRunner().invoke(main, given)
    assert found.exit_code == 0, found.output
    said = " ".join(found.output.split())
    assert "read month first: as told." in said
    # Kept as columns are, and forgotten with them.
    again = " ".join(CliRunner().invoke(main, given[:2] + given[4:]).output.split())
    assert "Dates month first, as you told last time." in again
    gone = CliRunner().invoke(main, [*given[:2], *given[4:], "--forget-columns"])
    assert "If that is wrong, tell it" in " ".join(gone.output.split())
