"""Saving: the file is the old one or the new one, and nobody's work is written over unasked."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

import linesim
from gui.document import Document, Reason, SaveRefused


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "line.toml"
    path.write_text("[bridge]\nplaces = 21\n", encoding="utf-8")
    return path


def opened(file: Path, places: int = 30) -> Document:
    document = Document()
    document.open(file)
    document.set_field("bridge.places", places)
    return document


def refused(document: Document, *args: Path) -> SaveRefused:
    with pytest.raises(SaveRefused) as caught:
        document.save(*args)
    return caught.value


def test_a_saved_file_is_what_the_text_is(file: Path) -> None:
    document = opened(file)
    os.chmod(file, 0o640)
    document.save()
    assert linesim.scenario.load(file).bridge.places == 30
    assert (document.dirty, document.differs("bridge.places")) == (False, False)
    assert file.stat().st_mode & 0o777 == 0o640
    assert [entry.name for entry in file.parent.iterdir()] == ["line.toml"]


def test_a_link_stays_a_link(file: Path) -> None:
    link = file.parent / "link.toml"
    link.symlink_to(file)
    document = opened(link)
    document.save()
    assert link.is_symlink()
    assert linesim.scenario.load(file).bridge.places == 30


def test_another_name_becomes_the_file(file: Path) -> None:
    document = opened(file)
    moved: list[None] = []
    document.path_changed.connect(lambda: moved.append(None))
    document.save(file.parent / "other.toml")
    assert (document.name, len(moved)) == ("other", 1)
    assert "21" in file.read_text(encoding="utf-8")


def test_a_new_text_needs_a_name_and_a_demo_stays_as_it_is() -> None:
    document = Document()
    assert refused(document).reason is Reason.NEEDS_NAME
    document.open("short-bridge")
    assert document.is_demo
    document.set_field("bridge.places", 30)
    assert refused(document).reason is Reason.DEMO
    assert refused(document, linesim.scenario.find_scenario("slow-wrapper")).reason is Reason.DEMO


def test_what_somebody_else_wrote_is_not_lost_unasked(file: Path) -> None:
    document = opened(file)
    file.write_text("[bridge]\nplaces = 99\n", encoding="utf-8")
    found = refused(document)
    assert found.reason is Reason.CHANGED_ON_DISK
    assert "another program" in str(found)
    assert linesim.scenario.load(file).bridge.places == 99
    document.save(overwrite=True)
    assert linesim.scenario.load(file).bridge.places == 30


def test_a_file_that_is_there_is_not_written_over_unasked(file: Path) -> None:
    other = file.parent / "other.toml"
    other.write_text("# mine\n", encoding="utf-8")
    document = opened(file)
    assert refused(document, other).reason is Reason.EXISTS
    assert other.read_text(encoding="utf-8") == "# mine\n"
    document.save(other, overwrite=True)
    assert linesim.scenario.load(other).bridge.places == 30


def test_a_file_that_went_is_written_again(file: Path) -> None:
    document = opened(file)
    file.unlink()
    document.save()
    assert linesim.scenario.load(file).bridge.places == 30


def test_a_place_that_cannot_be_written_is_said_in_words(file: Path) -> None:
    document = opened(file)
    found = refused(document, file.parent / "none" / "line.toml")
    assert found.reason is Reason.CANNOT_WRITE
    assert "No such file" in str(found)
    folder = file.parent / "folder"
    folder.mkdir()
    with pytest.raises(SaveRefused, match="is a folder"):
        document.save(folder, overwrite=True)
    assert document.dirty


def test_a_write_that_breaks_off_leaves_the_old_file(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = opened(file)

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    assert "No space left" in str(refused(document))
    assert file.read_text(encoding="utf-8") == "[bridge]\nplaces = 21\n"
    assert [entry.name for entry in file.parent.iterdir()] == ["line.toml"]


def test_text_that_is_no_utf_8_is_refused(file: Path) -> None:
    document = opened(file)
    document.set_text("# \ud800\n")
    assert refused(document).reason is Reason.CANNOT_WRITE
