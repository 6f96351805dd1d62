"""Old files stay what they are: kept ones of every format, and steps as a later format may need."""

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from linesim.scenario import check_text, formats, load, loading, update
from linesim.scenario.faults import ScenarioFaults, value_at
from linesim.scenario.field_descriptions import FieldDescription, descriptions
from linesim.scenario.fields import Table
from linesim.scenario.formats import SCENARIO, STATE, Formats, renamed
from linesim.scenario.scenario import Scenario
from linesim.scenario.state_file import check_state_text
from linesim.scenario.state_tables import LineState

KEPT = Path(__file__).parent / "kept"


def _fields(of: Mapping[str, FieldDescription], at: str = "") -> Iterator[str]:
    for field in of.values():
        if field.parts:
            parts = {part.name: part for part in field.parts}
            yield from _fields(parts, f"{at}{field.name}.")
        else:
            yield f"{at}{field.name}" + (f" [{field.unit}]" if field.unit else "")


def _given(value: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Any]]:
    if isinstance(value, dict):
        for name, each in value.items():
            yield from _given(each, (*at, name))
    elif isinstance(value, list):
        for i, each in enumerate(value):
            yield from _given(each, (*at, i))
    else:
        yield at, value


@pytest.mark.parametrize("file", sorted(KEPT.glob("*.toml")), ids=lambda file: file.stem)
def test_a_file_of_the_first_days_opens_and_says_what_it_said(file: Path) -> None:
    meant = load(file).model_dump(mode="json", by_alias=True)
    for path, value in _given(loading.parse(file.read_text("utf-8"), file.name)[0]):
        assert value_at(meant, path) in (value, {"law": "constant", "mean": value}), path


@pytest.mark.parametrize(
    ("kept", "table"),
    [("fields_of_format_1.txt", Scenario), ("fields_of_state_format_1.txt", LineState)],
)
def test_no_field_of_a_format_goes_without_a_step(kept: str, table: type[Table]) -> None:
    """Who renames a field, or measures it in another unit, gives its file a new format."""
    there = set(_fields(descriptions(table)))
    assert not set((KEPT / kept).read_text("utf-8").split("\n")) - there - {""}


@pytest.mark.parametrize(("known", "table"), [(SCENARIO, Scenario), (STATE, LineState)])
def test_the_schema_has_the_newest_format(known: Formats, table: type[Table]) -> None:
    assert table.model_fields["format"].default == known.newest


# -- a later format, played ------------------------------------------------------------------------

OLD = """\
# the line at the wall
format = 1
[bridge]   # places counted by hand
spots = 50 # was 30
doubt = { spots = { of = "counting", between = [48, 52] } }

[[stop]]
reason = "spots on the web"
station = "cutter"
every_running_h = 5
restore_min = 3
[[stop]]
reason = "wrapper jam"
every_reams = -1
"""


def _second(text: str) -> str:
    return renamed(renamed(text, ("stop", "reason"), "cause"), ("bridge", "spots"), "places")


def _third(text: str) -> str:
    """What was a speed of belts in m/s is one in m/min."""
    return re.sub(
        r"belt_m_per_s = ([\d.]+)", lambda m: f"belt_m_per_min = {60 * float(m[1]):g}", text
    )


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> Formats:
    known = Formats("scenario", (_second, _third))
    monkeypatch.setattr(formats, "SCENARIO", known)
    monkeypatch.setattr(loading.parse, "__defaults__", (known,))
    monkeypatch.setattr("linesim.scenario.writing.SCENARIO", known)
    return known


def test_a_file_of_an_older_format_is_read_as_the_newest_with_the_lines_it_has(
    later: Formats,
) -> None:
    data, lines = loading.parse(OLD, "old.toml")
    assert data["format"] == later.newest == 3
    assert data["bridge"]["places"] == 50
    assert [stop["cause"] for stop in data["stop"]] == ["spots on the web", "wrapper jam"]
    assert lines["bridge", "places"] == 4
    assert lines["stop", 1, "every_reams"] == 14


def test_a_field_is_set_in_an_older_file_and_its_comments_stay(later: Formats) -> None:
    found = update(OLD, {"bridge.places": 60})
    assert found.startswith("# the line at the wall\nformat = 3\n[bridge]   # places counted")
    assert "places = 60 # was 30\n" in found
    assert loading.parse(found, "new.toml")[0]["stop"][1]["cause"] == "wrapper jam"
    assert update(found, {"bridge.places": 60}) == found


def test_an_old_file_that_states_no_format_is_of_the_first_and_gets_one_when_written(
    later: Formats,
) -> None:
    bare = OLD.replace("format = 1\n", "")
    assert loading.parse(bare, "old.toml")[0]["bridge"]["places"] == 50
    assert update(bare, {"bridge.places": 60}).startswith("format = 3\n# the line at the wall\n")


def test_a_name_that_cannot_be_renamed_alone_is_not_half_renamed() -> None:
    with pytest.raises(ValueError, match=r"bridge\.spots cannot be renamed"):
        renamed('bridge = { note = "spots = 3", spots = 4 }\n', ("bridge", "spots"), "places")


@pytest.mark.parametrize("text", ["format = 2\n[cutter]\nnew_field = 3\n", "\n\nformat = 99\n"])
def test_a_newer_file_is_refused_in_words_and_for_nothing_else(text: str) -> None:
    """What else the newer program knows is no fault of the file."""
    with pytest.raises(ScenarioFaults) as refused:
        check_text(text, file="new.toml")
    (fault,) = refused.value.faults
    assert fault.line == text[: text.index("format")].count("\n") + 1
    assert "a newer version of linesim wrote this scenario" in str(fault)
    assert "a newer linesim; this one reads formats up to 1" in str(fault)


def test_a_newer_state_is_refused_in_words() -> None:
    with pytest.raises(ScenarioFaults, match="a newer version of linesim wrote this state file"):
        check_state_text('format = 2\nmoment = "2026-03-02 14:20"\n', Scenario())
