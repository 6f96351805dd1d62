"""Promise and belief as a person meets them: ``plan-orders`` and ``validate``."""

from __future__ import annotations

import csv
import datetime as dt
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from linesim.commands import main
from linesim.fast import simulate
from linesim.scenario import Scenario, dump
from tests.plant.test_validate import line as plant_line
from tests.studies.order_lines import calm_orders, lively_orders

FEW = ("--replications", "3", "--processes", "1")


pytestmark = pytest.mark.usefixtures("cache")


def file_of(scenario: Scenario, folder: Path) -> str:
    path = folder / "line.toml"
    path.write_text(dump(scenario), "utf-8")
    return str(path)


def called(*words: str) -> Result:
    return CliRunner().invoke(main, words)


def flat(text: str) -> str:
    return " ".join(text.split())


def test_orders_are_told_one_by_one_then_sequences_then_paper(tmp_path: Path) -> None:
    scenario = calm_orders(calendar={"starts": "2026-03-02 06:00"})
    result = called("plan-orders", file_of(scenario, tmp_path), "--sequence", "3,2,1", *FEW)
    assert result.exit_code == 0, result.output
    said = flat(result.stdout)
    assert "first: done by Mon 2 Mar 06:12 in 9 of 10 cases" in said
    assert "It is due Mon 2 Mar 06:30: late in every run" in said
    assert "thin: done by Mon 2 Mar 06:31" in said
    assert "Sequence as told: 3,2,1 (3, 2, 1), against" in said
    assert "by least change-over is the same as the one by due date" in said
    assert "860 mm 70 g/m² 90 µm" in said
    assert "36 runs tell both ends" in said
    assert "Caution:" in said
    assert "runs of 24 h" in said


def test_asked_for_hours_are_kept_to_and_what_is_not_done_is_said(tmp_path: Path) -> None:
    result = called("plan-orders", file_of(calm_orders(), tmp_path), *FEW, "--hours", "1")
    assert result.exit_code == 0, result.output
    assert "runs of 1 h" in result.stdout
    orders = calm_orders(order=[{"name": "much", "reams": 9000, "due_h": 9}])
    result = called("plan-orders", file_of(orders, tmp_path), *FEW, "--hours", "1")
    assert result.exit_code == 0, result.output
    said = flat(result.stdout)
    assert "not done often enough within the runs to promise anything" in said
    assert "much not in 3 of 3 runs" in said
    assert "when the runs have ended" in said


def test_the_same_promise_comes_again_and_files_hold_the_ends(tmp_path: Path) -> None:
    line = file_of(lively_orders(), tmp_path)
    words = ("plan-orders", line, *FEW, "--hours", "3", "--json", "-")
    first = called(*words, "--csv", str(tmp_path / "out"))
    assert first.exit_code == 0, first.output
    assert first.stdout == called(*words).stdout
    rows = json.loads(first.stdout)["tables"]["orders"]["rows"]
    assert set(rows[0]["9 of 10 by"]) == {"value", "low", "high"}
    with (tmp_path / "out" / "orders.csv").open(encoding="utf-8", newline="") as file:
        header = next(csv.reader(file))
    assert "late [%] low" in header


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("plan-orders", "short-bridge"), "no [[order]]: there is nothing to promise"),
        (("plan-orders", "orders", "--sequence", "1,2"), "--sequence: '1,2' is no sequence"),
        (("plan-orders", "orders", "--long-run", "--hours", "2"), "orders begin with the run"),
    ],
)
def test_what_cannot_be_promised_is_said(words: tuple[str, ...], said: str) -> None:
    result = called(*words, *FEW)
    assert result.exit_code == 2, result.output
    assert said in flat(result.stderr)


def counted(scenario: Scenario, hours: int, folder: Path) -> str:
    """A file of hourly counts, as a plant might keep it."""
    record = simulate(scenario, seed=5, hours=hours, buckets=hours, history=False)
    zero = dt.datetime(2026, 3, 2, 6)
    path = folder / "counts.csv"
    rows = [
        f"{zero + dt.timedelta(hours=n)};{zero + dt.timedelta(hours=n + 1)};{reams}"
        for n, reams in enumerate(record.good_per_bucket)
    ]
    path.write_text("\n".join(["shift start;shift end;good reams", *rows]) + "\n", "utf-8")
    return str(path)


def test_counts_and_line_stand_side_by_side(tmp_path: Path) -> None:
    line = file_of(plant_line(), tmp_path)
    counts = counted(plant_line(), 30, tmp_path)
    words = ("validate", line, "--against", counts, *FEW, "--hours", "3")
    result = called(*words, "--from", "2026-03-03")
    assert result.exit_code == 0, result.output
    said = flat(result.stdout)
    assert "In all:" in said
    assert "for a stretch of 12 counts" in said
    assert "18 counts outside the dates asked for were left out" in said
    assert "Counts alone do not show at which station" in said
    assert "2026-03-03 00:00 to 01:00" in said
    assert "keep some back" not in said
    one_day = called(*words, "--to", "2026-03-02", "--json", "-")
    rows = json.loads(one_day.stdout)["tables"]
    assert len(rows["days"]["rows"]) == 1
    assert len(rows["counts"]["rows"]) == 18


def test_a_wrong_model_is_called_wrong(tmp_path: Path) -> None:
    line = file_of(plant_line(), tmp_path)
    slow = plant_line().varied(wrapper=[{"name": "wrapper", "rate_reams_per_min": 5}])
    counts = counted(slow, 12, tmp_path)
    words = ("validate", line, "--against", counts, "--replications", "6", "--hours", "3")
    result = called(*words)
    assert result.exit_code == 0, result.output
    said = flat(result.stdout)
    assert "the model does NOT match the plant." in said
    assert "% less (p below 0.001)" in said
    # The level is told once, where all that is tested is.
    assert said.count("5 %") == 1 + said.count("95 %")
    assert "The stops of the plant's log, given too, would show it" in said
    # A stop every quarter of an hour for 10 h, of 11 to 13 min; the last row cannot be read.
    stops = [
        f"2026-03-02 {6 + n // 4:02d}:{15 * (n % 4):02d};{11 + n % 3};wrapper;Wrapper fails"
        for n in range(40)
    ]
    log = tmp_path / "log.csv"
    log.write_text("\n".join(["start;minutes;station;cause", *stops, "soon;5;;"]) + "\n", "utf-8")
    said = flat(called(*words, "--log", str(log)).stdout)
    assert "the stops first differ at the wrapper" in said
    assert "took 12.0 min each, predicted" in said
    assert "sheeter fails at cutter (" in said
    assert "1 of 41 rows of the log cannot be used, and stops outside the shifts" in said


def test_faults_of_the_counts_are_named(tmp_path: Path) -> None:
    line = file_of(plant_line(), tmp_path)
    bad = tmp_path / "bad.csv"
    bad.write_text("shift start,shift end,good reams\n2026-03-02 06:00,soon,many\n", "utf-8")
    result = called("validate", line, "--against", str(bad), *FEW)
    assert result.exit_code == 2, result.output
    assert "bad.csv" in result.stderr
    assert "good reams" in result.stderr
    good = counted(plant_line(), 3, tmp_path)
    result = called("validate", line, "--against", good, "--from", "next week", *FEW)
    assert result.exit_code == 2
    assert "--from: 'next week' is no date" in flat(result.stderr)
