"""Messages over a pipe, long columns beside them.

A column of millions of rows within a pickled message would be copied by the reader in one go, and
its other threads - the window - would stand meanwhile. Sent beside the message it is read piece
by piece, and used where it lies.
"""

from __future__ import annotations

import pickle
from multiprocessing.connection import Connection
from typing import Any

_COUNT_BYTES = 4


def send(connection: Connection[Any, Any], message: Any) -> None:
    """Send a message; raises what the connection raises when nobody listens any more."""
    columns: list[pickle.PickleBuffer] = []
    words = pickle.dumps(message, protocol=5, buffer_callback=columns.append)
    connection.send_bytes(len(columns).to_bytes(_COUNT_BYTES, "big") + words)
    for column in columns:
        connection.send_bytes(column.raw())


def receive(connection: Connection[Any, Any]) -> Any:
    """The next message; its columns are read only. Raises EOFError when the pipe is closed."""
    words = connection.recv_bytes()
    count = int.from_bytes(words[:_COUNT_BYTES], "big")
    columns = [connection.recv_bytes() for _ in range(count)]
    return pickle.loads(memoryview(words)[_COUNT_BYTES:], buffers=columns)
