"""Long columns of times, reduced to what the pixels of a strip can show.

Cost of a reduction grows with the pixels and only with the logarithm of the rows, so that a year
pans as a minute does.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Times = NDArray[np.int64]
_PER_BLOCK = 16
_STRIDE = 256
_LONG = 100_000


class Sorted:
    """Moments in order, and how many of them are not after given ones.

    As ``np.searchsorted``, in two steps: in a year of moments its last halvings each wait for
    memory, while every 256th moment of them fits near the processor.
    """

    def __init__(self, moments_ns: Times) -> None:
        self._all = moments_ns
        self._few = moments_ns[::_STRIDE].copy() if len(moments_ns) > _LONG else None

    def until(self, edges_ns: Times) -> NDArray[np.intp]:
        """How many moments are at or before each edge."""
        if self._few is None:
            return np.searchsorted(self._all, edges_ns, side="right")
        last = len(self._all) - 1
        block = np.searchsorted(self._few, edges_ns, side="right") - 1
        row = np.maximum(block, 0) * _STRIDE - 1
        step = _STRIDE // 2
        while step:
            there = np.minimum(row + step, last)
            row = np.where(self._all[there] <= edges_ns, there, row)
            step //= 2
        there = np.minimum(row + 1, last)
        found: NDArray[np.intp] = np.where(self._all[there] <= edges_ns, there, row) + 1
        return found


class TimeIn:
    """How long something was so, between any two moments; from its spans in order of time."""

    def __init__(self, start_ns: Times, end_ns: Times) -> None:
        self._start, self._end = start_ns, end_ns
        self._starts = Sorted(start_ns)
        self._before = np.concatenate([[0], np.cumsum(end_ns - start_ns)])

    def __len__(self) -> int:
        return len(self._start)

    def until(self, edges_ns: Times) -> Times:
        """Time in it before each moment, ns."""
        if not len(self._start):
            return np.zeros(len(edges_ns), dtype=np.int64)
        row = self._starts.until(edges_ns) - 1
        at = np.maximum(row, 0)
        inside = np.minimum(edges_ns, self._end[at]) - self._start[at]
        return np.where(row < 0, 0, self._before[at] + inside)

    def shares(self, edges_ns: Times) -> NDArray[np.float64]:
        """The part of each interval between two edges, 0 to 1."""
        length = np.maximum(1, np.diff(edges_ns))
        shares: NDArray[np.float64] = np.diff(self.until(edges_ns)) / length
        return shares

    def short(self, edges_ns: Times, shorter_than_ns: int, most: int) -> Times:
        """Middles of the spans on screen that are shorter; none where there are more than most."""
        first, last = int(edges_ns[0]), int(edges_ns[-1])
        begin, end = self._starts.until(np.array([first, last - 1]))
        begin = max(0, begin - 1)  # that one may reach into it
        if end - begin > most:
            return np.zeros(0, dtype=np.int64)
        start, length = self._start[begin:end], self._end[begin:end] - self._start[begin:end]
        middle = start + length // 2
        found: Times = middle[(length < shorter_than_ns) & (middle >= first) & (middle < last)]
        return found


class StepCurve:
    """A curve of steps; its lowest and highest value in any interval, exact to its blocks.

    Blocks are only used where several fall into one pixel.
    """

    def __init__(self, times_ns: Times, values: Times, before: int = 0) -> None:
        self._times, self._values, self._before = times_ns, values, before
        self._moments = Sorted(times_ns)
        self._levels = [(times_ns, values, values)]
        while len(self._levels[-1][0]) > 4 * _PER_BLOCK:
            times, low, high = self._levels[-1]
            cuts = np.arange(0, len(times), _PER_BLOCK)
            self._levels.append(
                (
                    times[cuts],
                    np.minimum.reduceat(low, cuts),
                    np.maximum.reduceat(high, cuts),
                )
            )

    @property
    def highest(self) -> int:
        """The highest value of all."""
        return max(self._before, int(self._levels[-1][2].max())) if len(self._times) else 0

    def at(self, moments_ns: Times) -> Times:
        """The value at each moment."""
        if not len(self._times):
            return np.full(len(moments_ns), self._before, dtype=np.int64)
        row = self._moments.until(moments_ns) - 1
        return np.where(row < 0, self._before, self._values[np.maximum(row, 0)])

    def changes(self, edges_ns: Times) -> NDArray[np.int64]:
        """How many times the value changes in each interval between two edges."""
        # Moments are whole: before an edge is at or before the nanosecond ahead of it.
        return np.diff(self._moments.until(edges_ns - 1))

    def extremes(self, edges_ns: Times) -> tuple[Times, Times]:
        """Lowest and highest value in each interval between two edges."""
        first = self.at(edges_ns[:-1])
        low, high = first.copy(), first.copy()
        pixels = len(edges_ns) - 1
        times, lows, highs = self._level_for(edges_ns, pixels)
        if times is not self._times:
            # A block that lies across an edge belongs to the intervals on both sides of it.
            across = np.searchsorted(times, edges_ns, side="right") - 1
            known = across >= 0
            for side in (slice(None, -1), slice(1, None)):
                at, seen = across[side][known[side]], known[side]
                low[seen] = np.minimum(low[seen], lows[at])
                high[seen] = np.maximum(high[seen], highs[at])
        begin, end = np.searchsorted(times, edges_ns[[0, -1]], side="left")
        if begin >= end:
            return low, high
        inside = np.searchsorted(edges_ns, times[begin:end], side="right") - 1
        inside = np.clip(inside, 0, pixels - 1)
        new = np.flatnonzero(np.append(True, inside[1:] != inside[:-1]))
        where = inside[new]
        low[where] = np.minimum(low[where], np.minimum.reduceat(lows[begin:end], new))
        high[where] = np.maximum(high[where], np.maximum.reduceat(highs[begin:end], new))
        return low, high

    def _level_for(self, edges_ns: Times, pixels: int) -> tuple[Times, Times, Times]:
        begin, end = np.searchsorted(self._times, edges_ns[[0, -1]], side="left")
        rows, level = int(end - begin), 0
        while level + 1 < len(self._levels) and rows > _PER_BLOCK * 8 * pixels:
            rows //= _PER_BLOCK
            level += 1
        return self._levels[level]
