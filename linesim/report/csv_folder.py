"""A run as tables that a spreadsheet opens. Times in seconds since the run began."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np

from linesim.files import write_text
from linesim.record import Record, State
from linesim.scenario.units import HOUR

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def write_folder(folder: Path, record: Record) -> tuple[Path, ...]:
    """Write spans, sets, reams, bridge_level and sums of a record with history.

    The folder is made if need be; files of these names in it are replaced. Raises ``OSError``
    where that cannot be done and ``ValueError`` for a record without history.
    """
    history = record.history
    if history is None:
        raise ValueError("the record has no history; run with history=True")
    folder.mkdir(parents=True, exist_ok=True)
    stations, causes = record.stations, record.causes

    def station(number: int) -> str:
        return stations[number] if number >= 0 else ""

    def cause(number: int) -> str:
        return causes[number] if number >= 0 else ""

    spans = history.spans
    rows_of_spans = (
        (
            station(s),
            State(int(state)).words,
            cause(c),
            station(root),
            cause(why),
            seconds(start),
            seconds(end),
        )
        for s, state, c, root, why, start, end in zip(
            spans.station.tolist(),
            spans.state.tolist(),
            spans.cause.tolist(),
            spans.root_station.tolist(),
            spans.root_cause.tolist(),
            spans.start_ns.tolist(),
            spans.end_ns.tolist(),
            strict=True,
        )
    )
    # What was done with before counting began is in no figure, and in no table.
    begin = record.start_ns if record.start_ns > record.begun_ns else -1
    sets = zip(
        history.set_full_ns.tolist(),
        history.set_placed_ns.tolist(),
        history.set_reams.tolist(),
        strict=True,
    )
    rows_of_sets = (
        (number, seconds(full), seconds(placed), reams)
        for number, (full, placed, reams) in enumerate((row for row in sets if row[1] > begin), 1)
    )
    wrapped = zip(
        history.ream_wrapper.tolist(),
        history.ream_start_ns.tolist(),
        history.ream_end_ns.tolist(),
        strict=True,
    )
    rows_of_reams = (
        (number, record.scenario.wrapper[by].name, seconds(start), seconds(end))
        for number, (by, start, end) in enumerate((row for row in wrapped if row[2] > begin), 1)
    )
    times, level = history.bridge_level()
    # The level with which counting began is the first.
    first = max(0, int(np.searchsorted(times, record.start_ns, "right")) - 1)
    rows_of_levels = zip(
        map(seconds, np.maximum(times[first:], record.start_ns).tolist()),
        level[first:].tolist(),
        strict=True,
    )
    rows_of_sums = (
        (
            station(key[0]),
            State(key[1]).words,
            cause(key[2]),
            station(key[3]),
            cause(key[4]),
            f"{ns / HOUR:.9f}",
        )
        for key, ns in sorted(record.sums.items())
    )
    who = ("station", "state", "cause", "root_station", "root_cause")
    tables: tuple[tuple[str, Sequence[str], Iterable[Sequence[object]]], ...] = (
        ("spans", (*who, "start_s", "end_s"), rows_of_spans),
        ("sets", ("set", "full_s", "placed_on_bridge_s", "reams"), rows_of_sets),
        ("reams", ("ream", "wrapper", "start_s", "end_s"), rows_of_reams),
        ("bridge_level", ("from_s", "reams"), rows_of_levels),
        ("sums", (*who, "hours"), rows_of_sums),
    )
    written = []
    for name, header, rows in tables:
        path = folder / f"{name}.csv"
        write_text(path, table(header, rows))
        written.append(path)
    return tuple(written)


def table(header: Sequence[str], rows: Iterable[Sequence[object]], *, separator: str = ",") -> str:
    """Rows as CSV (RFC 4180), texts made safe."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator)
    writer.writerow(header)
    for row in rows:
        writer.writerow([safe(cell) if isinstance(cell, str) else cell for cell in row])
    return out.getvalue()


def safe(text: str) -> str:
    """A text that no spreadsheet takes for a formula: an apostrophe goes before it.

    >>> safe("=1+1"), safe("wrapper jam"), safe("12.5")
    ("'=1+1", 'wrapper jam', '12.5')
    """
    if text.lstrip(" ").startswith(_FORMULA_STARTS):
        return "'" + text
    return text


def seconds(ns: int) -> str:
    """Seconds with all nine decimals, exact.

    >>> seconds(1_500_000_000)
    '1.500000000'
    """
    whole, part = divmod(abs(ns), 10**9)
    return f"{'-' if ns < 0 else ''}{whole}.{part:09d}"
