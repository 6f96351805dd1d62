"""Unsaved work survives the window it was done in."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest

from gui.document import Autosave, Document, Reason, SaveRefused, recoverable
from gui.document.recovery import WRITTEN_AFTER_S

_CRASH = """
import os, pathlib, sys, time
from gui.document import Autosave, Document
document = Document()
document.open("short-bridge")
keeper = Autosave(document, pathlib.Path(sys.argv[1]))
document.set_field("bridge.places", 77)
until = time.monotonic() + 30
while not keeper.file.exists() and time.monotonic() < until:
    time.sleep(0.01)
os._exit(9)
"""


def wait_for(file: Path, *, there: bool) -> None:
    until = time.monotonic() + 30
    while file.exists() is not there:
        assert time.monotonic() < until
        time.sleep(0.01)


def test_work_of_a_window_that_died_is_offered(tmp_path: Path) -> None:
    # The process ends without a word, as soon as the copy stands.
    subprocess.run([sys.executable, "-c", _CRASH, str(tmp_path)], check=False)
    assert WRITTEN_AFTER_S < 1
    (work,) = recoverable(tmp_path)
    assert work.name == "short-bridge"
    document = Document()
    document.restore(work.text, work.path, work.name, work.based_on)
    assert document.value("bridge.places") == 77
    assert document.file_value("bridge.places") != 77
    assert document.dirty
    work.discard()
    assert list(tmp_path.iterdir()) == []


def test_the_copy_goes_when_the_work_is_saved(tmp_path: Path) -> None:
    document = Document()
    keeper = Autosave(document, tmp_path / "kept", after_s=0.01)
    document.set_field("bridge.places", 30)
    wait_for(keeper.file, there=True)
    assert recoverable(tmp_path / "kept") == (), "its window lives"
    document.save(tmp_path / "line.toml")
    assert list((tmp_path / "kept").iterdir()) == []
    document.set_field("bridge.places", 31)
    wait_for(keeper.file, there=True)
    keeper.close()
    assert list((tmp_path / "kept").iterdir()) == []
    document.set_field("bridge.places", 32)
    assert keeper.failed == ""


def test_undoing_everything_leaves_nothing_to_recover(tmp_path: Path) -> None:
    document = Document()
    keeper = Autosave(document, tmp_path)
    document.set_field("bridge.places", 30)
    keeper.write_now()
    document.undo()
    assert list(tmp_path.iterdir()) == []
    keeper.close()


def test_a_folder_that_cannot_be_used_is_said_and_stops_nobody(tmp_path: Path) -> None:
    (tmp_path / "kept").write_text("a file", encoding="utf-8")
    document = Document()
    keeper = Autosave(document, tmp_path / "kept", after_s=60)
    document.set_field("bridge.places", 30)
    keeper.write_now()
    assert "cannot be used" in keeper.failed
    keeper.close()


def test_a_copy_that_is_no_copy_is_passed_over(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text('{"format": 9}', encoding="utf-8")
    (tmp_path / "b.json").write_bytes(b"\xff\x00")
    assert recoverable(tmp_path) == ()
    assert recoverable(tmp_path / "none") == ()
    assert (tmp_path / "a.json").exists()


def died(folder: Path, file: Path) -> None:
    """A window with unsaved work on *file* is gone: its copy stands, nobody holds the lock."""
    gone = Document()
    gone.open(file)
    keeper = Autosave(gone, folder, after_s=60)
    gone.set_field("bridge.places", 77)
    keeper.write_now()
    assert keeper._owner is not None
    keeper._owner.release()
    gone.changed.disconnect()


def test_work_taken_up_is_at_every_moment_in_a_copy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, folder = tmp_path / "line.toml", tmp_path / "kept"
    file.write_text("[bridge]\nplaces = 21\n", "utf-8")
    died(folder, file)
    (work,) = recoverable(folder)
    document = Document()
    keeper = Autosave(document, folder, after_s=60)
    document.restore(work.text, work.path, work.name, work.based_on)
    keeper.failed = "the disk is full"
    monkeypatch.setattr(keeper, "write_now", lambda: None)
    keeper.take_over(work)
    assert work.file.exists(), "the only copy there is"
    monkeypatch.undo()
    keeper.take_over(work)
    assert not work.file.exists()
    assert "77" in keeper.file.read_text("utf-8")
    keeper.close()


def test_work_taken_up_is_not_saved_over_what_others_wrote_meanwhile(tmp_path: Path) -> None:
    file, folder = tmp_path / "line.toml", tmp_path / "kept"
    file.write_text("[bridge]\nplaces = 21\n", "utf-8")
    died(folder, file)
    file.write_text("[bridge]\nplaces = 99\n", "utf-8")
    (work,) = recoverable(folder)
    document = Document()
    document.restore(work.text, work.path, work.name, work.based_on)
    with pytest.raises(SaveRefused) as refused:
        document.save()
    assert refused.value.reason is Reason.CHANGED_ON_DISK
    assert "99" in file.read_text("utf-8")
