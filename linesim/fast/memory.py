"""A line in flat memory: its records laid out one after another, and read back from there.

Every record has its place, found by the object that stands for it in Python; the values of a row
lie in a block of their own, or, where numpy made them, where numpy has them.
"""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from operator import attrgetter
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesim.fast.layout import (
    FRACTION,
    REFERENCED,
    ROW,
    ROW_COUNT,
    ROW_WORDS,
    WHOLE,
    WITHIN,
    WORD,
    Kind,
    layout_of,
)
from linesim.line.chance import Kept
from linesim.line.typed import Row


@dataclass(frozen=True)
class _Shape:
    """How a record is written and read at one go, the records within it included."""

    packing: struct.Struct
    """Its numbers, with room for the rest."""
    numbers: tuple[str, ...]
    """Names of these, from the record."""
    get: Callable[[Any], Any]
    within: tuple[tuple[int, Callable[[Any], Any]], ...]
    """Place (words) and getter of every record within it."""
    references: tuple[tuple[int, Callable[[Any], Any], str], ...]
    """Place, getter and name of every one."""
    rows: tuple[tuple[int, Callable[[Any], Any], Kind, int], ...]
    """Place and getter, kind and words of a value."""
    words: int


def _flat(record: type, prefix: str = "", at: int = 0) -> Iterator[tuple[int, str, Kind]]:
    """Place (words), dotted name and kind of all fields, those of records within it included."""
    for field in layout_of(record).by_name.values():
        place, name = at + field.offset // WORD, prefix + field.name
        yield place, name, field.kind
        if field.kind.form == WITHIN:
            yield from _flat(field.kind.of, name + ".", place)


_ROW = struct.Struct(f"<{ROW_WORDS}q")
_CODES = {WHOLE: "q", FRACTION: "d", REFERENCED: f"{WORD}x", ROW: f"{ROW_WORDS * WORD}x"}


@cache
def _shape_of(record: Any) -> _Shape:
    fields = list(_flat(record))
    numbers = tuple(name for _, name, kind in fields if kind.form in (WHOLE, FRACTION))
    getter = attrgetter(*numbers) if numbers else lambda record: ()
    one = len(numbers) == 1
    return _Shape(
        struct.Struct("<" + "".join(_CODES[k.form] for _, _, k in fields if k.form in _CODES)),
        numbers,
        (lambda record: (getter(record),)) if one else getter,
        tuple((at, attrgetter(name)) for at, name, kind in fields if kind.form == WITHIN),
        tuple((at, attrgetter(name), name) for at, name, k in fields if k.form == REFERENCED),
        tuple(
            (at, attrgetter(name), k.of, k.of.size // WORD)
            for at, name, k in fields
            if k.form == ROW
        ),
        layout_of(record).size // WORD,
    )


def _shape(record: Any) -> _Shape:
    return _shape_of(type(record))  # type: ignore[arg-type]  # a class can be hashed


class Memory:
    """A record, with all that belongs to it, at ``address``."""

    def __init__(self, record: Any) -> None:
        self._place_of: dict[int, int] = {}
        """Of each record, by its identity; words from the beginning."""
        self._record_at: dict[int, Any] = {}
        self._values_at: dict[int, int] = {}
        """Of each row, by its identity."""
        self._records: list[tuple[Any, int]] = []
        self._words = 0
        self._place(record, self._reserve(_shape(record).words))
        self._memory: NDArray[np.int64] = np.zeros(self._words, dtype=np.int64)
        self._fractions = self._memory.view(np.float64)
        self._bytes = memoryview(self._memory.view(np.uint8))  # type: ignore[arg-type]
        self.address = int(self._memory.ctypes.data)
        for each, place in self._records:
            self._write(each, place)

    # -- writing -------------------------------------------------------------------------------

    def _reserve(self, words: int) -> int:
        place, self._words = self._words, self._words + words
        return place

    def _place(self, record: Any, place: int) -> None:
        shape = _shape(record)
        self._records.append((record, place))
        self._name(record, place)
        for at, get in shape.within:
            self._name(get(record), place + at)
        for _, get, kind, words in shape.rows:
            row = get(record)
            if isinstance(row, Kept):
                continue
            values = self._values_at[id(row)] = self._reserve(row.most * words)
            if kind.form == WITHIN:
                for i, each in enumerate(row):
                    self._place(each, values + i * words)

    def _name(self, record: Any, place: int) -> None:
        self._place_of[id(record)] = place
        self._record_at[place] = record

    def _write(self, record: Any, place: int) -> None:
        shape = _shape(record)
        shape.packing.pack_into(self._bytes, place * WORD, *shape.get(record))
        for at, get, _ in shape.references:
            self._memory[place + at] = self._address_of(get(record))
        for at, get, kind, _ in shape.rows:
            self._write_row(get(record), place + at, kind)

    def _address_of(self, record: Any) -> int:
        return self.address + self._place_of[id(record)] * WORD

    def _write_row(self, row: Row[Any], place: int, kind: Kind) -> None:
        if isinstance(row, Kept):
            count = len(row.array)
            _ROW.pack_into(self._bytes, place * WORD, row.address, count, count, row.code)
            return
        values, count = self._values_at[id(row)], len(row)
        address = self.address + values * WORD
        _ROW.pack_into(self._bytes, place * WORD, address, count, row.most, row.code)
        if not count or kind.form == WITHIN:
            return
        if kind.form == REFERENCED:
            self._memory[values : values + count] = [self._address_of(each) for each in row]
        elif any(row):
            self._of(kind)[values : values + count] = row

    def point(self, record: Any, name: str, kept: Kept) -> None:
        """A row of a record is another one now."""
        setattr(record, name, kept)
        self._write_row(kept, self._field(record, name), Kind(WHOLE))

    # -- reading -------------------------------------------------------------------------------

    def _field(self, record: Any, name: str) -> int:
        fields = layout_of(type(record)).by_name  # type: ignore[arg-type]
        return self._place_of[id(record)] + fields[name].offset // WORD

    def number(self, record: Any, name: str) -> int:
        """A whole number of a record, as it is now."""
        return int(self._memory[self._field(record, name)])

    def set_number(self, record: Any, name: str, value: int) -> None:
        """Change it."""
        self._memory[self._field(record, name)] = value

    def values(self, record: Any, name: str) -> NDArray[Any]:
        """The values of a row of numbers, as they are now, 64 bits each."""
        count = self._memory[self._field(record, name) + ROW_COUNT]
        values = self._values_at[id(getattr(record, name))]
        kind = layout_of(type(record)).by_name[name].kind.of  # type: ignore[arg-type]
        return self._of(kind)[values : values + count]

    def _of(self, kind: Kind) -> NDArray[Any]:
        return self._fractions if kind.form == FRACTION else self._memory

    def taken(self, record: Any, name: str) -> NDArray[Any]:
        """The same; the row is empty from then on."""
        values = self.values(record, name).copy()
        self._memory[self._field(record, name) + ROW_COUNT] = 0
        return values

    def fetch(self, record: Any) -> None:
        """Bring a record, and all that belongs to it, up to what is in memory."""
        place = self._place_of[id(record)]
        shape = _shape(record)
        found = shape.packing.unpack_from(self._bytes, place * WORD)
        for name, value in zip(shape.numbers, found, strict=True):
            owner, _, field = name.rpartition(".")
            setattr(attrgetter(owner)(record) if owner else record, field, value)
        for at, _, name in shape.references:
            owner, _, field = name.rpartition(".")
            referred = self._record_at[(int(self._memory[place + at]) - self.address) // WORD]
            setattr(attrgetter(owner)(record) if owner else record, field, referred)
        for at, get, kind, _ in shape.rows:
            self._fetch_row(get(record), place + at, kind)

    def _fetch_row(self, row: Row[Any], place: int, kind: Kind) -> None:
        if isinstance(row, Kept):
            return
        if kind.form == WITHIN:
            for each in row:
                self.fetch(each)
            return
        values, count = self._values_at[id(row)], int(self._memory[place + ROW_COUNT])
        if kind.form == REFERENCED:
            addresses = self._memory[values : values + count].tolist()
            row[:] = [self._record_at[(each - self.address) // WORD] for each in addresses]
        else:
            row[:] = self._of(kind)[values : values + count].tolist()
