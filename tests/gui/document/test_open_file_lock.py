"""Two windows on one file."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from gui.document import Document, OpenFileLock, Reason, SaveRefused

Opened = Callable[[Path | str], tuple[Document, OpenFileLock]]


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Opened]:
    """Opens a file as a window does."""
    kept: list[OpenFileLock] = []

    def open_it(file: Path | str) -> tuple[Document, OpenFileLock]:
        document = Document()
        file_lock = OpenFileLock(document, tmp_path / "open")
        kept.append(file_lock)
        document.open(file)
        return document, file_lock

    yield open_it
    for file_lock in kept:
        file_lock.close()


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "line.toml"
    path.write_text("[bridge]\nplaces = 21\n", encoding="utf-8")
    return path


def test_the_second_window_knows_of_the_first(opened: Opened, file: Path) -> None:
    link = file.with_name("link.toml")
    link.symlink_to(file)
    document, first = opened(file)
    _, second = opened(link)
    assert (first.open_elsewhere, second.open_elsewhere) == (False, True)
    # The first goes on to another file: the second has this one to itself.
    document.save(file.with_name("other.toml"))
    second.refresh()
    assert not second.open_elsewhere
    _, third = opened(file)
    assert third.open_elsewhere


def test_a_demo_may_be_looked_at_by_many(opened: Opened) -> None:
    assert [opened("short-bridge")[1].open_elsewhere for _ in range(2)] == [False, False]


def test_a_folder_that_cannot_be_used_stops_nobody(tmp_path: Path, file: Path) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    document = Document()
    file_lock = OpenFileLock(document, tmp_path / "taken")
    document.open(file)
    assert not file_lock.open_elsewhere
    file_lock.close()


def test_locks_do_not_pile_up(opened: Opened, file: Path, tmp_path: Path) -> None:
    document, _ = opened(file)
    assert len(os.listdir(tmp_path / "open")) == 1
    document.open("short-bridge")
    assert os.listdir(tmp_path / "open") == []


def test_the_second_to_save_is_asked(opened: Opened, file: Path) -> None:
    (one, _), (two, _) = opened(file), opened(file)
    one.set_field("bridge.places", 30)
    two.set_field("bridge.places", 40)
    one.save()
    with pytest.raises(SaveRefused) as refused:
        two.save()
    assert refused.value.reason is Reason.CHANGED_ON_DISK
    assert "30" in file.read_text("utf-8")
    two.save(overwrite=True)
    with pytest.raises(SaveRefused):
        one.save()
