"""Files that are no scenario at all, hostile files, and finding the right one."""

import os
import pickle
import time
from pathlib import Path

import pytest

from linesim.scenario import (
    Scenario,
    ScenarioFaults,
    check_mapping,
    check_text,
    find_scenario,
    load,
    shipped_scenarios,
)


def faults_of(path: Path) -> list[str]:
    with pytest.raises(ScenarioFaults) as raised:
        load(path)
    return [fault.problem for fault in raised.value.faults]


def test_no_such_file(tmp_path: Path) -> None:
    assert faults_of(tmp_path / "none.toml") == ["there is no such file"]


def test_a_folder(tmp_path: Path) -> None:
    assert faults_of(tmp_path) == ["is not a file"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_that_never_delivers(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert faults_of(tmp_path / "pipe") == ["is not a file"]


def test_a_path_no_system_takes() -> None:
    assert "cannot be read" in faults_of(Path("a\x00b"))[0]


@pytest.mark.parametrize("shape", ["600", "-1", '"steep"'])
def test_an_interval_that_is_wrong_is_not_also_told_to_be_missing(shape: str) -> None:
    interval = f'{{ law = "weibull", mean = 700, shape = {shape} }}'
    with pytest.raises(ScenarioFaults) as raised:
        check_text(
            '[[stop]]\ncause = "glue"\nstation = "wrapper"\nrestore_min = 4\n'
            f"every_reams = {interval}\n"
        )
    assert [fault.field for fault in raised.value.faults] == ["stop[0].every_reams.shape"]


def test_a_station_that_is_missing_is_told_with_one_that_would_do() -> None:
    with pytest.raises(ScenarioFaults) as raised:
        check_text('[[stop]]\ncause = "glue"\nrestore_min = 4\nevery_reams = 9\n')
    (fault,) = raised.value.faults
    assert fault.field == "stop[0].station"
    assert fault.would_be_right.startswith('text in quotes such as "wrapper"; or name the known')


def test_not_utf8_names_the_line(tmp_path: Path) -> None:
    file = tmp_path / "latin.toml"
    file.write_bytes(b'[line]\nname = "stra\xdfe"\n')
    with pytest.raises(ScenarioFaults) as raised:
        load(file)
    assert (raised.value.faults[0].line, raised.value.faults[0].problem) == (
        2,
        "is not text in UTF-8",
    )


def test_a_picture(tmp_path: Path) -> None:
    file = tmp_path / "picture.toml"
    file.write_bytes(b"\x89PNG\r\n\x1a\n\x00\x00\x00\x0dIHDR")
    assert faults_of(file) == ["is not text in UTF-8"]


def test_too_big(tmp_path: Path) -> None:
    file = tmp_path / "big.toml"
    file.write_bytes(b"#" * 5_000_001)
    assert faults_of(file) == ["is too big"]


def test_an_empty_file_is_the_default_line(tmp_path: Path) -> None:
    file = tmp_path / "empty.toml"
    file.write_text("")
    assert load(file) == Scenario()


def test_line_ends_and_byte_order_mark_of_other_systems() -> None:
    scenario = check_text("\ufeff[bridge]\r\nplaces = 33\r\n")
    assert scenario.bridge.places == 33


HOSTILE = {
    "lists in lists": "a = " + "[" * 1_000_000,
    "tables in tables": "a = " + "{a=" * 1_000_000,
    "a name of a million parts": ".".join(["a"] * 1_000_000) + " = 1",
    "a heading of a million parts": "[" + ".".join(["a"] * 1_000_000) + "]",
    "a million stops": "[[stop]]\n" * 500_000,
    "a million fields": "\n".join(f"a{i}=1" for i in range(400_000)),
    "a million list entries": "a = [" + "[]," * 1_000_000 + "]",
    "a million digits": "a = " + "1" * 1_000_000,
    "quotes only": '"' * 4_000_000,
    "a string without end": 'a = """' + '"" ' * 1_000_000,
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_text_is_refused_soon(name: str) -> None:
    start = time.perf_counter()
    with pytest.raises(ScenarioFaults):
        check_text(HOSTILE[name])
    assert time.perf_counter() - start < 20


def test_more_entries_than_a_list_may_have() -> None:
    with pytest.raises(ScenarioFaults) as raised:
        check_text('[[stop]]\ncause = "static"\n' * 600)
    assert "has 600 entries" in [fault.problem for fault in raised.value.faults]


@pytest.mark.parametrize(("speed", "minutes"), [(30, 0.4), (7, 12 / 7), (0, 0)])
def test_a_ream_travels_the_length_at_the_speed_of_the_belt(speed: float, minutes: float) -> None:
    bridge = {"length_m": 12, "belt_speed_m_per_min": speed}
    assert check_mapping({"bridge": bridge}).bridge_travel_min == pytest.approx(minutes)


def test_mappings_are_checked_alike() -> None:
    assert check_mapping({"bridge": {"places": 40}}).bridge_places == 40
    with pytest.raises(ScenarioFaults) as raised:
        check_mapping({"bridge": {"places": 40, "stop_at_reams": 41}, "crw": {}}, file="variant")
    assert {(f.file, f.line, f.field) for f in raised.value.faults} == {
        ("variant", None, "bridge.stop_at_reams"),
        ("variant", None, "crw"),
    }


def test_checking_leaves_the_mapping_alone() -> None:
    data = {"stop": [{"cause": "nothing known"}], "bridge": {"places": -1}}
    with pytest.raises(ScenarioFaults):
        check_mapping(data)
    assert data == {"stop": [{"cause": "nothing known"}], "bridge": {"places": -1}}


def test_a_demo_is_found_by_name_and_a_file_by_path(tmp_path: Path) -> None:
    assert find_scenario("short-bridge").name == "short-bridge.toml"
    assert find_scenario("short-bridge") == shipped_scenarios()["short-bridge"]
    own = tmp_path / "mine.toml"
    own.write_text("")
    assert find_scenario(own) == own


def test_a_name_nearly_right_gets_the_nearest() -> None:
    with pytest.raises(ScenarioFaults, match="right would be: short-bridge; or"):
        find_scenario("shortbridge")


def test_faults_travel_between_processes() -> None:
    with pytest.raises(ScenarioFaults) as raised:
        check_text("[bridge]\nplaces = 0\n")
    again = pickle.loads(pickle.dumps(raised.value))
    assert again.faults == raised.value.faults


@pytest.mark.parametrize(
    ("due", "problem"),
    [
        ('"05.03.2026 14:00"', "is no date and time"),
        ('"2026-03-05"', "is no date and time"),
        ('"2026-02-30 14:00"', "there is no such day or hour"),
        ("2026-03-05T14:00:00", "is a date or time"),
        ("46086.5", "is a number with decimals"),
    ],
)
def test_a_bad_date_is_told_with_its_field_and_how_one_is_written(due: str, problem: str) -> None:
    head = 'format = 1\n[calendar]\nstarts = "2026-03-02 06:00"\n'
    with pytest.raises(ScenarioFaults) as told:
        check_text(f'{head}[[order]]\nname = "a"\nreams = 5\ndue = {due}\n')
    (fault,) = told.value.faults
    assert "7: order[0].due = " in str(fault)
    assert problem in str(fault)
    assert '"2026-03-05 14:00"' in str(fault)
