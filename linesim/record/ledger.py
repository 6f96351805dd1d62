"""The accounts of the stations, kept while the line runs.

A station is in one state at a time, from the moment the last one ended: so the account can have
neither gap nor overlap. In full mode every span is also kept as a row of columns; in summary mode
only the sums are, and memory does not grow with time.
"""

from __future__ import annotations

from array import array
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesim.record.states import Kind, Loss, State

SpanKey = tuple[int, int, int, int, int]
"""(station, state, cause, root station, root cause); -1 where there is no root."""


SPAN_COLUMNS: dict[str, Any] = {
    "station": np.int16,
    "state": np.int8,
    "cause": np.int16,
    "root_station": np.int16,
    "root_cause": np.int16,
    "start_ns": np.int64,
    "end_ns": np.int64,
}
_ROWS_AT_ONCE = 1 << 16

# Plain numbers: members of an enumeration are slow to look up, and this is where time goes.
_SLOWED = int(State.SLOWED)
_PRODUCING = int(Loss.PRODUCING)
_BREAKDOWN, _MINOR = int(Loss.BREAKDOWN), int(Loss.MINOR)

_WAITING_LOSS: dict[Kind, int | None] = {
    Kind.RATE: int(Loss.MINOR),
    Kind.STOP: None,
    Kind.SET_UP: int(Loss.SET_UP),
    Kind.CALENDAR: int(Loss.PLANNED),
}
"""Where waiting for such a cause counts; None: by its length."""


class Ledger:
    """Accounts of all stations of one run. Times in ns; stations and causes are numbers."""

    def __init__(self, stations: tuple[str, ...], *, minor_ns: int, keep: bool) -> None:
        self.stations = stations
        self.causes: list[str] = [""]
        self.kinds: list[Kind] = [Kind.RATE]
        self.waiting_loss: list[int | None] = [_MINOR]
        """Of each cause: the loss that waiting for it is; None: by its length."""
        self._cause_of: dict[tuple[str, Kind], int] = {("", Kind.RATE): 0}
        self.minor_ns = minor_ns
        """Standstills shorter than this are minor stops."""
        self._keep = keep
        count = len(stations)
        self.since = [0] * count
        """Since when each station is in its state, ns."""
        self.now_in: list[SpanKey] = [(i, State.STARVED, 0, -1, -1) for i in range(count)]
        self.sums: dict[SpanKey, int] = {}
        self.losses = [[0] * len(Loss) for _ in stations]
        self.standing: list[list[int] | None] = [None] * count
        """Length of each station's standstill, and of the stops in it, ns; None: it runs."""
        self.paced = [0] * count
        """What each station has waited in its present span at a neighbour's pace, ns."""
        self.stop_count: dict[tuple[int, int], int] = {}
        self._rows = array("q")
        self._full: list[list[NDArray[Any]]] = []
        self._running: list[SpanKey] = [(i, 0, 0, -1, -1) for i in range(count)]

    def cause(self, name: str, kind: Kind) -> int:
        """The number of a cause, new or known."""
        key = (name, kind)
        if key not in self._cause_of:
            self._cause_of[key] = len(self.causes)
            self.causes.append(name)
            self.kinds.append(kind)
            self.waiting_loss.append(_WAITING_LOSS[kind])
        return self._cause_of[key]

    def enter(
        self, station: int, at: int, state: int, cause: int = 0, root: tuple[int, int] = (-1, -1)
    ) -> None:
        """From ``at`` on the station is in ``state``; nothing happens where it already is."""
        key = (station, int(state), cause, root[0], root[1])
        old = self.now_in[station]
        if key == old:
            return
        self._close(station, old, at)
        if state > _SLOWED and old[1] <= _SLOWED:
            self.standing[station] = [0, 0]
        elif state <= _SLOWED and old[1] > _SLOWED:
            self._stood(station)
        self.now_in[station] = key
        self.since[station] = at

    def gap(self, station: int, start: int, end: int, state: int, root: tuple[int, int]) -> None:
        """A running station waits from ``start`` to ``end`` and runs on.

        The same as two calls of ``enter``, in one step: the commonest thing that happens.
        """
        since = self.since[station]
        ran, waited = start - since, end - start
        if ran < 0 or waited < 0:
            raise AssertionError(f"{self.stations[station]}: time runs backwards")
        sums, losses = self.sums, self.losses[station]
        running, cause = self._running[station], root[1]
        key = (station, state, cause, root[0], cause)
        sums[running] = sums.get(running, 0) + ran
        sums[key] = sums.get(key, 0) + waited
        losses[_PRODUCING] += ran
        loss = self.waiting_loss[cause]
        if loss is None:
            loss = _BREAKDOWN if waited >= self.minor_ns else _MINOR
        losses[loss] += waited
        self.since[station] = end
        if self._keep:
            if ran:
                self._row(running, since, start)
            if waited:
                self._row(key, start, end)

    def wait_at_pace(self, station: int, start: int, waited: int, root: tuple[int, int]) -> None:
        """A working station waits ``waited`` ns from ``start`` on, piece by piece, for a neighbour.

        That is one span, slowed by the neighbour, however many pieces; when it ends, what was
        work in it counts as running, and what was waiting as starved.
        """
        if self.now_in[station][1] != _SLOWED:
            self.enter(station, start, _SLOWED, root[1], root)
        self.paced[station] += waited

    def count_stop(self, station: int, cause: int) -> None:
        """One more stop of this cause."""
        key = (station, cause)
        self.stop_count[key] = self.stop_count.get(key, 0) + 1

    def losses_by(self, at: int) -> list[list[int]]:
        """The losses of every station as they would be, were every open span to end at ``at``."""
        trial = Ledger(self.stations, minor_ns=self.minor_ns, keep=False)
        trial.kinds, trial.now_in, trial.since = self.kinds, self.now_in, [*self.since]
        trial.paced = [*self.paced]
        trial.losses = [[*row] for row in self.losses]
        trial.standing = [None if stood is None else [*stood] for stood in self.standing]
        trial.close(at)
        return trial.losses

    def close(self, at: int) -> None:
        """End every open span at ``at``: the end of the run, or of the warm-up."""
        for station, key in enumerate(self.now_in):
            self._close(station, key, at)
            self.since[station] = at
            if key[1] > State.SLOWED:
                self._stood(station)
                self.standing[station] = [0, 0]

    def forget(self) -> None:
        """Drop all sums and spans (the warm-up is over); the states go on."""
        self.sums.clear()
        self.stop_count.clear()
        self.losses = [[0] * len(Loss) for _ in self.stations]
        self._rows = array("q")
        self._full = []

    def _close(self, station: int, key: SpanKey, at: int) -> None:
        length = at - self.since[station]
        if length == 0:
            return
        if length < 0:
            raise AssertionError(f"{self.stations[station]}: time runs backwards")
        state = key[1]
        if state == _SLOWED and key[3] >= 0:
            self._split(station, key, length)
        else:
            self.sums[key] = self.sums.get(key, 0) + length
        if state <= _SLOWED:
            self.losses[station][_PRODUCING] += length
        else:
            self._lose(station, key, length)
        if self._keep:
            self._row(key, self.since[station], at)

    def _split(self, station: int, key: SpanKey, length: int) -> None:
        """Book a span at a neighbour's pace: its work, and its waits."""
        waited, self.paced[station] = self.paced[station], 0
        waits = (station, int(State.STARVED), *key[2:])
        for each, part in ((self._running[station], length - waited), (waits, waited)):
            if part:
                self.sums[each] = self.sums.get(each, 0) + part
        self.losses[station][_PRODUCING] -= waited
        self.losses[station][_MINOR] += waited

    def _row(self, key: SpanKey, start: int, end: int) -> None:
        self._rows.extend((*key, start, end))
        if len(self._rows) >= _ROWS_AT_ONCE * len(SPAN_COLUMNS):
            self._put_away()

    def _put_away(self) -> None:
        """Turn the rows so far into columns, each as narrow as its values allow."""
        table = np.frombuffer(self._rows, dtype=np.int64).reshape(-1, len(SPAN_COLUMNS))
        types = SPAN_COLUMNS.values()
        self._full.append([table[:, i].astype(kind) for i, kind in enumerate(types)])
        self._rows = array("q")

    def span_columns(self) -> list[NDArray[Any]]:
        """All spans kept, a column for each of ``SPAN_COLUMNS``."""
        self._put_away()
        return [np.concatenate(parts) for parts in zip(*self._full, strict=True)]

    def _lose(self, station: int, key: SpanKey, length: int) -> None:
        """Book standing time. A stop is minor or a breakdown by the whole standstill's length."""
        losses = self.losses[station]
        if key[1] == State.PLANNED:
            losses[Loss.PLANNED] += length
            return
        standing = self.standing[station]
        if standing is None:
            standing = self.standing[station] = [0, 0]
        standing[0] += length
        waits = key[1] in (State.STARVED, State.BLOCKED)
        kind = self.kinds[key[4] if waits and key[4] >= 0 else key[2]]
        if kind == Kind.STOP:
            standing[1] += length
        elif kind == Kind.SET_UP:
            losses[Loss.SET_UP] += length
        elif kind == Kind.CALENDAR and waits:
            losses[Loss.PLANNED] += length
        else:
            losses[Loss.MINOR] += length

    def _stood(self, station: int) -> None:
        standing = self.standing[station]
        if standing is not None:
            loss = Loss.BREAKDOWN if standing[0] >= self.minor_ns else Loss.MINOR
            self.losses[station][loss] += standing[1]
        self.standing[station] = None
