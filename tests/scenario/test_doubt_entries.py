"""A doubt is found, set and taken out in a file, and all else in the file stays."""

from typing import Any

import pytest

from linesim.scenario import (
    check_text,
    doubt_at,
    doubt_changes,
    doubts_about,
    doubts_moved,
    parse,
    update,
)

TEXT = """\
[[stop]]
cause = "wrapper jam"
every_reams = { law = "exponential", mean = 400 }
restore_min = { law = "lognormal", mean = 0.9, sd = 0.7 }
doubt = [
  # from the log
  { of = "every_reams", between = [300, 520], stops = 31 },  # first
  { of = "restore_min.mean", between = [0.7, 1.3] },  # second
  { of = "restore_min.sd", between = [0.4, 1.6], correlation = 0.8 },  # third
]

[bridge]
places = 21
"""
JAM = "stop[0].restore_min"


def data_of(text: str) -> dict[str, Any]:
    return parse(text, "line")[0]


def with_doubt(text: str, figure: str, doubt: dict[str, Any] | None) -> str:
    return update(text, doubt_changes(data_of(text), {figure: doubt}))


def doubts(text: str, field: str = "restore_min") -> dict[str, Any]:
    return doubts_about(data_of(text), f"stop[0].{field}")


def test_the_doubts_of_a_law_are_those_of_its_mean_and_of_its_other_figures():
    assert [doubts(TEXT)[part]["between"] for part in ("", "sd")] == [[0.7, 1.3], [0.4, 1.6]]
    for nonsense in ("nonsense", [3, {}], [{"of": 3}]):
        assert doubts_about({"bridge": {"doubt": nonsense}}, "bridge.places") == {}


@pytest.mark.parametrize("figure", [JAM, f"{JAM}.mean"])
def test_a_doubt_is_replaced_where_it_stands(figure: str):
    text = with_doubt(TEXT, figure, {"between": [0.8, 1.1], "why": "timed"})
    assert doubts(text)[""] == {"of": "restore_min", "between": [0.8, 1.1], "why": "timed"}
    changed = [row for row in text.splitlines() if row not in TEXT.splitlines()]
    assert len(changed) == 1
    assert changed[0].endswith("# second")


def test_a_doubt_is_added_to_a_table_that_has_some_and_to_one_that_has_none():
    text = with_doubt(TEXT, "stop[0].people", {"between": [1, 2]})
    text = with_doubt(text, "bridge.places", {"between": [20, 24]})
    line = check_text(text)
    assert [doubt.of for doubt in line.stop[0].doubt][-1] == "people"
    assert line.bridge.doubt[0].between == (20, 24)
    assert all(row in text.splitlines() for row in TEXT.splitlines())


def test_taking_doubts_out_gives_back_the_file_without_them():
    text = TEXT
    for figure in (f"{JAM}.sd", "stop[0].every_reams"):
        text = with_doubt(text, figure, None)
    assert list(doubts(text)) == [""]
    assert "# second" in text
    assert "# third" not in text
    text = with_doubt(text, JAM, None)
    assert "doubt" not in text
    assert with_doubt(text, JAM, None) == text


def test_several_doubts_are_set_and_taken_out_at_once():
    changes: dict[str, Any] = {
        "stop[0].every_reams": None,
        f"{JAM}.sd": None,
        "stop[0].people": {"between": [1, 2]},
        JAM: {"between": [0.8, 1.1]},
        "bridge.places": {"between": [20, 24]},
    }
    line = check_text(update(TEXT, doubt_changes(data_of(TEXT), changes)))
    known = {doubt.of: doubt.between for doubt in line.stop[0].doubt}
    assert known == {"restore_min": (0.8, 1.1), "people": (1, 2)}
    assert line.bridge.doubt[0].between == (20, 24)


def test_what_is_doubted_twice_is_mended_by_stating_it_or_taking_it_out():
    twice = TEXT.replace('  { of = "restore_min.sd"', '  { of = "restore_min"', 1)
    for doubt in ({"between": [0.6, 1.2]}, None):
        text = with_doubt(twice, JAM, doubt)
        assert check_text(text).stop[0].doubt[0].of == "every_reams"
        assert list(doubts(text)) == ([""] if doubt else [])


def test_doubts_go_with_their_figures_to_another_field():
    text = update(TEXT, doubts_moved(data_of(TEXT), JAM, "stop[0].every_clock_h"))
    assert doubts(text) == {}
    assert list(doubts(text, "every_clock_h")) == ["", "sd"]
    assert "# second" in text


def test_a_name_inside_a_doubt_leads_to_the_figure_it_is_about():
    data = data_of(TEXT)
    figure, said = doubt_at(data, "stop[0].doubt[2].between[1]")
    assert (figure, said and said.label) == (f"{JAM}.sd", "known between")
    assert doubt_at(data, "stop[0].doubt[1]") == (JAM, None)
    for name in ("stop[0].people", "stop[0].doubt", "bridge", "!", "stop[0].doubt[9].of"):
        assert doubt_at(data, name)[0] == name
