"""What compiled code asks of Python while it runs: draws of the streams, and reels of the store."""

from __future__ import annotations

import ctypes
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from linesim.fast import layout
from linesim.line.chance import Coin, Stream
from linesim.line.stand import Stand

_CALLED = ctypes.CFUNCTYPE(None, ctypes.c_int64)


class GivenUpError(RuntimeError):
    """The run needs more room than the compiled engine has; the SimPy line can make it."""


def must_have_room(count: int, most: int, fault: int) -> None:
    """Give the run up where it needs more places than a list of the state has."""
    if count > most:
        raise GivenUpError(layout.FAULTS[fault])


class Feeds:
    """The streams of a line by number, and its stands, for one flat state."""

    def __init__(self, state: Any, stands: Sequence[Stand]) -> None:
        self._s = state
        self._stands = stands
        self.error: BaseException | None = None
        """What went wrong in Python while compiled code waited."""
        self._draws_of: list[Stream | Coin] = []
        self._number: dict[int, int] = {}
        self._blocks = np.zeros((0, layout.BLOCK), np.int64)

    def begin(self) -> None:
        """All streams are named: compiled code may draw and ask from now on."""
        s = self._s
        must_have_room(len(self._draws_of), layout.STREAMS, layout.TOO_MANY_STREAMS)
        self._blocks = np.empty((max(1, len(self._draws_of)), layout.BLOCK), np.int64)
        for number, source in enumerate(self._draws_of):
            self._begin_stream(number, source)
        s["draws_at"] = self._blocks.ctypes.data
        self._calls = [_CALLED(self._guarded(self._refill)), _CALLED(self._guarded(self._fetch))]
        s["refill_at"] = ctypes.cast(self._calls[0], ctypes.c_void_p).value
        s["fetch_at"] = ctypes.cast(self._calls[1], ctypes.c_void_p).value

    def number_of(self, source: Stream | Coin) -> int:
        """The number of a stream, given to it when it is first named."""
        key = id(source)
        if key not in self._number:
            self._number[key] = len(self._draws_of)
            self._draws_of.append(source)
        return self._number[key]

    def _begin_stream(self, number: int, source: Stream | Coin) -> None:
        s = self._s
        s["n_const"][number] = -1
        if isinstance(source, Stream):
            if source.constant is not None:
                s["n_const"][number] = source.constant
            left = source.block[source.next :]
            self._blocks[number, : len(left)] = left
            s["n_have"][number] = len(left)

    def _refill(self, number: int) -> None:
        source, s = self._draws_of[number], self._s
        if isinstance(source, Stream):
            source.next = len(source.block)
            source.draw()
            block: Any = source.block
        else:
            block = source.bits.random(64) < source.chance
        self._blocks[number, : len(block)] = block
        s["n_have"][number] = len(block)
        s["n_next"][number] = 0

    def _fetch(self, web: int) -> None:
        stand, s = self._stands[web], self._s
        lengths: list[int] = []
        joints: list[int] = []
        counts: list[int] = []
        while len(lengths) < layout.STOCK and len(joints) + layout.JOINTS <= layout.STOCK_JOINTS:
            reel = stand.fetch()
            lengths.append(reel.length_um)
            counts.append(len(reel.joints_um))
            joints += reel.joints_um
        must_have_room(max(counts), layout.JOINTS, layout.TOO_MANY_JOINTS)
        n = len(lengths)
        s["u_stock_um"][web, :n] = lengths
        s["u_stock_joints"][web, :n] = counts
        s["u_stock_from"][web, :n] = np.cumsum([0, *counts[:-1]])
        s["u_stock_joint"][web, : len(joints)] = joints
        s["u_stock_i"][web], s["u_stock_n"][web] = 0, n

    def _guarded(self, call: Callable[[int], None]) -> Callable[[int], None]:
        def guarded(number: int) -> None:
            try:
                call(number)
            except BaseException as error:  # it cannot pass through compiled code
                self.error = error
                self._s["fault"] = -1

        return guarded
