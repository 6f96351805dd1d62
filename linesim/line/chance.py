"""Luck: one stream of draws for each thing that can happen, named after it.

A stream depends on the seed, the replication and its own name and on nothing else, so that two
variants of a line meet the same luck: the k-th stop of a cause uses the k-th draws whatever else
changed. numpy's ``SeedSequence`` keeps the streams independent. What one run has drawn is kept
for the variants that come after it, and for both ways of running: numpy and scipy make every
value, once.
"""

from __future__ import annotations

import hashlib
import math
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesim.line.line import Line
from linesim.line.typed import Aside, Row, outside
from linesim.scenario.laws import AnyLaw, Constant

_FIRST_BLOCK = 16
_LARGEST_BLOCK = 1024
_MOST = 4e18
_KEPT_STREAMS = 1 << 14
"""Streams kept for later runs."""

MORE_DRAWS = 0
"""What Python is asked for when the draws of a stream are used up."""

FIRST_OF_SEVERAL = {"wrapper": "wrapper 1", "carton_packer": "carton packer 1"}
"""What the only one of a kind is called once there is another: it keeps its luck."""
_KNOWN_AS = {new: old for old, new in FIRST_OF_SEVERAL.items()}


class Kept(Row[int]):
    """Numbers made by numpy, as compiled code reads them (``array``); Python lists them first."""

    __slots__ = ("address", "array")

    def __init__(self, array: NDArray[np.int64]) -> None:
        super().__init__("draws", len(array))
        self.array = array
        self.address = int(array.ctypes.data)

    def listed(self) -> Kept:
        """Itself, ready to be read as a list."""
        if not self and len(self.array):
            self.extend(self.array.tolist())
        return self


NOTHING = Kept(np.zeros(0, np.int64))


@dataclass(slots=True)
class Stream:
    """Whole-number draws, in a fine unit (ns, um, pieces; 0 or 1 for a chance), at least 0."""

    number: int
    constant: int
    """What every draw is; -1: they differ."""
    values: Row[int]
    """Those drawn so far."""
    next: int
    """Which of them is the next."""
    source: Aside[Source]


def draw(line: Line, stream: Stream) -> int:
    """The next value of a stream."""
    if stream.constant >= 0:
        return stream.constant
    if stream.next >= len(stream.values):
        outside(line, MORE_DRAWS, stream.number)
    value = stream.values[stream.next]
    stream.next += 1
    return value


def falls(line: Line, coin: Stream) -> bool:
    """Whether a chance comes true. One that cannot draws all the same."""
    return draw(line, coin) != 0


class Source:
    """Where the values of one stream come from, and those made so far."""

    def __init__(
        self,
        bits: Callable[[], np.random.Generator],
        made_of: Callable[[NDArray[np.float64]], NDArray[Any]],
        first_block: int = _FIRST_BLOCK,
    ) -> None:
        self._begin, self._made_of, self._block = bits, made_of, first_block
        self._bits: np.random.Generator | None = None
        self._lock = Lock()
        self.values = NOTHING
        self.first_luck = 0.0
        """The uniform draw behind the first value."""

    def more(self, than: int) -> Kept:
        """At least one value beyond the first ``than``."""
        with self._lock:
            while len(self.values.array) <= than:
                if self._bits is None:
                    self._bits = self._begin()  # most of what could happen never does
                luck = self._bits.random(self._block)
                if not len(self.values.array):
                    self.first_luck = float(luck[0])
                self._block = min(self._block * 2, _LARGEST_BLOCK)
                self.values = Kept(np.concatenate([self.values.array, self._made_of(luck)]))
            return self.values


@dataclass(frozen=True)
class _Geometric:
    """Pieces up to and with the first that is hit, each with the same chance."""

    per_piece: float

    def quantile(self, u: NDArray[np.float64]) -> NDArray[np.float64]:
        if self.per_piece == 1.0:
            return np.ones_like(u)
        pieces = np.ceil(np.log1p(-u) / np.log1p(-self.per_piece))
        return np.asarray(np.maximum(1.0, pieces))


class Chance:
    """All the luck of one run."""

    def __init__(self, seed: int, replication: int) -> None:
        self._seed = seed
        self._replication = replication
        self.streams: list[Stream] = []
        """All that were asked for, by number."""

    def bits(self, *name: str | int) -> np.random.Generator:
        """The generator that belongs to ``name``, from its start."""
        if name[0] in _KNOWN_AS:
            name = (_KNOWN_AS[str(name[0])], *name[1:])
        digest = hashlib.sha256("\x1f".join(str(part) for part in name).encode()).digest()
        words = np.frombuffer(digest[:16], dtype="<u4").tolist()
        sequence = np.random.SeedSequence(
            self._seed, spawn_key=(self._replication, *(int(word) for word in words))
        )
        return np.random.Generator(np.random.PCG64(sequence))

    def kept(self, made: Callable[[], Any], *key: Any) -> Any:
        """What ``made`` makes of this luck and ``key`` alone: made once, while it is kept."""
        return _KEPT.get((self._seed, self._replication, *key), made)

    def uniform(self, *name: str | int) -> float:
        """The first uniform draw of a name of its own."""
        return float(self.kept(lambda: float(self.bits(*name).random()), "uniform", *name))

    def stream(self, law: AnyLaw, unit: float, *name: str | int) -> Stream:
        """Draws from ``law`` in multiples of 1/``unit``."""
        constant = round(min(law.mean * unit, _MOST)) if isinstance(law, Constant) else -1
        return self._new(constant, self._of_law(law, unit, *name))

    def gaps(self, per_piece: float, *name: str | int) -> Stream:
        """Pieces from one rare event to the next, at ``per_piece`` chance (above 0)."""
        return self._new(-1, self._of_law(_Geometric(min(per_piece, 1.0)), 1, *name))

    def _of_law(self, law: Any, unit: float, *name: str | int) -> Source:
        def values(luck: NDArray[np.float64]) -> NDArray[np.int64]:
            values = np.minimum(law.quantile(luck) * unit, _MOST)
            return np.asarray(np.rint(values), dtype=np.int64)

        # Its numbers, not the law: a table takes long to tell whether it is like another.
        key = (type(law), *vars(law).values())
        made: Source = self.kept(lambda: Source(lambda: self.bits(*name), values), key, unit, *name)
        return made

    def coin(self, chance: float, *name: str | int) -> Stream:
        """A chance of its own: draws of 1 where it comes true, 0 where not."""
        source = self.kept(
            lambda: Source(
                lambda: self.bits(*name),
                lambda luck: (luck < chance).astype(np.int64),
                4 * _FIRST_BLOCK,
            ),
            "coin",
            chance,
            *name,
        )
        certain = int(chance) if chance <= 0.0 or chance >= 1.0 else -1
        return self._new(certain, source)

    def none(self) -> Stream:
        """A stream for what never happens."""
        return self._new(0, Source(np.random.default_rng, np.zeros_like))

    def _new(self, constant: int, source: Source) -> Stream:
        stream = Stream(len(self.streams), constant, source.values, 0, source)
        self.streams.append(stream)
        return stream


def first_draw(stream: Stream) -> int:
    """The first value of a stream, at least 1, before any is drawn in the run."""
    if stream.constant >= 0:
        return max(1, stream.constant)
    values = stream.source.more(0)
    stream.values = values
    stream.next = 1
    return max(1, int(values.array[0]))


def first_of_luck(stream: Stream, unit: float, value: Callable[[float], float]) -> int:
    """The first value, made by ``value`` of the draw that the law would have made one of.

    It is at least 1 in the fine unit. To be called before any other draw.
    """
    values = stream.source.more(0)
    if stream.constant < 0:
        stream.values = values
        stream.next = 1
    return max(1, math.ceil(min(value(stream.source.first_luck) * unit, _MOST)))


class _Keeper:
    """Keeps what was made, the longest unused going first where it becomes too much."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._things: OrderedDict[Any, Any] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Any, made: Callable[[], Any]) -> Any:
        with self._lock:
            if key in self._things:
                self._things.move_to_end(key)
                return self._things[key]
        thing = made()
        with self._lock:
            thing = self._things.setdefault(key, thing)
            if len(self._things) > self._most:
                self._things.popitem(last=False)
        return thing


_KEPT = _Keeper(_KEPT_STREAMS)
