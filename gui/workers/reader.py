"""One thread that reads what all worker processes say, and hands it to the window's thread.

All that the thread has of Qt is the signal that says there is a message in the queue. So no widget
is held, and none can end, outside the window's thread.
"""

from __future__ import annotations

import contextlib
import itertools
import queue
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection, Pipe, wait
from typing import Any, NamedTuple

from PySide6.QtCore import QObject, Qt, Signal, SignalInstance

from gui.work.pipe_io import receive

_END_S = 5.0


class _Watched(NamedTuple):
    """A connection, under which number its messages are told, and what is done to each first."""

    connection: Connection[Any, Any]
    number: int
    arrived: Callable[[Any], Any]


class Reader(QObject):
    """Tells who watches a connection what comes over it, None once nothing more will."""

    _come = Signal()
    """There is one more message in the queue."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._numbers = itertools.count(1)
        self._tell: dict[int, Callable[[Any], None]] = {}
        self._messages: queue.SimpleQueue[tuple[int, Any]] = queue.SimpleQueue()
        self._orders: Connection[Any, Any] | None = None
        self._to_watch: queue.SimpleQueue[_Watched] = queue.SimpleQueue()
        self._thread: threading.Thread | None = None
        self._come.connect(self._hand_over, Qt.ConnectionType.QueuedConnection)

    def watch(
        self,
        connection: Connection[Any, Any],
        tell: Callable[[Any], None],
        arrived: Callable[[Any], Any],
    ) -> int:
        """Have *tell* called with what comes; gives a number for :meth:`drop`.

        *arrived* is called first, in the thread that reads; what it gives is told instead.
        """
        number = next(self._numbers)
        self._tell[number] = tell
        self._to_watch.put(_Watched(connection, number, arrived))
        if self._thread is None:
            theirs, self._orders = Pipe(duplex=False)
            self._thread = threading.Thread(
                target=_read,
                args=(theirs, self._to_watch, self._messages, self._come),
                name="linesim-reader",
                daemon=True,
            )
            self._thread.start()
        self._order(0)
        return number

    def drop(self, number: int) -> None:
        """Nothing more is told of this connection; it is closed."""
        if self._tell.pop(number, None) is not None:
            self._order(number)

    def close(self) -> None:
        """Drop all connections and see the thread end."""
        self._tell.clear()
        if self._thread is not None:
            self._order(None)
            self._thread.join(_END_S)
            self._thread = None

    def _order(self, number: int | None) -> None:
        """0: there is one more to watch; None: that was all."""
        with contextlib.suppress(OSError):
            assert self._orders is not None
            self._orders.send(number)

    def _hand_over(self) -> None:
        # One at a time: what is told may open a dialog, and the rest is told while it is open.
        with contextlib.suppress(queue.Empty):
            number, message = self._messages.get_nowait()
            tell = self._tell.get(number)
            if tell is not None:
                tell(message)


def _read(
    orders: Connection[Any, Any],
    to_watch: queue.SimpleQueue[_Watched],
    messages: queue.SimpleQueue[tuple[int, Any]],
    come: SignalInstance,
) -> None:
    """What the thread does."""
    watched: dict[Connection[Any, Any], _Watched] = {}
    ended: set[_Watched] = set()
    while True:
        for ready in wait([orders, *watched]):
            if ready is orders:
                order = orders.recv()
                while not to_watch.empty():
                    new = to_watch.get()
                    watched[new.connection] = new
                # Closed here alone: a number of a file that is read must not become another's.
                for each in {*watched.values(), *ended}:
                    if order is None or each.number == order:
                        watched.pop(each.connection, None)
                        ended.discard(each)
                        each.connection.close()
                if order is None:
                    return
            elif (each := watched.get(ready)) is not None:  # type: ignore[call-overload]
                try:
                    message = each.arrived(receive(each.connection))
                except (EOFError, OSError, ValueError, TypeError):
                    message = None
                if message is None:
                    ended.add(watched.pop(each.connection))
                messages.put((each.number, message))
                # The window may have been taken down meanwhile.
                with contextlib.suppress(RuntimeError):
                    come.emit()
