"""What one run recorded."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesim.interactive import axes_or_new, frame, html_table
from linesim.record.books import Books
from linesim.record.states import WAITING, Kind, State, station_words
from linesim.record.supplies import NO_SUPPLIES, Supplies
from linesim.scenario import Scenario
from linesim.scenario.units import HOUR

Column = NDArray[np.int64]
_AT_ONCE = 100_000
SpanKey = tuple[int, int, int, int, int]
"""(station, state, cause, root station, root cause); -1 where there is no root."""
_CAUSES = 1 << 16
"""More than a run can have: their numbers are of 16 bits."""


def repeated(values: Column, counts: Column) -> Column:
    """Each value as often as its count says; as ``np.repeat``, which lets no other thread run.

    In parts, a window that waits for a year of values can do something else in between.
    """
    parts = range(0, len(values), _AT_ONCE)
    return np.concatenate(
        [np.zeros(0, dtype=np.int64)]
        + [np.repeat(values[n : n + _AT_ONCE], counts[n : n + _AT_ONCE]) for n in parts]
    )


@dataclass(frozen=True)
class Spans:
    """Rows of the stations' accounts; each station's own in order of time. Times in ns."""

    station: NDArray[np.int16]
    state: NDArray[np.int8]
    cause: NDArray[np.int16]
    root_station: NDArray[np.int16]
    root_cause: NDArray[np.int16]
    start_ns: Column
    end_ns: Column

    def of(self, station: int) -> Spans:
        """The rows of one station: gapless, in order of time. Read only."""
        by_station = self._by_station
        first, after = np.searchsorted(by_station[0], [station, station + 1])
        return Spans(*(column[first:after] for column in by_station))

    @cached_property
    def _by_station(self) -> tuple[NDArray[Any], ...]:
        """The columns with the stations' rows together: sorted once, however many are asked for."""
        order = np.argsort(self.station, kind="stable")
        columns = tuple(getattr(self, field.name)[order] for field in fields(self))
        for column in columns:
            column.flags.writeable = False
        return columns

    def waits_for(self, station: int, cause: int) -> NDArray[np.intp]:
        """Numbers of the rows in which a station waits for this cause of that one, rising."""
        keys, rows = self._waits
        key = station * _CAUSES + cause
        first, after = np.searchsorted(keys, [key, key + 1])
        return rows[first:after]

    @cached_property
    def _waits(self) -> tuple[Column, NDArray[np.intp]]:
        rows = np.flatnonzero(np.isin(self.state, WAITING))
        keys = self.root_station[rows].astype(np.int64) * _CAUSES + self.root_cause[rows]
        order = np.argsort(keys, kind="stable")
        return keys[order], rows[order]

    def __getstate__(self) -> dict[str, Any]:
        # What follows from the columns is not sent along to another process.
        return {field.name: getattr(self, field.name) for field in fields(self)}


@dataclass(frozen=True)
class History:
    """Everything that happened, in columns. Times in ns, lengths in um."""

    spans: Spans
    set_full_ns: Column
    set_placed_ns: Column
    """When a set stood on the bridge (same row as ``set_full_ns``; sets under way are missing)."""
    set_reams: Column
    ream_start_ns: Column
    """When a wrapper took a ream off the bridge, in the order in which they were finished."""
    ream_end_ns: Column
    ream_wrapper: NDArray[np.int8]
    ream_off_ns: Column
    """When reams left the bridge that were spoiled unwrapped, or are still in a wrapper ..."""
    lost_ns: Column
    """... when they were spoiled; after the end of the run for those still in a wrapper ..."""
    lost_wrapper: NDArray[np.int8]
    """... and that wrapper; -1 for a ream thrown away from the bridge."""
    ream_spoiled_ns: Column
    """Those of ``ream_end_ns`` at which the ream came out spoiled ..."""
    ream_saved_ns: Column
    """... and when spoiled reams had been wrapped again by hand, good."""
    speed_ns: Column
    """Moments at which the motion of the webs changed ..."""
    speed_um: Column
    """... web through the knives by then ..."""
    speed_um_per_ns: NDArray[np.float64]
    """... speed then ..."""
    speed_change_um_per_ns2: NDArray[np.float64]
    """... and acceleration from then on."""
    reel_ns: Column
    """Moments at which a web's paper changed: a reel put on, paper lost ..."""
    reel_web: NDArray[np.int16]
    reel_left_um: Column
    """... and what is left on the reel in use from then on, less the web run since."""

    def bridge_level(self) -> tuple[Column, Column]:
        """Times (ns) at which the bridge level changed, and the level (reams) from then on."""
        placed = repeated(self.set_placed_ns, self.set_reams[: len(self.set_placed_ns)])
        taken = np.concatenate([self.ream_start_ns, self.ream_off_ns])
        times = np.concatenate([taken, placed])
        steps = np.concatenate([np.full(len(taken), -1), np.full(len(placed), 1)]).astype(np.int64)
        # A ream placed and taken in the same instant must not take the level below zero.
        order = np.lexsort((-steps, times))
        times, level = times[order], np.cumsum(steps[order])
        last = np.append(times[1:] != times[:-1], True) if len(times) else np.zeros(0, bool)
        return times[last], level[last]


@dataclass(frozen=True)
class StopTotal:
    """One stop cause at one station over the run; ``count`` is how often it stopped it.

    ``station`` and ``cause`` are places in the record's stations and causes.
    """

    station: int
    cause: int
    count: int
    ns: int
    """Time the station itself stood for it: down, being changed over, waiting for people/reel."""


@dataclass(frozen=True)
class OrderDone:
    """One order of the sequence."""

    name: str
    reams: int
    cut_ns: int | None
    """When its last set was full; None if the run ended before."""
    wrapped_ns: int | None
    """When its last good ream was wrapped; None if the run ended before."""
    begun_ns: int | None = None
    """When the line was ready for it, any change-over done; None if the run ended before."""


@dataclass(frozen=True)
class Part:
    """What was made of one product, from one change-over to the next. Times in ns."""

    order: int
    """Place of the order in the scenario's; of several of one product, of the first."""
    start_ns: int
    end_ns: int
    losses: tuple[tuple[int, ...], ...]
    """As the record's, in this time."""
    books: Books
    """What was entered in this time."""
    wrapped_by: tuple[int, ...]
    """Reams finished by each wrapper in this time."""
    taken_out: tuple[int, ...] = ()
    """Reams finished by each station behind the wrappers in this time."""


@dataclass(frozen=True)
class Record:
    """One run of a line: who, what, how long; sums always, history when it was asked for."""

    scenario: Scenario
    seed: int
    replication: int
    start_ns: int
    """Where counting began: 0, or the end of the warm-up."""
    end_ns: int
    stations: tuple[str, ...]
    """Names in the order in which the paper moves; wrappers by their own names."""
    causes: tuple[str, ...]
    cause_kinds: tuple[Kind, ...]
    sums: dict[SpanKey, int]
    """ns by (station, state, cause, root station, root cause)."""
    losses: tuple[tuple[int, ...], ...]
    """ns by station and ``Loss``; each row adds up to the length of the run."""
    stops: tuple[StopTotal, ...]
    books: Books
    wrapped_by: tuple[int, ...]
    """Reams finished by each wrapper, good or spoiled; not what a stop threw away before."""
    good_per_bucket: tuple[int, ...]
    """Good reams in equal parts of the counted time, in order."""
    orders: tuple[OrderDone, ...]
    history: History | None
    supplies: Supplies = NO_SUPPLIES
    """Reels and wrapping rolls as they were taken; kept where there are orders."""
    products: tuple[Part, ...] = ()
    """Its parts by product, where there are orders of several; they add up to the whole."""
    taken_out: tuple[int, ...] = ()
    """Reams finished by each station behind the wrappers."""
    begun_ns: int = 0
    """Where the line began to run: below 0 after a run-in. History reaches back to here, but for
    spans, which begin with counting."""

    @property
    def recorded(self) -> History:
        """The history. Raises ``ValueError`` where the run kept none."""
        if self.history is None:
            raise ValueError("the record has no history: run the line with history=True")
        return self.history

    @property
    def parts(self) -> tuple[Part, ...]:
        """One part for each product made in turn; all of the run where there is only one."""
        span = (self.start_ns, self.end_ns)
        whole = Part(0, *span, self.losses, self.books, self.wrapped_by, self.taken_out)
        return self.products or (whole,)

    @property
    def hours(self) -> float:
        return (self.end_ns - self.start_ns) / HOUR

    def station(self, name: str) -> int:
        """Number of a station. Raises ``ValueError`` where there is none of that name."""
        return self.stations.index(name)

    def hours_in(self, station: int, state: State) -> float:
        ns = sum(v for k, v in self.sums.items() if k[0] == station and k[1] == state)
        return ns / HOUR

    def tables(self) -> dict[str, dict[str, NDArray[Any]]]:
        """Everything that happened as tables of named columns; needs a history.

        ``spans`` of the stations' states, ``sets``, ``reams`` and ``bridge_level``, and ``sums`` of
        the spans. Times are whole ns since the time 0 of the record; what was done with before
        counting began is left out. Raises ``ValueError`` for a record without history.
        """
        history = self.recorded
        spans = history.spans
        who = (spans.station, spans.state, spans.cause, spans.root_station, spans.root_cause)
        begin = self.start_ns if self.start_ns > self.begun_ns else -1
        full_ns = history.set_full_ns[: len(history.set_placed_ns)]
        sets = history.set_placed_ns > begin
        reams = history.ream_end_ns > begin
        wrappers = np.array([wrapper.name for wrapper in self.scenario.wrapper], dtype=object)
        at_ns, level = history.bridge_level()
        # The level with which counting began is the first.
        first = max(0, int(np.searchsorted(at_ns, self.start_ns, "right")) - 1)
        sums = sorted(self.sums.items())
        keys = np.array([key for key, _ in sums], dtype=np.int64).reshape(-1, 5).T
        return {
            "spans": self._named(*who) | {"start_ns": spans.start_ns, "end_ns": spans.end_ns},
            "sets": {
                "set": np.arange(1, sets.sum() + 1),
                "full_ns": full_ns[sets],
                "placed_on_bridge_ns": history.set_placed_ns[sets],
                "reams": history.set_reams[: len(sets)][sets],
            },
            "reams": {
                "ream": np.arange(1, reams.sum() + 1),
                "wrapper": wrappers[history.ream_wrapper[reams]],
                "start_ns": history.ream_start_ns[reams],
                "end_ns": history.ream_end_ns[reams],
            },
            "bridge_level": {
                "from_ns": np.maximum(at_ns[first:], self.start_ns),
                "reams": level[first:],
            },
            "sums": self._named(*keys)
            | {"total_ns": np.array([ns for _, ns in sums], dtype=np.int64)},
        }

    def to_frame(self, table: str = "spans", library: str | None = None) -> Any:
        """One of :meth:`tables` as a frame of pandas or polars, or of ``library``, times in s.

        Raises ``KeyError`` for a table that is none, ``ValueError`` for a record without history,
        and :class:`~linesim.interactive.NoFrameLibraryError`.
        """
        columns = {}
        for name, values in self.tables()[table].items():
            in_ns = name.endswith("_ns")
            columns[f"{name[:-3]}_s" if in_ns else name] = values / 1e9 if in_ns else values
        return frame(columns, library)

    def plot(self, axes: Any = None) -> Any:
        """Draw the bridge level over time on matplotlib's ``axes`` or new ones; give these back.

        Raises ``ValueError`` without history, ``ImportError`` without matplotlib.
        """
        level = self.tables()["bridge_level"]
        axes = axes_or_new(axes)
        hours = np.append(level["from_ns"], self.end_ns) / HOUR
        reams = level["reams"]
        axes.step(hours, np.append(reams, reams[-1:]), where="post", color="0.3")
        axes.axhline(self.scenario.bridge_places, color="0.6", linestyle="--", label="places")
        axes.set_xlabel("time, h")
        axes.set_ylabel("reams on the bridge")
        axes.legend()
        return axes

    def _repr_html_(self) -> str:
        heads = ["station", *(f"{state.words}, h" for state in State)]
        rows = [
            [station_words(name), *(f"{self.hours_in(n, state):.3g}" for state in State)]
            for n, name in enumerate(self.stations)
        ]
        title = (
            f"{self.scenario.line.name}: {self.books.reams.good:,} good reams in {self.hours:.4g} h"
            f" (one run: seed {self.seed}, replication {self.replication})"
        )
        return html_table(title, heads, rows)

    def _named(self, *numbers: NDArray[Any]) -> dict[str, NDArray[Any]]:
        station, state, cause, root_station, root_cause = numbers
        # -1, which stands for none, is the last.
        stations = np.array([*self.stations, ""], dtype=object)
        causes = np.array([*self.causes, ""], dtype=object)
        states = np.array([each.words for each in State], dtype=object)
        return {
            "station": stations[station],
            "state": states[state],
            "cause": causes[cause],
            "root_station": stations[root_station],
            "root_cause": causes[root_cause],
        }
