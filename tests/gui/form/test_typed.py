"""From what is typed to what the file holds."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

import linesim
from gui.document import Document
from gui.form.search import find
from gui.form.typed import shown, usual, value_of

_BRIDGE = next(group for group in linesim.scenario.field_groups() if group.name == "bridge")
NUMBER = next(field for field in _BRIDGE.fields if field.name == "length_m")


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("", None),
        ("  ", None),
        ("12", 12),
        (" 1.5 ", 1.5),
        ("−3", -3),
        ("1e3", 1000.0),
        ("1,5", "1,5"),
        ("abc", "abc"),
    ],
)
def test_numbers(typed: str, value: Any) -> None:
    got = value_of(typed, NUMBER)
    assert (got, type(got)) == (value, type(value))


def test_lists_and_texts() -> None:
    assert value_of("[3.5, 4; 12]", replace(NUMBER, kind="numbers")) == [3.5, 4, 12]
    assert value_of("3 x", replace(NUMBER, kind="numbers")) == [3, "x"]
    assert value_of("12", replace(NUMBER, kind="text")) == "12"


def test_a_list_of_places_goes_into_the_file_and_out_of_it() -> None:
    reels = next(group for group in linesim.scenario.field_groups() if group.name == "reels")
    places = next(field for field in reels.fields if field.name == "mill_joints_at_m")
    document = Document()
    document.open("short-bridge")
    document.set_field("reels.mill_joints_per_reel", None)
    document.set_field("reels.mill_joints_at_m", value_of("1200; 4300.5", places))
    assert "mill_joints_at_m = [1200, 4300.5]" in document.text
    assert document.faults == ()
    assert document.scenario is not None
    assert document.scenario.reels.mill_joints_at_m == (1200, 4300.5)
    assert shown(document.value("reels.mill_joints_at_m")) == "1200, 4300.5"
    document.set_field("reels.mill_joints_at_m", value_of("", places))
    assert "mill_joints_at_m" not in document.text


def test_shown() -> None:
    assert usual(NUMBER) == "usual: 3 to 30"
    assert shown({"law": "lognormal", "mean": 4.0, "sd": 1.2}) == "lognormal, mean 4, sd 1.2"


def test_fields_that_are_called_so_come_before_those_that_speak_of_it() -> None:
    document = Document()
    document.open("slow-wrapper")
    names = [found.name for found in find(document, "knives")]
    assert names == ["cutter.max_cuts_per_min", "stop[6]", "stop[9]"]
    names = [found.name for found in find(document, "speed")]
    assert "cutter.web_speed_m_per_min" in names[:-1]
    only_in_help = ["web_path.breaks_per_100_reels", "bridge.slowing"]
    assert names[-2:] == only_in_help, "only their help speaks of speed"
    assert "bridge.belt_speed_m_per_min" in [f.name for f in find(document, "belt m/min")]
    assert find(document, "  ") == []


def test_what_is_called_just_so_is_found_first() -> None:
    document = Document()
    document.open("slow-wrapper")
    for asked, first in (
        ("web speed", "cutter.web_speed_m_per_min"),
        ("belt speed", "bridge.belt_speed_m_per_min"),
        ("sheet length", "product.sheet_length_mm"),
    ):
        assert find(document, asked)[0].name == first
