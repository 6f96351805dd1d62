"""The line of a scenario as a drawing."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.report.page.drawing import Circle, Text
from linesim.report.page.line_drawing import line_drawing
from linesim.scenario import find_scenario, load
from tests.line.calm_line import calm

SPLICE = {"change": "standstill_splice"}


@pytest.mark.parametrize(
    ("unwind", "stands"),
    [({}, 5), (SPLICE | {"stands_per_web": 2}, 10), (SPLICE | {"spare_stands": 1}, 6)],
)
def test_every_stand_is_drawn_and_counted(unwind: dict[str, Any], stands: int) -> None:
    """A stand is a reel and its core; rollers and whatever else is round are the same on all."""
    drawing = line_drawing(calm(unwind=unwind))
    other = line_drawing(calm(unwind={"webs": 1}, product={"counting": "round_up"}))
    circles = [sum(isinstance(mark, Circle) for mark in d.marks) for d in (drawing, other)]
    assert circles[0] - circles[1] == 2 * (stands - 1)
    assert "truck" not in drawing.description
    assert f"5 webs from {stands} stands" in drawing.description


@pytest.mark.parametrize(
    ("truck", "words"),
    [
        ({}, "reels brought by a reel truck"),
        ({"trucks": 2, "places": 1}, "reels brought by 2 reel trucks, to 1 place beside the line"),
    ],
)
def test_who_brings_the_reels_is_written_below_them(truck: dict[str, Any], words: str) -> None:
    drawing = line_drawing(calm(reel_truck=truck))
    assert words in [mark.text for mark in drawing.marks if isinstance(mark, Text)]
    assert words in drawing.description


def test_carton_packers_stand_side_by_side_and_are_counted() -> None:
    packers = [{"name": name, "rate_cartons_per_min": 5, "conveyor_reams": 3} for name in "AB"]
    drawing = line_drawing(calm(carton_packer=packers, palletiser={}))
    said = [mark.text for mark in drawing.marks if isinstance(mark, Text)]
    assert "2 carton packers" in said
    assert any(text.startswith("50.0 reams/min, room 16") for text in said)
    assert (
        "carton packers: A (25.0 a minute), B (25.0 a minute); a palletiser" in drawing.description
    )
    one = line_drawing(calm(carton_packer=packers[:1], palletiser={}))
    assert "A" in [mark.text for mark in one.marks if isinstance(mark, Text)]
    assert drawing.height == one.height


@pytest.mark.parametrize(("demo", "levels"), [("slow-wrapper", 4), ("orders", 2)])
def test_the_words_of_a_level_cross_no_mark_of_another(demo: str, levels: int) -> None:
    drawing = line_drawing(load(find_scenario(demo)))
    said = [m for m in drawing.marks if isinstance(m, Text) and m.colour == "accent"]
    assert len({mark.y for mark in said}) == len(said) == levels
    for words in said:
        ends = words.anchor == "end"
        wide = 6.5 * len(words.text)
        left, right = (words.x - wide, words.x) if ends else (words.x, words.x + wide)
        # The mark of each stands 5 beside its words and reaches from them down to the belt.
        above = [each for each in said if each.y < words.y]
        marks = [each.x + 5 if each.anchor == "end" else each.x - 5 for each in above]
        assert [x for x in marks if left <= x <= right] == []
