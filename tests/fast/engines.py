"""Two ways to run a line, one record: what differs between an interpreted and a compiled run."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

import numpy as np

from linesim.fast import simulate
from linesim.record import History, Record, Spans
from linesim.scenario import ForcedStop, Scenario


def differences(scenario: Scenario, **settings: Any) -> dict[str, tuple[Any, Any]]:
    """Fields of the record, and columns of its history, in which the two ways differ."""
    one, other = (
        _parts(simulate(scenario, engine=engine, **settings))
        for engine in ("interpreted", "compiled")
    )
    assert one.keys() == other.keys()
    return {name: (one[name], other[name]) for name in one if not _same(one[name], other[name])}


def _parts(record: Record) -> dict[str, Any]:
    found = {
        field.name: getattr(record, field.name)
        for field in dataclasses.fields(Record)
        if field.name != "history"
    }
    if record.history is not None:
        for part in (record.history, record.history.spans):
            for field in dataclasses.fields(part):
                if field.name != "spans":
                    kind = History if part is record.history else Spans
                    found[f"{kind.__name__}.{field.name}"] = getattr(part, field.name)
    return found


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, np.ndarray):
        return one.dtype == other.dtype and one.tobytes() == other.tobytes()
    return bool(one == other)


def of_any_line(
    seed: int, scenario: Scenario, forced: Sequence[ForcedStop], hours: float = 2.0
) -> dict[str, tuple[Any, Any]]:
    """The same with a warm-up for every other seed, good reams counted second by second."""
    return differences(
        scenario,
        seed=seed,
        hours=hours,
        warm_up_h=0.25 * (seed % 2),
        forced=forced,
        buckets=int(hours * 3600),
        history=seed % 3 > 0,
    )
