"""A record as tables: columns by name, for files, for frames and for whoever calculates on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from linesim.record.states import State

if TYPE_CHECKING:
    from linesim.record.record import Record

Columns = dict[str, NDArray[Any]]
_STATES = np.array([state.words for state in State], dtype=object)


def record_tables(record: Record) -> dict[str, Columns]:
    """``spans``, ``sets``, ``reams`` and ``bridge_level`` of a run with a history, and ``sums``.

    Times are whole ns since counting began to be possible: time 0 of the record. What was done with
    before counting began is left out. Raises ``ValueError`` for a record without history.
    """
    history = record.history
    if history is None:
        raise ValueError("the record has no history; run with history=True")
    spans = history.spans
    who = (spans.station, spans.state, spans.cause, spans.root_station, spans.root_cause)
    begin = record.start_ns if record.start_ns > record.begun_ns else -1
    full_ns = history.set_full_ns[: len(history.set_placed_ns)]
    sets = history.set_placed_ns > begin
    reams = history.ream_end_ns > begin
    wrappers = np.array([wrapper.name for wrapper in record.scenario.wrapper], dtype=object)
    at_ns, level = history.bridge_level()
    # The level with which counting began is the first.
    first = max(0, int(np.searchsorted(at_ns, record.start_ns, "right")) - 1)
    sums = sorted(record.sums.items())
    keys = np.array([key for key, _ in sums], dtype=np.int64).reshape(-1, 5).T
    return {
        "spans": {
            **_named(record, *who),
            "start_ns": spans.start_ns,
            "end_ns": spans.end_ns,
        },
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
            "from_ns": np.maximum(at_ns[first:], record.start_ns),
            "reams": level[first:],
        },
        "sums": {
            **_named(record, *keys),
            "total_ns": np.array([ns for _, ns in sums], dtype=np.int64),
        },
    }


def in_seconds(columns: Columns) -> Columns:
    """The columns with those in ns as seconds, and named so."""
    return {
        f"{name[:-3]}_s" if name.endswith("_ns") else name: values / 1e9
        if name.endswith("_ns")
        else values
        for name, values in columns.items()
    }


def _named(record: Record, *numbers: NDArray[Any]) -> Columns:
    station, state, cause, root_station, root_cause = numbers
    # -1, which stands for none, is the last.
    stations = np.array([*record.stations, ""], dtype=object)
    causes = np.array([*record.causes, ""], dtype=object)
    return {
        "station": stations[station],
        "state": _STATES[state],
        "cause": causes[cause],
        "root_station": stations[root_station],
        "root_cause": causes[root_cause],
    }
