"""What the state of a line is made of: records with named fields, and rows.

A record is a dataclass with slots. Its fields are whole numbers, numbers with a fraction, flags,
other records, references to records that belong to somebody else (``Ref``) and rows (``Row``).
Interpreted, all this is ordinary Python; compiled, it lies in flat memory, and the same functions
work on it there. A field marked ``Aside`` is for Python alone.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Annotated, TypeVar

if TYPE_CHECKING:
    from linesim.line.line import Line

T = TypeVar("T")

REFERENCE = "reference"
ASIDE = "aside"
Ref = Annotated[T, REFERENCE]
"""A record that belongs to somebody else."""
Aside = Annotated[T, ASIDE]
"""Not there for compiled code."""


class Row(list[T]):
    """A list of numbers, records or references with room for ``most`` of them.

    Rows of records have all they will ever have from the beginning; the others are lengthened by
    :func:`add` alone. ``what`` says in the plural what they are, where one is too long.
    """

    __slots__ = ("code", "most")

    def __init__(self, what: str, most: int, values: Iterable[T] = ()) -> None:
        super().__init__(values)
        self.most = most
        if what not in _WORDS:
            _WORDS.append(what)
        self.code = _WORDS.index(what)
        """Number, above 0, of what they are."""


_WORDS = [""]
"""What rows are of, by code."""


def words_of(code: int) -> str:
    """What a row of that code is of."""
    return _WORDS[code]


BACKWARDS, LATE = 1, 2
MISTAKES = {
    BACKWARDS: "a station's account would have a span of time that ends before it begins",
    LATE: "a stop, a roll or a spoiled ream of the packing end was worked out after its moment",
}
"""Of the rules, in words."""


class RunGivenUpError(ValueError):
    """A run needs more room than it was given; says of what."""


def add(line: Line, row: Row[T], *values: T) -> None:
    """One or more at the end of a row. Where there is no room the run is given up."""
    if len(row) + len(values) > row.most:
        line.given_up = row.code
    else:
        row.extend(values)


def shorten(row: Row[T], count: int) -> None:
    """Only the first ``count`` of a row stay."""
    del row[count:]


def outside(line: Line, what: int, number: int) -> None:
    """Ask Python for something that only Python has: draws, reels, room for more history."""
    line.helper(what, number)
