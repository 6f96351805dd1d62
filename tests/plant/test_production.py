"""Production counts: read whole, or refused with every fault."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from linesim.plant.production import ProductionCount, read_counts
from linesim.scenario import ScenarioFaults


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_semicolons_decimal_commas_and_thousands(tmp_path: Path, encoding: str):
    file = tmp_path / "production.csv"
    text = (
        "shift start;shift end;good reams;web km;note\n"
        "02.03.2026 14:00;02.03.2026 22:00;14450;;Müller\n"
        "02.03.2026 06:00;02.03.2026 14:00;15.450;101,5;\n"
    )
    file.write_bytes(text.encode(encoding))
    six, two, ten = (dt.datetime(2026, 3, 2, hour) for hour in (6, 14, 22))
    assert read_counts(file).shifts == (
        ProductionCount(six, two, 15450, 101.5, 3),
        ProductionCount(two, ten, 14450, None, 2),
    )


@pytest.mark.parametrize(
    "head",
    [
        "Datum;Schichtbeginn;Schicht-Ende;Gutries",
        "Datum;von;bis;Gute Ries (Stück)",
        "Date;Shift from;To;Good reams",
        "date;shift start;shift end;good reams",
    ],
)
def test_a_day_may_stand_beside_times_and_a_night_ends_on_the_next(tmp_path: Path, head: str):
    file = tmp_path / "counts.csv"
    rows = "13.03.2026;14:00;22:00;14.450\n13.03.2026;22:00;06:00;15.450\n"
    file.write_text(f"{head}\n{rows}", encoding="utf-8")
    two, ten = (dt.datetime(2026, 3, 13, hour) for hour in (14, 22))
    assert read_counts(file).shifts == (
        ProductionCount(two, ten, 14450, None, 2),
        ProductionCount(ten, dt.datetime(2026, 3, 14, 6), 15450, None, 3),
    )


def test_every_fault_is_named_with_its_line(tmp_path: Path):
    file = tmp_path / "production.csv"
    file.write_text(
        "shift start,shift end,good reams\n"
        "2026-03-02 06:00,2026-03-02 14:00,many\n"
        "2026-03-02 14:00,2026-03-02 13:00,100\n",
        encoding="utf-8",
    )
    with pytest.raises(ScenarioFaults) as caught:
        read_counts(file)
    assert [(f.line, f.field) for f in caught.value.faults] == [(2, "good reams"), (3, "shift end")]


def test_a_sum_below_the_counts_is_shown_as_it_stands(tmp_path: Path):
    file = tmp_path / "counts.csv"
    file.write_text("date;from;to;reams\n13.03.2026;14:00;22:00;14450\nSum;;;14450\n", "utf-8")
    with pytest.raises(ScenarioFaults, match="3: shift start = Sum: is no date"):
        read_counts(file)


def test_a_missing_column_is_named(tmp_path: Path):
    file = tmp_path / "production.csv"
    file.write_text("shift start,good reams\n2026-03-02 06:00,3\n", encoding="utf-8")
    with pytest.raises(ScenarioFaults, match="no column 'shift end'"):
        read_counts(file)


def test_a_count_with_more_digits_than_any_number_is_no_count(tmp_path: Path) -> None:
    file = tmp_path / "counts.csv"
    many = "1" + " 000" * 300
    file.write_text(f"shift start;shift end;good reams\n2026-03-02 06:00;2026-03-02 14:00;{many}\n")
    with pytest.raises(ScenarioFaults, match="is no count"):
        read_counts(file)
