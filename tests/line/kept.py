"""What a record says, boiled down to digests that are kept, so that no figure moves unnoticed.

It is written out group by group, without regard to how Python holds it or who made it, and each
group has a digest of its own: one that differs says where to look.
"""

from __future__ import annotations

import dataclasses
import hashlib
import platform
from collections.abc import Iterable, Iterator
from functools import cache
from itertools import zip_longest
from numbers import Integral, Real
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesim.record import Record
from tests.line.kept_cases import Case

FILE = Path(__file__).with_name("kept_records.txt")

# Groups by fields of the record ...
_SUMS = {
    "accounts": ("stations", "causes", "cause_kinds", "sums", "losses"),
    "stops": ("stops",),
    "books": (
        "books.paper",
        "books.sheets",
        "books.reams",
        "books.cuts",
        "books.web_um",
        "books.cartons",
    ),
    "weights": ("books.area_um2", "books.mass_ug"),
    "counts": ("wrapped_by", "taken_out"),
    "buckets": ("good_per_bucket",),
    "orders": ("orders",),
    "supplies": ("supplies",),
    "products": ("products",),
    "times": ("start_ns", "end_ns", "begun_ns"),
}
# ... and by what columns of its history begin with.
_HISTORY = {"spans": "spans.", "sets": "set_", "reams": "ream_", "motion": "speed_"}
_HISTORY |= {"reels": "reel_", "lost": "lost_"}
_ASKED = ("scenario", "seed", "replication")
GROUPS = ("asked", *_SUMS, *_HISTORY, "rest")
"""``asked``: the case itself, no result. ``rest``: fields that no other group has."""
_NOTHING = "-"

Kept = dict[str, dict[str, str]]


def texts(case: Case, record: Record) -> dict[str, str]:
    """What a case asks and its record says, by group; no group that says nothing."""
    forced = [stop.model_dump() for stop in case.asked.get("forced", ())]
    asked = {"tables": case.tables, "asked": case.asked | {"forced": forced}}
    lines: dict[str, Iterable[str]] = {"asked": _lines(asked, "")}
    fields = {name: value for name, value in _fields(record) if name not in _ASKED}
    books = {f"books.{name}": value for name, value in _fields(fields.pop("books"))}
    fields |= books
    columns = _columns(fields.pop("history"))
    for group, names in _SUMS.items():
        there = {name: fields.pop(name) for name in names if name in fields}
        lines[group] = list(_lines(there, ""))
    for group, start in _HISTORY.items():
        names = [name for name in columns if name.startswith(start)]
        lines[group] = _rows({name: columns.pop(name) for name in names})
    lines["rest"] = [*_lines(fields, ""), *_rows(columns)]
    found = {group: "\n".join(each) for group, each in lines.items()}
    return {group: text for group, text in found.items() if text}


def digests(case: Case, record: Record) -> dict[str, str]:
    """Eight digits for each group that says something."""
    return {
        group: hashlib.sha256(text.encode()).hexdigest()[:8]
        for group, text in texts(case, record).items()
    }


def differing(found: dict[str, str], kept: dict[str, str]) -> list[str]:
    """Groups in which digests are not as they were kept."""
    return [group for group in GROUPS if found.get(group) != kept.get(group)]


@cache
def read() -> Kept:
    """The digests that were kept, by case and group."""
    head, *rows = _rows_of_file(comments=False)
    groups = head.split()[1:]
    found = {}
    for row in rows:
        name, *values = row.split()
        pairs = zip(groups, values, strict=True)
        found[name] = {group: value for group, value in pairs if value != _NOTHING}
    return found


def write(found: Kept) -> None:
    """Keep these digests."""
    rows = [made_with(), " ".join(["case", *GROUPS])]
    for name, values in found.items():
        rows.append(" ".join([name, *(values.get(group, _NOTHING) for group in GROUPS)]))
    FILE.write_text("\n".join(rows) + "\n", encoding="utf-8")


def made_with() -> str:
    """The libraries that the luck of a run and of the random lines comes from."""
    return f"# numpy {np.__version__}, Python {platform.python_version()}"


def was_made_with() -> str:
    """The same, of the kept digests."""
    return _rows_of_file(comments=True)[0]


def _rows_of_file(*, comments: bool) -> list[str]:
    rows = FILE.read_text(encoding="utf-8").splitlines()
    return [row for row in rows if row.startswith("#") == comments]


def _fields(value: Any) -> list[tuple[str, Any]]:
    """Name and value of each field, as they were when the digests were first kept."""
    found = {field.name: getattr(value, field.name) for field in dataclasses.fields(value)}
    if "taken_out" in found and len(found["taken_out"]) < 2:
        # A number then: of the one station behind the wrappers.
        found["taken_out"] = sum(found["taken_out"])
    if found.get("cartons", _NOTHING) is None:
        del found["cartons"]  # there was no such station then
    return list(found.items())


def _columns(history: Any) -> dict[str, NDArray[Any]]:
    if history is None:
        return {}
    columns = dict(_fields(history))
    spans = dict(_fields(columns.pop("spans")))
    # Which station's span is entered first where several end at once is no matter of the line.
    order = np.lexsort((spans["start_ns"], spans["station"]))
    return {f"spans.{name}": column[order] for name, column in spans.items()} | columns


def _rows(columns: dict[str, NDArray[Any]]) -> Iterator[str]:
    """A table: columns side by side, each as far as it goes."""
    if columns:
        yield " ".join(["row", *columns])
    values = [[_figure(value) for value in column.tolist()] for column in columns.values()]
    for number, row in enumerate(zip_longest(*values, fillvalue=_NOTHING)):
        yield " ".join([str(number), *row])


def _lines(value: Any, name: str) -> Iterator[str]:
    """A line for each figure and word, with the names of the fields that lead to it."""
    if dataclasses.is_dataclass(value):
        value = dict(_fields(value))
    match value:
        case dict():
            for word, key in sorted((_key(key), key) for key in value):
                yield from _lines(value[key], f"{name}.{word}" if name else word)
        case tuple() | list():
            for number, each in enumerate(value):
                yield from _lines(each, f"{name}[{number}]")
        case _:
            yield f"{name} = {_figure(value)}"


def _key(key: Any) -> str:
    return ",".join(map(_figure, key)) if isinstance(key, tuple) else _figure(key)


def _figure(value: Any) -> str:
    """A figure or a word, the same whatever type of number or enumeration holds it."""
    match value:
        case None | str():
            return str(value)
        case Integral() | np.bool_():
            return str(int(value))
        case Real():
            return repr(float(value))
    raise TypeError(f"neither figure nor word: {value!r}")
