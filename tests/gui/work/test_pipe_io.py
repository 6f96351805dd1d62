"""Messages with long columns over a pipe."""

from __future__ import annotations

import multiprocessing
import threading

import numpy as np
import pytest

from gui.work.messages import TaskResult
from gui.work.pipe_io import receive, send


def test_columns_come_through_as_they_were_sent() -> None:
    ours, theirs = multiprocessing.Pipe()
    columns = {
        "long": np.arange(300_000, dtype=np.int64),
        "empty": np.zeros(0, dtype=np.int16),
        "every other": np.arange(9)[::2],
    }
    # More than a pipe holds: somebody must read while it is sent.
    sending = threading.Thread(target=send, args=(theirs, TaskResult(3, columns)))
    sending.start()
    got = receive(ours)
    sending.join()
    assert got.number == 3
    for name, column in columns.items():
        assert got.value[name].dtype == column.dtype
        np.testing.assert_array_equal(got.value[name], column)
    theirs.close()
    with pytest.raises(EOFError):
        receive(ours)
