"""A column of machines: found by its heading, its names matched to stations, or told."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from linesim.commands import main
from linesim.plant.log_fits import FitSettings, match_log
from linesim.plant.log_settings import LogSettings, PlantTerms
from linesim.plant.machine_names import station_of
from linesim.scenario import load, shipped_scenarios
from tests.plant.logs import read_stop_log

SCENARIO = load(shipped_scenarios()["short-bridge"])
TWO = load(shipped_scenarios()["two-wrappers"])


@pytest.mark.parametrize(
    ("written", "station"),
    [
        ("Overlap belt", "overlap_belt"),
        ("WEB PATH", "web_path"),
        ("Sheeter", "cutter"),
        ("Cross-cutter", "cutter"),
        ("Querschneider", "cutter"),
        ("Längsschneider", "slitter"),
        ("Brücke", "bridge"),
        ("buffer conveyor", "bridge"),
        ("Verpackungsmaschine", "wrapper"),
        ("Wraper", "wrapper"),
        ("Wrapper 1", "wrapper"),
        ("Abwicklung", "unwind"),
        ("reel stand", "unwind"),
        ("Wrapper 2", None),
        ("Compressor", None),
        ("", None),
    ],
)
def test_a_machine_is_the_station_of_its_name(written: str, station: str | None) -> None:
    assert station_of(written, SCENARIO) == station


def test_wrappers_go_by_their_own_names_and_what_is_told_goes_before() -> None:
    names = [wrapper.name for wrapper in TWO.wrapper]
    assert [station_of(name.upper(), TWO) for name in names] == names
    assert station_of("Packer L3", SCENARIO, {"packer l3": "wrapper"}) == "wrapper"
    assert station_of("Sheeter", SCENARIO, {"Sheeter": "slitter"}) == "slitter"


@pytest.mark.parametrize(
    "headings",
    [
        "Start;Min;Machine;Cause",
        "Beginn;Dauer;Maschine;Ursache",
        "Start;Min;Asset;Machine stop reason",
        "Beginn;Dauer;Ort der Störung;Grund der Störung",
        "Début;Durée;Poste;Motif",
    ],
)
def test_the_column_is_known_by_its_heading(headings: str, tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text(f"{headings}\n2026-03-13 08:00;4;Sheeter;static\n", encoding="utf-8")
    log = read_stop_log(file)
    assert (log.stops[0].station, log.stops[0].cause) == ("Sheeter", "static")


def test_a_machine_and_a_cause_that_were_told_are_known_the_next_time(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    rows = "".join(f"2026-03-{d} 08:00;4;Line 3 packer;Papierstau\n" for d in range(13, 19))
    file.write_text("Start;Min;Machine;Cause\n" + rows, encoding="utf-8")
    asked = ["fit-stops", str(file), "--for", "short-bridge", "--resamples", "20"]
    unknown = " ".join(CliRunner().invoke(main, asked).output.split())
    assert "Papierstau (6, station not known" in unknown
    told = ["--station", "line 3 Packer=wrapper", "--cause", "Papierstau=wrapper jam"]
    found = " ".join(CliRunner().invoke(main, [*asked, *told]).output.split())
    assert "Papierstau" not in found.split("Never in the log")[0]
    again = " ".join(CliRunner().invoke(main, asked).output.split())
    assert "Causes as you told them last time: 'Papierstau' = wrapper jam." in again
    assert "Machines as you told them last time: 'line 3 Packer' = wrapper." in again
    gone = " ".join(CliRunner().invoke(main, [*asked, "--forget-causes"]).output.split())
    assert "last time" not in gone
    assert "Papierstau (6, station not known" in gone


def test_a_station_that_is_none_and_a_cause_that_is_not_there_are_said(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text("Start;Min;Machine;Cause\n2026-03-13 08:00;4;P;jam\n", encoding="utf-8")
    asked = ["fit-stops", str(file), "--for", "short-bridge"]
    found = CliRunner().invoke(main, [*asked, "--station", "P=compressor"])
    assert found.exit_code == 2
    assert "there is no station 'compressor'" in found.output
    found = CliRunner().invoke(main, [*asked, "--cause", "jamm=wrapper jam"])
    assert "the log has no stop of 'jamm'" in found.output


def test_a_log_read_with_what_is_told(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text("Start;Min;Machine;Cause\n2026-03-13 08:00;4;P;jam\n", encoding="utf-8")
    told = PlantTerms(stations={"P": "outfeed"}, causes={"jam": "outfeed jam"})
    log = read_stop_log(file, LogSettings(terms=told))
    (found,) = match_log(log, SCENARIO, FitSettings()).causes
    assert (found.cause, found.station) == ("outfeed jam", "outfeed")


def test_validate_takes_what_is_told_and_refuses_what_is_not(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text("Start;Min;Machine;Cause\n2026-03-13 08:00;4;P;Stau\n", encoding="utf-8")
    counts = tmp_path / "counts.csv"
    counts.write_text("start,end,reams\n2026-03-13 06:00,2026-03-13 14:00,15000\n")
    asked = ["validate", "short-bridge", "--against", str(counts), "--log", str(file)]
    for given, said in (
        (["--station", "P=compressor"], "there is no station 'compressor'"),
        (["--cause", "Stau"], "is not two names with = between"),
    ):
        found = CliRunner().invoke(main, [*asked, *given])
        assert found.exit_code == 2
        assert said in found.output
    short = ["--hours", "16", "--replications", "2", "--processes", "1"]
    told = ["--cause", "Stau=wrapper jam", "--station", "P=wrapper"]
    found = CliRunner().invoke(main, [*asked, *told, *short])
    assert found.exit_code == 0, found.output
    assert "Stau" not in found.output
    # Told once, it is known the next time, here and in a fit.
    again = " ".join(CliRunner().invoke(main, ["fit-stops", str(file)]).output.split())
    assert "Causes as you told them last time: 'Stau' = wrapper jam." in again
