"""What is kept of a run with a history: logs, row by row as things happen.

Python takes a log's rows away when it is full and turns them into columns, each as narrow as its
values allow; so the room it takes in the run does not grow.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from linesim.line.typed import Aside, Row, add, outside

if TYPE_CHECKING:
    from linesim.line.line import Line

LOG_IS_FULL = 1
"""What Python is asked for when a log is full."""
_ROWS = 1 << 14


@dataclass(slots=True)
class Log:
    """Rows of so many whole numbers each, one after the other."""

    number: int
    rows: Row[int]
    types: Aside[tuple[Any, ...]]
    """Of the columns."""
    parts: Aside[list[list[NDArray[Any]]]] = field(default_factory=list)

    def take(self, rows: NDArray[Any] | list[int]) -> None:
        """Turn rows into columns."""
        table = np.asarray(rows, dtype=np.int64).reshape(-1, len(self.types))
        self.parts.append([table[:, i].astype(kind) for i, kind in enumerate(self.types)])

    def columns(self) -> list[NDArray[Any]]:
        """All rows taken, a column for each number."""
        self.take(self.rows)
        parts, self.parts = self.parts, []
        self.rows.clear()
        return [np.concatenate(column) for column in zip(*parts, strict=True)]


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
    """When reams left the bridge that were spoiled before they were wrapped."""
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

    speed_parts: Aside[list[NDArray[np.float64]]] = field(default_factory=list)

    def take_speeds(self, speeds: NDArray[np.float64] | list[float]) -> None:
        """Take what was said of stretches of motion so far."""
        self.speed_parts.append(np.array(speeds, dtype=np.float64).reshape(-1, 2))

    def speed_columns(self) -> NDArray[np.float64]:
        """All speeds, and changes of speed, in two columns."""
        self.take_speeds(self.speeds)
        parts, self.speed_parts = self.speed_parts, []
        self.speeds.clear()
        return np.concatenate(parts)

    def logs(self) -> list[Log]:
        """All of them, by number."""
        return [getattr(self, name) for name in _COLUMNS]


_COLUMNS: dict[str, tuple[Any, ...]] = {
    "spans": (np.int16, np.int8, np.int16, np.int32, np.int64, np.int64),
    "sets": (np.int64, np.int64, np.int64),
    "reams": (np.int64, np.int64, np.int8),
    "off": (np.int64,),
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
        logs[name] = Log(number, rows, types)
    return History(speeds=Row("speeds", 2 * _ROWS if keeps else 0), **logs)


# -- rules ---------------------------------------------------------------------------------------


def _noted(line: Line, log: Log) -> None:
    if len(log.rows) == log.rows.most:
        outside(line, LOG_IS_FULL, log.number)


def note(line: Line, log: Log, a: int) -> None:
    """A row of one number."""
    add(line, log.rows, a)
    _noted(line, log)


def note3(line: Line, log: Log, a: int, b: int, c: int) -> None:
    """A row of three."""
    add(line, log.rows, a)
    add(line, log.rows, b)
    add(line, log.rows, c)
    _noted(line, log)


def note_motion(line: Line, place_um: int, speed: float, change: float) -> None:
    """A stretch of the webs' motion begins."""
    log, speeds = line.history.motion, line.history.speeds
    add(line, log.rows, line.now_ns)
    add(line, log.rows, place_um)
    add(line, speeds, speed)
    add(line, speeds, change)
    _noted(line, log)


def note_reel_moved(line: Line, web: int, back: bool, product: int, length_um: int) -> None:
    """A reel leaves the store, or a part reel goes back to it."""
    log = line.history.store
    add(line, log.rows, line.now_ns)
    add(line, log.rows, web)
    add(line, log.rows, back)
    add(line, log.rows, product)
    add(line, log.rows, length_um)
    _noted(line, log)


def note_span(
    line: Line, station: int, state: int, cause: int, root: int, start_ns: int, end_ns: int
) -> None:
    """A span of a station's account has ended."""
    log = line.history.spans
    add(line, log.rows, station)
    add(line, log.rows, state)
    add(line, log.rows, cause)
    add(line, log.rows, root)
    add(line, log.rows, start_ns)
    add(line, log.rows, end_ns)
    _noted(line, log)
