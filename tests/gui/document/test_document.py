"""The document: text is the truth, every edit can be taken back to the byte."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import linesim
from gui.document import Document

TEXT = """\
# the story
[bridge]
places = 21   # too few

[[stop]]
cause = "static"

[[stop]]
cause = "wrapper jam"  # see the log
people = 2
"""


def made(text: str = TEXT) -> tuple[Document, list[float]]:
    now = [0.0]
    document = Document(clock=lambda: now[0])
    document.new(text, "line")
    return document, now


def test_a_new_document_is_a_whole_line() -> None:
    document = Document()
    assert document.scenario == linesim.scenario.check_mapping({})
    assert (document.faults, document.dirty, document.path) == ((), False, None)


def test_a_field_is_set_in_the_text_and_comments_stay() -> None:
    document, _ = made()
    assert document.set_field("bridge.places", 60)
    assert document.text == TEXT.replace("21", "60")
    assert document.scenario is not None
    assert document.scenario.bridge.places == 60
    assert document.dirty


def test_what_cannot_be_read_stands_in_the_text_and_is_a_fault() -> None:
    document, _ = made()
    good = document.scenario
    document.set_field("bridge.places", "many")
    assert 'places = "many"   # too few' in document.text
    assert [(f.field, f.line) for f in document.faults] == [("bridge.places", 3)]
    assert document.scenario is good
    document.undo()
    assert document.faults == ()


def test_typing_in_one_field_is_one_step() -> None:
    document, now = made()
    for at, value in ((0.0, 1), (0.4, 12), (1.2, 120)):
        now[0] = at
        document.set_field("bridge.places", value)
    now[0] = 3.0
    document.set_field("bridge.places", 121)
    now[0] = 3.1
    document.set_field("stop[1].people", 1)
    assert document.undo_words == "wrapper jam: people needed"
    document.undo()
    assert document.undo_words == "bridge: places"
    document.undo()
    assert document.value("bridge.places") == 120
    document.undo()
    assert (document.text, document.can_undo, document.dirty) == (TEXT, False, False)
    for _ in range(3):
        document.redo()
    assert (document.value("bridge.places"), document.value("stop[1].people")) == (121, 1)
    assert (document.can_redo, document.redo_words) == (False, "")


def test_typing_back_to_what_was_leaves_no_step() -> None:
    document, _ = made()
    document.set_field("bridge.places", 2)
    document.set_field("bridge.places", 21)
    assert not document.can_undo


def test_an_edit_ends_what_could_be_made_again() -> None:
    document, now = made()
    document.set_field("bridge.places", 30)
    document.undo()
    now[0] = 5.0
    document.set_field("bridge.places", 40)
    assert not document.can_redo


def test_values_defaults_and_what_the_file_says() -> None:
    document, _ = made()
    document.set_field("bridge.places", None)
    assert document.value("bridge.places") is None
    assert document.file_value("bridge.places") == 21
    assert document.differs("bridge.places")
    assert document.default("bridge.belt_speed_m_per_min") == 30
    assert document.default("stop[0].station") == linesim.scenario.KNOWN_CAUSES["static"]["station"]
    assert not document.differs("bridge.tracks")


def test_entries_are_followed_when_one_before_them_goes() -> None:
    document, _ = made()
    document.set_field("stop[0]", None)
    assert document.value("stop[0].people") == 2
    assert not document.differs("stop[0].people")
    document.set_field("stop[0].people", 1)
    assert document.differs("stop[0].people")
    assert document.file_value("stop[0].people") == 2


def test_a_text_that_is_no_toml_takes_no_field_but_can_be_taken_back() -> None:
    document, _ = made()
    document.set_text("[bridge\nplaces = 3\n")
    assert not document.is_readable
    assert document.faults[0].line == 1
    assert not document.set_field("bridge.places", 5)
    assert document.value("bridge.places") == 21
    document.undo()
    assert document.text == TEXT


def test_a_field_of_what_is_no_table_is_not_set() -> None:
    document, _ = made("bridge = 3\n")
    assert not document.set_field("bridge.places", 5)
    assert not document.set_fields({"stop[4].people": 5}, "people")
    assert not document.move_entry("stop", 0, 1, "place")
    assert (document.text, document.can_undo) == ("bridge = 3\n", False)


def test_signals_tell_what_changed() -> None:
    document, now = made()
    heard: list[str] = []
    document.changed.connect(lambda: heard.append("changed"))
    document.faults_changed.connect(lambda: heard.append("faults"))
    document.dirty_changed.connect(lambda dirty: heard.append(f"dirty {dirty}"))
    document.path_changed.connect(lambda: heard.append("path"))
    document.set_field("bridge.places", 22)
    assert heard == ["changed", "dirty True"]
    heard.clear()
    now[0] = 9.0
    document.set_field("bridge.places", "x")
    assert heard == ["changed", "faults"]
    heard.clear()
    document.open("short-bridge")
    assert heard == ["path", "changed", "faults", "dirty False"]


def test_marks_and_line_ends_of_other_systems_stay(tmp_path: Path) -> None:
    raw = b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode()
    file = tmp_path / "line.toml"
    file.write_bytes(raw)
    document = Document()
    document.open(file)
    document.set_field("bridge.places", 60)
    document.save()
    assert file.read_bytes() == raw.replace(b"21", b"60")
    document.set_text(document.text.removeprefix("\ufeff").replace("\r\n", "\n"))
    assert not document.dirty


def test_in_a_file_of_mixed_line_ends_each_line_keeps_its_own() -> None:
    mixed = "[bridge]\r\nplaces = 21\n# end\r\n\n[crew]\nsize = 3"
    document, now = made(mixed)
    document.set_field("crew.size", 4)
    assert document.text == mixed.replace("size = 3", "size = 4")
    now[0] = 9.0
    document.set_text(document.text.replace("\r\n", "\n"))
    assert document.text == mixed.replace("size = 3", "size = 4")
    document.undo()
    assert document.text == mixed


def test_a_file_that_is_not_there_changes_nothing(tmp_path: Path) -> None:
    document, _ = made()
    with pytest.raises(linesim.scenario.ScenarioFaults):
        document.open(tmp_path / "none.toml")
    assert (document.name, document.text) == ("line", TEXT)


FIELDS = st.sampled_from(
    [
        "bridge.places",
        "bridge.when_full",
        "wrapper[0].name",
        "wrapper[1]",
        "stop[0]",
        "stop[1].restore_min",
        "stop[0].people",
        "outfeed.buffer_reams",
        "line.note",
        "order[0]",
    ]
)
VALUES = st.one_of(
    st.none(),
    st.integers(-5, 500),
    st.floats(allow_nan=False),
    st.text(max_size=8),
    st.fixed_dictionaries({"name": st.text(max_size=4)}),
)


@settings(max_examples=20, deadline=None)
@given(edits=st.lists(st.tuples(FIELDS, VALUES, st.floats(0, 3)), max_size=5))
def test_edits_taken_back_give_the_bytes_that_were(
    edits: list[tuple[str, object, float]],
) -> None:
    document, now = made("\ufeff" + TEXT.replace("\n", "\r\n"))
    start = document.text
    for field, value, wait in edits:
        now[0] += wait
        document.set_field(field, value)
    end = document.text
    while document.can_undo:
        document.undo()
    assert document.text.encode() == start.encode()
    while document.can_redo:
        document.redo()
    assert document.text == end
