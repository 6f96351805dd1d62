"""One thread that reads what all worker processes say, and hands it to the window's thread.

The thread knows nothing of Qt: messages lie in a queue, and a socket that the window's event loop
watches says that there are some. So no widget is held, and none can end, outside the window's
thread.
"""

from __future__ import annotations

import contextlib
import itertools
import queue
import socket
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection, Pipe, wait
from typing import Any, NamedTuple

from PySide6.QtCore import QObject, QSocketNotifier

from gui.work.parcel import receive

_AT_ONCE = 4096
_END_S = 5.0


class _Watched(NamedTuple):
    """A connection, under which number its messages are told, and what is done to each first."""

    connection: Connection[Any, Any]
    number: int
    arrived: Callable[[Any], Any]


class Reader(QObject):
    """Tells who watches a connection what comes over it, None once nothing more will."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._numbers = itertools.count(1)
        self._tell: dict[int, Callable[[Any], None]] = {}
        self._messages: queue.SimpleQueue[tuple[int, Any]] = queue.SimpleQueue()
        self._orders: Connection[Any, Any] | None = None
        self._to_watch: queue.SimpleQueue[_Watched] = queue.SimpleQueue()
        self._thread: threading.Thread | None = None
        self._heard, self._hear = socket.socketpair()
        self._heard.setblocking(False)
        self._hear.setblocking(False)
        self._notifier = QSocketNotifier(self._heard.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._hand_over)

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
                args=(theirs, self._to_watch, self._messages, self._hear),
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
        self._notifier.setEnabled(False)
        if self._thread is not None:
            self._order(None)
            self._thread.join(_END_S)
            self._thread = None
        self._heard.close()
        self._hear.close()

    def _order(self, number: int | None) -> None:
        """0: there is one more to watch; None: that was all."""
        with contextlib.suppress(OSError):
            assert self._orders is not None
            self._orders.send(number)

    def _hand_over(self) -> None:
        with contextlib.suppress(BlockingIOError):
            self._heard.recv(_AT_ONCE)
        with contextlib.suppress(queue.Empty):
            number, message = self._messages.get_nowait()
            # The others have turns of their own: what is told may open a dialog, and stay in it.
            if not self._messages.empty():
                _say_so(self._hear)
            tell = self._tell.get(number)
            if tell is not None:
                tell(message)


def _say_so(hear: socket.socket) -> None:
    # Where the socket is full it is still to be read: that is word enough.
    with contextlib.suppress(OSError):
        hear.send(b".")


def _read(
    orders: Connection[Any, Any],
    to_watch: queue.SimpleQueue[_Watched],
    messages: queue.SimpleQueue[tuple[int, Any]],
    hear: socket.socket,
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
                _say_so(hear)
