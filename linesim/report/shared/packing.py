"""Columns of whole numbers and texts as short strings of letters, for a file that is mailed.

A number is written in digits of base 64, the last of them first: five bits each, and one that says
whether more follow (the variable-length quantity of source maps, ECMA-426). Nothing is compressed
by a library: its version would show in the bytes. ``unpack.js`` beside the page reads it again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import chain

import numpy as np
from numpy.typing import NDArray

_DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
Numbers = Sequence[int] | NDArray[np.int64]


def packed_numbers(numbers: Iterable[int]) -> str:
    """Numbers from 0 on, one after another.

    >>> packed_numbers([0, 31, 32])
    'AfgB'
    """
    digits: list[str] = []
    for number in numbers:
        while number > 31:
            digits.append(_DIGITS[32 + number % 32])
            number //= 32
        digits.append(_DIGITS[number])
    return "".join(digits)


def packed_column(values: Numbers) -> str:
    """A column of numbers as its steps; a step that comes several times stands once.

    A step s is 2s, or -2s - 1 below 0, doubled; one more where a number follows that says how
    many times more it comes.
    """
    steps = np.diff(np.asarray(values, dtype=np.int64), prepend=0)
    first = np.flatnonzero(np.append(True, steps[1:] != steps[:-1])) if len(steps) else steps
    times = np.diff(np.append(first, len(steps)))
    found: list[int] = []
    for step, more in zip(steps[first].tolist(), (times - 1).tolist(), strict=True):
        sign = 2 * step if step >= 0 else -2 * step - 1
        found += [2 * sign + 1, more] if more else [2 * sign]
    return packed_numbers(found)


def packed_changes(from_ms: Numbers, values: Numbers, at_ms: Numbers) -> str:
    """From when on which value, told by the last of ``at_ms`` before: most changes are at one.

    So many of these moments on, doubled, and one more where a number follows that says how many
    ms after it; then the value, from 0 on.
    """
    times, at = np.asarray(from_ms), np.asarray(at_ms)
    place = np.searchsorted(at, times, side="right") - 1
    rows = zip(
        np.diff(place, prepend=0).tolist(), (times - at[place]).tolist(), values, strict=True
    )
    found: list[int] = []
    for on, after, value in rows:
        found += [2 * on + 1, after, int(value)] if after else [2 * on, int(value)]
    return packed_numbers(found)


class Texts:
    """Texts by number, each kept once."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    def number(self, text: str) -> int:
        """The number of a text, given at its first use."""
        return self._numbers.setdefault(text, len(self._numbers))

    def packed(self) -> dict[str, str]:
        """All: their words, the commonest first, and for each text how many and which."""
        split = [text.split(" ") for text in self._numbers]
        counts = Counter(chain.from_iterable(split))
        # Of words used equally often the first one met: a dictionary keeps that order.
        words = sorted(counts, key=lambda word: -counts[word])
        place = {word: number for number, word in enumerate(words)}
        rows = (chain([len(text)], (place[word] for word in text)) for text in split)
        return {
            "words": " ".join(words),
            "rows": packed_numbers(chain.from_iterable(rows)),
        }
