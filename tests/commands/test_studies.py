"""The study commands as a person meets them."""

from __future__ import annotations

import csv
import json
import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from linesim.commands import main
from linesim.scenario import dump
from tests.studies.lines import quick_line

SHORT = ("--hours", "2", "--replications", "2", "--processes", "1")


@pytest.fixture
def line(tmp_path: Path, cache: Path) -> str:
    """A scenario file, and a cache of its own."""
    path = tmp_path / "line.toml"
    path.write_text(dump(quick_line(contribution_per_ream=0.4, wrapper_price=2e5)), "utf-8")
    return str(path)


def called(*words: str) -> Result:
    return CliRunner().invoke(main, words)


@pytest.mark.parametrize(
    "words",
    [
        ("size-bridge", "{}", "--places", "6,20,60", "--no-levels"),
        ("add-wrapper", "{}", "--payback-years", "2"),
        ("what-holds", "{}"),
        ("vary", "{}", "crew.size=1,3"),
        ("compare", "{}", "orders"),
    ],
)
def test_words_come_first_then_tables(line: str, words: tuple[str, ...]) -> None:
    result = called(*(word.format(line) for word in words), *SHORT)
    assert result.exit_code == 0, result.output
    first = result.stdout.split("\n\n")[0]
    assert len(first.split()) > 5
    assert "---" in result.stdout
    assert "runs of 2 h, 95 % intervals" in result.stdout
    assert "runs made in" in result.stderr


def test_the_same_command_gives_the_same_json(line: str, tmp_path: Path) -> None:
    first = called("vary", line, "crew.size=1,3", *SHORT, "--json", "-")
    kept = called(
        "vary", line, "crew.size=1,3", *SHORT, "--json", "-", "--keep", str(tmp_path / "kept")
    )
    again = called(
        "vary", line, "crew.size=1,3", *SHORT, "--json", "-", "--keep", str(tmp_path / "kept")
    )
    assert first.stdout == kept.stdout == again.stdout
    assert "going on from there" in again.stderr
    data = json.loads(first.stdout)
    assert data["study"] == "vary"
    assert {"mean", "half_width", "shown"} == set(data["tables"]["points"]["rows"][0]["good reams"])


def test_a_complete_study_leaves_nothing_in_the_cache(line: str, cache: Path) -> None:
    assert called("vary", line, "crew.size=1,3", *SHORT).exit_code == 0
    assert list(cache.rglob("*.sqlite")) == []


def test_a_changed_scenario_is_refused_until_told_to_start_over(line: str, tmp_path: Path) -> None:
    kept = str(tmp_path / "kept")
    assert called("vary", line, "crew.size=1,3", *SHORT, "--keep", kept).exit_code == 0
    text = Path(line).read_text("utf-8")
    text = text.replace("rate_reams_per_min = 45", "rate_reams_per_min = 40")
    Path(line).write_text(text, "utf-8")
    refused = called("vary", line, "crew.size=1,3", *SHORT, "--keep", kept)
    assert refused.exit_code == 2
    assert "the scenario has changed" in refused.stderr
    over = called("vary", line, "crew.size=1,3", *SHORT, "--keep", kept, "--start-over")
    assert over.exit_code == 0


def test_tables_go_to_csv_and_to_a_workbook(line: str, tmp_path: Path) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    text = Path(line).read_text("utf-8").replace('cause = "controls"', 'cause = "=1+1"', 1)
    text = text.replace('name = "quick"', 'name = "=cmd()"')
    Path(line).write_text(text, "utf-8")
    result = called(
        "rank-stops",
        line,
        *SHORT,
        "--csv",
        str(tmp_path / "out"),
        "--xlsx",
        str(tmp_path / "out.xlsx"),
    )
    assert result.exit_code == 0, result.output
    with (tmp_path / "out" / "causes.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    assert rows[0][:2] == ["cause", "stops"]
    assert "'=1+1" in {row[0] for row in rows}
    drawn = {path.name for path in (tmp_path / "out").iterdir()} - {"words.csv", "stations.csv"}
    assert drawn == {"causes.csv", "cost.svg", "cost.pdf", "minutes.svg", "minutes.pdf"}
    book = openpyxl.load_workbook(tmp_path / "out.xlsx")
    assert book.sheetnames == ["words", "causes", "stations"]
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert "'=1+1" in {cell.value for cell in cells}
    assert all(cell.data_type != "f" for cell in cells)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("vary", "{}", "bridge.palces=1:9:3"), "did you mean places"),
        (("vary", "{}", "unwind.webs=7,9"), "none of the values makes a line"),
        (("size-bridge", "{}", "--places", "1:9:3"), "fewer than the 5 reams of one set"),
        (("add-wrapper", "{}", "--uncertain", "demand=3"), "doubted in the scenario now"),
        (("compare", "{}"), "two or more different scenarios"),
        (("rank-stops", "no-such-line"), "there is no such file"),
        (("rank-stops", "{}", "--json", "no/such/folder/x"), "there is no folder"),
        (("rank-stops", "{}", "--cluster", "tcp://127.0.0.1:9"), "no scheduler answers"),
        (("rank-stops", "{}", "--replications", "30", "--most", "5"), "fewer than 30"),
        (("rank-stops", "{}", "--within", "nan"), "'nan' is not a number"),
        (("add-wrapper", "{}", "--years", "nan"), "'nan' is not a number"),
        (("rank-stops", "{}", "--csv", "{}"), "is a file; name a folder"),
        (("rank-stops", "{}", "--pictures", "{}/new"), "is a file; name a folder"),
    ],
)
def test_what_cannot_be_done_is_said(
    line: str, words: tuple[str, ...], said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("linesim.studies.cluster._PATIENCE_AT_THE_START_S", 0.5)
    result = called(*(word.format(line) for word in words), "--hours", "1")
    assert result.exit_code == 2, result.output
    assert said in " ".join(result.stderr.split())


def long_study(line: str, kept: Path) -> subprocess.Popen[str]:
    command = [
        sys.executable,
        "-m",
        "linesim",
        "vary",
        line,
        "crew.size=1:4:4",
        "--hours",
        "5",
        "--replications",
        "20",
        "--processes",
        "2",
        "--keep",
        str(kept),
    ]
    return subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        # Slow enough to be caught in the middle.
        env=os.environ | {"PYTHONPATH": os.getcwd(), "LINESIM_ENGINE": "interpreted"},
        start_new_session=True,
    )


def kept_runs(path: Path) -> int:
    """Runs in the file; a write that the kill cut short is rolled back first, as on any opening."""
    with sqlite3.connect(f"file:{path}?mode=rw", uri=True, timeout=10) as db:
        return int(db.execute("SELECT count(*) FROM run").fetchone()[0])


def wait_for_runs(process: subprocess.Popen[str], path: Path) -> None:
    """Until the file has grown by some runs.

    Its size tells: it is held by the study, and begins with 25 kB of scenario.
    """
    end = time.monotonic() + 80
    while time.monotonic() < end and process.poll() is None:
        if path.exists() and path.stat().st_size > 100_000:
            return
        time.sleep(0.05)
    process.kill()
    raise AssertionError(f"no run was kept: {process.communicate()}")


@pytest.mark.skipif(sys.platform == "win32", reason="needs signals of its own")
def test_a_study_killed_in_the_middle_goes_on_from_there(line: str, tmp_path: Path) -> None:
    kept = tmp_path / "kept"
    process = long_study(line, kept)
    wait_for_runs(process, kept)
    process.kill()
    process.communicate()
    survived = kept_runs(kept)
    assert survived >= 5
    small = ("--hours", "5", "--replications", "2", "--processes", "1", "--keep", str(kept))
    result = called("vary", line, "crew.size=1:4:4", *small)
    assert result.exit_code == 0, result.output
    assert f"{survived} finished runs found" in result.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="needs signals of its own")
def test_ctrl_c_ends_cleanly_with_what_is_done(line: str, tmp_path: Path) -> None:
    kept = tmp_path / "kept"
    process = long_study(line, kept)
    wait_for_runs(process, kept)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    assert process.returncode == 130
    assert "the same command goes on from there" in err
    assert "Traceback" not in err
    if "nothing can be said yet" not in err:
        assert "Stopped early" in out
