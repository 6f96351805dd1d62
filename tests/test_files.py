"""Files are written whole or not at all."""

import os

import pytest

from linesim.report.files import write_text


def test_a_failed_write_leaves_the_old_file(tmp_path, monkeypatch):
    path = tmp_path / "answer.json"
    write_text(path, "old")

    def no_room(*args):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", no_room)
    with pytest.raises(OSError, match="No space"):
        write_text(path, "new")
    assert path.read_text() == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_line_ends_stay_and_a_link_keeps_pointing(tmp_path):
    real, link = tmp_path / "real.csv", tmp_path / "link.csv"
    write_text(real, "a")
    link.symlink_to(real)
    write_text(link, "b\r\n")
    assert link.is_symlink()
    assert real.read_bytes() == b"b\r\n"


def test_a_read_only_file_is_refused_by_its_own_name(tmp_path, monkeypatch):
    path = tmp_path / "report.html"
    path.write_text("signed")
    # The tests may run as one who may write everything.
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(PermissionError, match="read-only") as refused:
        write_text(path, "new")
    assert refused.value.filename == str(path)
    assert path.read_text() == "signed"


def test_a_folder_that_cannot_be_written_is_said_with_the_name_that_was_asked_for(tmp_path):
    with pytest.raises(FileNotFoundError) as refused:
        write_text(tmp_path / "none" / "answer.json", "new")
    assert refused.value.filename == str(tmp_path / "none" / "answer.json")


def test_the_longest_names_a_folder_takes_can_be_written(tmp_path):
    path = tmp_path / ("ä" * 123 + ".json")
    write_text(path, "new")
    assert path.read_text() == "new"
