"""Whatever many processes say is read by one thread, and told in the window's."""

from __future__ import annotations

import threading
from multiprocessing.connection import Pipe
from typing import Any

from pytestqt.qtbot import QtBot

from gui.work.pipe_io import send
from gui.workers import WorkerPool
from gui.workers.reader import Reader

SOON_MS = 10_000


def test_one_thread_reads_all_and_the_window_is_told(qtbot: QtBot) -> None:
    # Threads of other tests may end meanwhile: those are no concern of this one.
    before = set(threading.enumerate())
    reader, told, read_in = Reader(), [], set()
    pipes = [Pipe() for _ in range(12)]

    def arrived(message: Any) -> Any:
        read_in.add(threading.get_ident())
        return message

    numbers = [
        reader.watch(ours, lambda what, n=n: told.append((n, what, threading.get_ident())), arrived)
        for n, (ours, _) in enumerate(pipes)
    ]
    [new] = set(threading.enumerate()) - before
    assert new.name == "linesim-reader"
    for word in ("one", "two"):
        for _, theirs in pipes:
            send(theirs, word)
    qtbot.waitUntil(lambda: len(told) == 24, timeout=SOON_MS)
    assert {thread for *_, thread in told} == {threading.get_ident()}
    assert read_in == {new.ident}
    for n in range(12):
        assert [what for number, what, _ in told if number == n] == ["one", "two"]
    # One hangs up, one is dropped: of that one nothing more is told.
    pipes[0][1].close()
    qtbot.waitUntil(lambda: (0, None) in [each[:2] for each in told], timeout=SOON_MS)
    reader.drop(numbers[1])
    qtbot.waitUntil(lambda: pipes[1][0].closed, timeout=SOON_MS)
    reader.close()
    assert all(ours.closed for ours, _ in pipes)
    assert not new.is_alive()
    assert len(told) == 25


def test_what_is_told_may_open_a_dialog_and_the_rest_is_told_in_it(qtbot: QtBot) -> None:
    reader, told = Reader(), []
    ours, theirs = Pipe()

    def tell(what: str) -> None:
        told.append(what)
        if what == "first":
            qtbot.waitUntil(lambda: "last" in told, timeout=SOON_MS)
            told.append("closed")

    reader.watch(ours, tell, lambda message: message)
    for word in ("first", "second", "last"):
        send(theirs, word)
    qtbot.waitUntil(lambda: "closed" in told, timeout=SOON_MS)
    assert told == ["first", "second", "last", "closed"]
    reader.close()


def test_processes_that_are_done_wait_for_the_next_task_or_end(qtbot: QtBot) -> None:
    pool = WorkerPool()
    pool.enable_spare()
    running = [pool.call("shift", scenario=None, hours=1, seed=1, replication=0) for _ in range(3)]
    workers = list(pool._others)
    ended = []
    for task in running:
        task.failed.connect(lambda *_: ended.append(1))
    qtbot.waitUntil(lambda: len(ended) == 3, timeout=60_000)
    assert pool._others == []
    assert pool._spare in workers
    assert [each for each in workers if each._process is not None] == [pool._spare]
    pool.close()
