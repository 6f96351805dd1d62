"""The window's thread collects garbage, and no other."""

from __future__ import annotations

import gc
import threading
import weakref

import pytest
from pytestqt.qtbot import QtBot

from gui.window.garbage_collection import GarbageCollector


class Ring:
    def __init__(self, ended_in: list[int]) -> None:
        self.itself = self
        weakref.finalize(self, lambda: ended_in.append(threading.get_ident()))


def make_rings(ended_in: list[int]) -> None:
    for _ in range(2 * gc.get_threshold()[0]):
        Ring(ended_in)


def test_rings_that_another_thread_leaves_end_in_the_windows(qtbot: QtBot) -> None:
    assert gc.isenabled()
    garbage_collection = GarbageCollector()
    ended_in: list[int] = []
    thread = threading.Thread(target=make_rings, args=(ended_in,))
    thread.start()
    thread.join()
    assert ended_in == []
    qtbot.waitUntil(lambda: bool(ended_in), timeout=20_000)
    assert set(ended_in) == {threading.get_ident()}
    garbage_collection.close()
    assert gc.isenabled()


def test_without_it_they_would_end_where_they_were_left(qapp: object) -> None:
    ended_in: list[int] = []
    thread = threading.Thread(target=make_rings, args=(ended_in,))
    thread.start()
    thread.join()
    assert set(ended_in) != {threading.get_ident()}
    assert ended_in


def test_the_older_garbage_is_collected_as_pythons_own_collector_would(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from gui.window import garbage_collection

    done: list[int] = []
    monkeypatch.setattr(garbage_collection.gc, "collect", done.append)
    for counts in ((0, 0, 0), (701, 0, 0), (701, 11, 0), (0, 11, 11)):
        monkeypatch.setattr(garbage_collection.gc, "get_count", lambda counts=counts: counts)
        monkeypatch.setattr(garbage_collection.gc, "get_threshold", lambda: (700, 10, 10))
        garbage_collection.collect_due_generation()
    assert done == [0, 1, 2]
