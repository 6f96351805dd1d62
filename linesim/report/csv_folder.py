"""A run as tables that a spreadsheet opens. Times in seconds since the run began."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesim.files import write_text
from linesim.record import Record
from linesim.record.energy import KWH_PER_1000_REAMS, station_energy
from linesim.scenario.units import HOUR

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def write_folder(folder: Path, record: Record) -> tuple[Path, ...]:
    """Write spans, sets, reams, bridge_level and sums of a record with history.

    And energy, by station and state, where the power of stations is given. The folder is made if
    need be; files of these names in it are replaced. Raises ``OSError`` where that cannot be done
    and ``ValueError`` for a record without history.
    """
    tables = record.tables() | _energy(record)
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for name, columns in tables.items():
        path = folder / f"{name}.csv"
        write_text(path, table(*_in_time(columns)))
        written.append(path)
    return tuple(written)


def _energy(record: Record) -> dict[str, dict[str, NDArray[Any]]]:
    """kWh of each station in each state, and for 1,000 good reams of the line (nan: it made none).

    Nothing where no power is given.
    """
    rows = [
        (each.station, state.words, float(kwh))
        for each in station_energy(record)
        for state, kwh in each.kwh_by_state.items()
    ]
    if not rows:
        return {}
    stations, states, kwh = (np.array(column, dtype=object) for column in zip(*rows, strict=True))
    per_1000 = kwh * (1000 / (record.books.reams.good or math.nan))
    columns = {"station": stations, "state": states, "kwh": kwh, KWH_PER_1000_REAMS: per_1000}
    return {"energy": columns}


def _in_time(columns: Mapping[str, NDArray[Any]]) -> tuple[list[str], Iterator[tuple[object, ...]]]:
    """Headings and rows, ns as seconds with all their decimals and totals as hours."""
    header, values = [], []
    for name, column in columns.items():
        cells: Iterable[object] = column.tolist()
        if name == "total_ns":
            name, cells = "hours", (f"{ns / HOUR:.9f}" for ns in column.tolist())
        elif name.endswith("_ns"):
            name, cells = f"{name[:-3]}_s", map(seconds, column.tolist())
        header.append(name)
        values.append(cells)
    return header, zip(*values, strict=True)


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
