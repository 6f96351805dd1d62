"""Luck: one stream of draws for each thing that can happen, named after it.

A stream depends on the seed, the replication and its own name and on nothing else, so that two
variants of a line meet the same luck: the k-th stop of a cause uses the k-th draws whatever else
changed. numpy's ``SeedSequence`` keeps the streams independent.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from linesim.scenario.laws import AnyLaw, Constant

_FIRST_BLOCK = 16
_LARGEST_BLOCK = 1024
_MOST = 4e18

FIRST_OF_SEVERAL = "wrapper 1"
"""What the wrapper called ``wrapper`` is called once there is another: it keeps its luck."""


class _Geometric:
    """Pieces up to and with the first that is hit, each with the same chance."""

    def __init__(self, per_piece: float) -> None:
        self._per_piece = per_piece

    def quantile(self, u: NDArray[np.float64]) -> NDArray[np.float64]:
        if self._per_piece == 1.0:
            return np.ones_like(u)
        pieces = np.ceil(np.log1p(-u) / np.log1p(-self._per_piece))
        return np.asarray(np.maximum(1.0, pieces))


class Stream:
    """Whole-number draws from a law: the k-th call gives the k-th value."""

    def __init__(self, law: AnyLaw | _Geometric, unit: float, bits: np.random.Generator) -> None:
        self.law = law
        self.constant = round(law.mean * unit) if isinstance(law, Constant) else None
        self._unit = unit
        self._bits = bits
        self.block: list[int] = []
        """Values drawn from the law ahead of their use."""
        self.next = 0
        """Which of them is the next."""
        self._size = _FIRST_BLOCK

    def draw(self) -> int:
        """The next value, in the fine unit (ns, um, pieces), at least 0."""
        if self.constant is not None:
            return self.constant
        if self.next == len(self.block):
            self._fill()
        value = self.block[self.next]
        self.next += 1
        return value

    def first(self, value: Callable[[float], float]) -> int:
        """The first value, made by ``value`` of the draw that the law would have made one of.

        It is at least 1 in the fine unit. To be called before any other draw.
        """
        luck = self._fill() if self.constant is None else float(self._bits.random())
        self.next = len(self.block) and 1
        return max(1, math.ceil(min(value(luck) * self._unit, _MOST)))

    def _fill(self) -> float:
        """Draw the next block; the uniform draw behind its first value."""
        luck = self._bits.random(self._size)
        values = self.law.quantile(luck) * self._unit
        self.block = np.rint(np.minimum(values, _MOST)).astype(np.int64).tolist()
        self.next = 0
        self._size = min(self._size * 2, _LARGEST_BLOCK)
        return float(luck[0])


class Coin:
    """Chances: the k-th call answers with the k-th draw of its stream."""

    def __init__(self, chance: float, bits: np.random.Generator) -> None:
        self.chance = chance
        self.bits = bits

    def falls(self) -> bool:
        """True with the coin's chance. A coin that cannot fall draws all the same."""
        return bool(self.bits.random() < self.chance)


class Chance:
    """All the luck of one run."""

    def __init__(self, seed: int, replication: int) -> None:
        self._seed = seed
        self._replication = replication

    def bits(self, *name: str | int) -> np.random.Generator:
        """The generator that belongs to ``name``, from its start."""
        if name[0] == FIRST_OF_SEVERAL:
            name = ("wrapper", *name[1:])
        digest = hashlib.sha256("\x1f".join(str(part) for part in name).encode()).digest()
        words = np.frombuffer(digest[:16], dtype="<u4").tolist()
        sequence = np.random.SeedSequence(
            self._seed, spawn_key=(self._replication, *(int(word) for word in words))
        )
        return np.random.Generator(np.random.PCG64(sequence))

    def stream(self, law: AnyLaw, unit: float, *name: str | int) -> Stream:
        """Draws from ``law`` in multiples of 1/``unit``."""
        return Stream(law, unit, self.bits(*name))

    def gaps(self, per_piece: float, *name: str | int) -> Stream | None:
        """Pieces from one rare event to the next, at ``per_piece`` chance; None if it is 0."""
        if per_piece <= 0:
            return None
        return Stream(_Geometric(min(per_piece, 1.0)), 1, self.bits(*name))

    def coin(self, chance: float, *name: str | int) -> Coin:
        """A chance of its own."""
        return Coin(chance, self.bits(*name))
