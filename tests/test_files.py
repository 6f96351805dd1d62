"""Files are written whole or not at all."""

import os

import pytest

from linesim.files import write_bytes, write_text


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


@pytest.mark.skipif(os.name != "posix", reason="rights are told otherwise there")
def test_what_only_its_owner_may_write_is_so_whatever_the_mask(tmp_path):
    before = os.umask(0)
    try:
        write_text(tmp_path / "plain", "new")
        write_bytes(tmp_path / "private", b"new", mode=0o600)
    finally:
        os.umask(before)
    assert (tmp_path / "plain").stat().st_mode & 0o777 == 0o666
    assert (tmp_path / "private").stat().st_mode & 0o777 == 0o600
