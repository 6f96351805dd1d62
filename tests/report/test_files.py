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
