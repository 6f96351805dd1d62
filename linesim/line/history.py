"""What is kept of a run with a history: logs, row by row as things happen.

Python takes a log's rows away when it is full and turns them into columns, each as narrow as its
values allow; so the room it takes in the run does not grow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesim.line.line import Line
from linesim.line.typed import Aside, Row, add, outside

LOG_IS_FULL = 1
"""What Python is asked for when a log is full."""
_ROWS = 1 << 14
_LONG = 1 << 22
"""Columns longer than this grow in place, and in smaller steps."""
ROOT_BITS = 16
"""Of a root, a station and a cause in one number: the bits of the cause."""
ROOT = "root"
"""Type of a column that becomes two: stations and causes."""


@dataclass(slots=True)
class Log:
    """Rows of so many whole numbers each, one after the other."""

    number: int
    rows: Row[int]
    types: Aside[tuple[Any, ...]]
    """Of the numbers of a row."""
    taken: Aside[Columns]

    def take(self, rows: NDArray[Any] | list[int]) -> None:
        """Turn rows into columns."""
        table = np.asarray(rows, dtype=np.int64).reshape(-1, len(self.types))
        found: list[NDArray[Any]] = []
        for column, kind in zip(table.T, self.types, strict=True):
            if kind is ROOT:
                found += [each - 1 for each in np.divmod(column, 1 << ROOT_BITS)]
            else:
                found.append(column)
        self.taken.add(found)

    def columns(self) -> list[NDArray[Any]]:
        """All rows, a column for each number, which are not kept any longer."""
        self.take(self.rows)
        self.rows.clear()
        return self.taken.all()


class Columns:
    """Columns that grow in place: a year of them needs no second copy of itself."""

    def __init__(self, *types: Any) -> None:
        self._columns = [np.zeros(0, dtype=kind) for kind in types]
        self._count = 0

    def add(self, values: Sequence[NDArray[Any]] | NDArray[Any]) -> None:
        """As many more values for each."""
        count = self._count + len(values[0])
        for i, more in enumerate(values):
            if count > len(self._columns[i]):
                self._lengthen(i, count)
            self._columns[i][self._count : count] = more
        self._count = count

    def _lengthen(self, i: int, count: int) -> None:
        column = self._columns[i]
        if len(column) < _LONG:
            self._columns[i] = np.empty(max(count, 4 * len(column)), dtype=column.dtype)
            self._columns[i][: self._count] = column[: self._count]
        else:
            column.resize(max(count, len(column) * 5 // 4), refcheck=False)

    def forget(self) -> None:
        """They are empty."""
        self._count = 0

    def all(self) -> list[NDArray[Any]]:
        """The columns, which are handed over."""
        columns, self._columns = self._columns, []
        for column in columns:
            column.resize(self._count, refcheck=False)
        return columns


@dataclass(slots=True)
class History:
    """Everything that happened. Times in ns, lengths in um."""

    spans: Log
    """Station, state, cause, root, start, end."""
    sets: Log
    """Full, placed, reams."""
    reams: Log
    """Begun, finished, wrapper."""
    off: Log
    """Taken, lost, wrapper (-1: none) of reams that were spoiled before they were wrapped."""
    spoiled: Log
    """When reams left a wrapper wrapped, but spoiled."""
    saved: Log
    """When reams had been wrapped again, good."""
    motion: Log
    """Moment and place at the beginning of every stretch of the webs' motion ..."""
    speeds: Row[float]
    """... with the speed and its change, um/ns and um/ns2."""
    reels: Log
    """Moment, web and paper left for every reel that came into use or lost paper."""
    store: Log
    """With orders, reels: moment, web, to the store or from it, product, length."""
    rolls: Log
    """With orders, wrapping rolls put on: moment, wrapper, product."""

    speeds_taken: Aside[Columns] = field(default_factory=lambda: Columns(np.float64, np.float64))

    def take_speeds(self, speeds: NDArray[np.float64] | list[float]) -> None:
        """Take what was said of stretches of motion so far."""
        self.speeds_taken.add(np.array(speeds, dtype=np.float64).reshape(-1, 2).T)

    def speed_columns(self) -> list[NDArray[np.float64]]:
        self.take_speeds(self.speeds)
        self.speeds.clear()
        return self.speeds_taken.all()

    def logs(self) -> list[Log]:
        return [getattr(self, name) for name in _COLUMNS]


_COLUMNS: dict[str, tuple[Any, ...]] = {
    "spans": (np.int16, np.int8, np.int16, ROOT, np.int64, np.int64),
    "sets": (np.int64, np.int64, np.int64),
    "reams": (np.int64, np.int64, np.int8),
    "off": (np.int64, np.int64, np.int8),
    "spoiled": (np.int64,),
    "saved": (np.int64,),
    "motion": (np.int64, np.int64),
    "reels": (np.int64, np.int16, np.int64),
    "store": (np.int64, np.int16, np.int8, np.int16, np.int64),
    "rolls": (np.int64, np.int16, np.int16),
}


def new_history(keeps: bool, has_orders: bool) -> History:
    """Empty logs, with room for what will be noted."""
    logs: dict[str, Any] = {}
    for number, (name, types) in enumerate(_COLUMNS.items()):
        noted = has_orders if name in ("store", "rolls") else keeps
        rows: Row[int] = Row(f"rows of {name}", _ROWS * len(types) if noted else 0)
        kinds = [k for kind in types for k in ((np.int16, np.int16) if kind is ROOT else (kind,))]
        logs[name] = Log(number, rows, types, Columns(*kinds))
    return History(speeds=Row("speeds", 2 * _ROWS if keeps else 0), **logs)


def note(line: Line, log: Log, *values: int) -> None:
    """A row of a log. Compiled code has this in its own way, for any number of values."""
    add(line, log.rows, *values)
    if len(log.rows) == log.rows.most:
        outside(line, LOG_IS_FULL, log.number)


def note_motion(line: Line, place_um: int, speed: float, change: float) -> None:
    """A stretch of the webs' motion begins."""
    add(line, line.history.speeds, speed, change)
    note(line, line.history.motion, line.now_ns, place_um)
