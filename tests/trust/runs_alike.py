"""Whether two runs are the same, to the byte; and the same but for when they were."""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Iterable
from dataclasses import fields
from typing import Any

import numpy as np

from linesim.record import Record

DAY_H = 24
H = 3_600_000_000_000


def summary_digest(record: Record) -> str:
    """Digest of all a run without history says; the scenario's own words are left out."""
    kept = [f.name for f in fields(Record) if f.name not in ("scenario", "history")]
    return _digest(f"{name}={getattr(record, name)!r}".encode() for name in kept)


def history_digest(record: Record) -> str:
    """Digest of the columns of a run with history: names, types and every value."""
    return _digest(
        b"%s %s %s" % (name.encode(), str(column.dtype).encode(), column.tobytes())
        for name, column in columns(record).items()
    )


def columns(record: Record) -> dict[str, np.ndarray]:
    """All columns of the history."""
    history = record.history
    assert history is not None
    found = {f"spans.{f.name}": getattr(history.spans, f.name) for f in fields(history.spans)}
    return found | {f.name: getattr(history, f.name) for f in fields(history) if f.name != "spans"}


def _digest(parts: Iterable[bytes]) -> str:
    digest = hashlib.sha256()
    for part in parts:
        digest.update(part + b"\x1f")
    return digest.hexdigest()


def what_differs(one: Record, other: Record) -> list[str]:
    """Names of the parts in which two runs differ."""
    kept = [f.name for f in fields(Record) if f.name not in ("scenario", "history")]
    found = [name for name in kept if getattr(one, name) != getattr(other, name)]
    if one.history is not None and other.history is not None:
        others = columns(other)
        found += [
            name
            for name, column in columns(one).items()
            if not np.array_equal(column, others[name])
        ]
    return found


def back(record: Record, by: int) -> Record:
    """The same run, every moment after the first day so much earlier."""

    def earlier(at: Any) -> Any:
        return at if at is None or at < DAY_H * H else at - by

    history = record.history
    assert history is not None
    times = {
        name: np.where(column < DAY_H * H, column, column - by)
        for name, column in columns(record).items()
        if name.endswith("_ns") and not name.startswith("spans.")
    }
    spans = dataclasses.replace(
        history.spans,
        start_ns=np.where(
            history.spans.start_ns < DAY_H * H,
            history.spans.start_ns,
            history.spans.start_ns - by,
        ),
        end_ns=history.spans.end_ns - by,
    )
    return dataclasses.replace(
        record,
        start_ns=record.start_ns - by,
        end_ns=record.end_ns - by,
        products=tuple(
            dataclasses.replace(part, start_ns=earlier(part.start_ns), end_ns=earlier(part.end_ns))
            for part in record.products
        ),
        orders=tuple(
            dataclasses.replace(
                order,
                begun_ns=earlier(order.begun_ns),
                cut_ns=earlier(order.cut_ns),
                wrapped_ns=earlier(order.wrapped_ns),
            )
            for order in record.orders
        ),
        supplies=dataclasses.replace(
            record.supplies,
            reels=tuple(
                dataclasses.replace(move, at_ns=earlier(move.at_ns))
                for move in record.supplies.reels
            ),
            rolls=tuple(
                dataclasses.replace(roll, at_ns=earlier(roll.at_ns))
                for roll in record.supplies.rolls
            ),
        ),
        history=dataclasses.replace(history, spans=spans, **times),
    )
