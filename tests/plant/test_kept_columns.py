"""Columns named by hand are there the next time, and nothing wrong with them stops a log."""

from __future__ import annotations

from pathlib import Path

import pytest

from linesim.plant.kept_columns import forget, open_log
from linesim.plant.log_fits import FitSettings
from linesim.plant.log_look import look_at_log
from linesim.plant.log_settings import LogSettings
from linesim.plant.table_files import read_table
from linesim.scenario.faults import ScenarioFaults

TEXT = "a;b;c;d\n2026-02-13 08:00;4;wrapper;jam\n2026-02-14 08:00;5;wrapper;jam\n"
NAMED = {"start": "A", "minutes": "b", "station": "c", "cause": "d"}


@pytest.fixture
def log_file(tmp_path: Path) -> Path:
    path = tmp_path / "log.csv"
    path.write_text(TEXT, encoding="utf-8")
    return path


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    return tmp_path / "config" / "log-columns.toml"


def test_named_once_used_again_changed_and_forgotten(log_file: Path, kept: Path) -> None:
    with pytest.raises(ScenarioFaults, match="no column is known as start"):
        open_log(log_file, file=kept)
    assert not kept.exists()
    first = open_log(log_file, LogSettings(NAMED), file=kept)
    assert not first.notes or "last time" not in first.notes[0]
    again = open_log(log_file, file=kept)
    assert again.stops == first.stops
    assert again.notes[0] == (
        "Columns as you named them last time: start = 'A', minutes = 'b', station = 'c',"
        " cause = 'd'."
    )
    # Plain text that people can read; one told now goes before, the rest stays.
    assert 'cause = "d"' in kept.read_text(encoding="utf-8")
    other = open_log(log_file, LogSettings({"cause": "c", "station": "d"}), file=kept)
    assert other.stops[0].cause == "wrapper"
    assert open_log(log_file, file=kept).stops[0].cause == "wrapper"
    # Other headings are another log.
    log_file.write_text(TEXT.replace("a;b", "x;b"), encoding="utf-8")
    with pytest.raises(ScenarioFaults):
        open_log(log_file, file=kept)
    log_file.write_text(TEXT, encoding="utf-8")
    assert forget(read_table(log_file), kept) == ""
    with pytest.raises(ScenarioFaults):
        open_log(log_file, file=kept)


@pytest.mark.parametrize(
    "broken",
    [
        "log = [",
        "log = 3",
        '[[log]]\nheadings = "a"\ncolumns = 4',
        "\x80",
        "[[log]]\nother = 1",
        "format = 2",
    ],
)
def test_a_broken_file_is_said_left_alone_and_stops_nothing(
    log_file: Path, kept: Path, broken: str
) -> None:
    kept.parent.mkdir()
    kept.write_bytes(broken.encode("latin-1"))
    log = open_log(log_file, LogSettings(NAMED), file=kept)
    assert len(log.stops) == 2
    said = " ".join(log.notes)
    assert "Columns named earlier are not known" in said
    assert "were not kept for next time" in said
    assert str(kept) in said
    assert kept.read_bytes() == broken.encode("latin-1")


def test_a_place_that_cannot_be_written_and_columns_that_make_no_log(
    log_file: Path, kept: Path
) -> None:
    kept.parent.write_text("a file, not a folder", encoding="utf-8")
    log = open_log(log_file, LogSettings(NAMED), file=kept)
    assert "not kept for next time" in " ".join(log.notes)
    kept.parent.unlink()
    open_log(log_file, LogSettings(NAMED), file=kept)
    text = kept.read_text(encoding="utf-8").replace('start = "A"', 'start = "c"\ncounter = "c"')
    kept.write_text(text, encoding="utf-8")
    with pytest.raises(ScenarioFaults, match="no column is known"):
        open_log(log_file, file=kept)


def test_a_first_look_proposes_says_what_is_missing_and_what_is_kept(log_file: Path) -> None:
    look = look_at_log(log_file, None, LogSettings(), FitSettings())
    assert look.headings == ("a", "b", "c", "d")
    assert look.matched is None
    assert [fault.field for fault in look.faults] == ["start", "cause", "end"]
    look = look_at_log(log_file, None, LogSettings({**NAMED, "end": ""}), FitSettings())
    assert look.columns == {"start": "a", "minutes": "b", "station": "c", "cause": "d"}
    assert look.matched is not None
    assert [cause.cause for cause in look.matched.causes] == ["jam"]
    again = look_at_log(log_file, None, LogSettings(), FitSettings())
    assert again.matched is not None
    assert again.from_last_time == {**NAMED, "end": ""}
    assert "no end" in again.matched.log.notes[0]
    # Counts that cannot be read are said of their own file; the columns stay known.
    wrong = look_at_log(log_file, None, LogSettings(), FitSettings(production="nowhere.csv"))
    assert wrong.columns == look.columns
    assert "nowhere.csv" in str(wrong.faults[0])
