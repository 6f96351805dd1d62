"""The reels of a web as they come from the store.

The k-th reel of a web has the k-th row of luck, whatever happened before. A row is a draw for the
diameter, one for the number of joints and a few for where they are. A reel with more joints than a
row has places takes the rest from a stream of its own, so that the next reel's luck does not move.
Whether a reel is bad has a stream of its own, too, one draw for each.
"""

from __future__ import annotations

from dataclasses import dataclass
from threading import Lock
from typing import Any

import numpy as np
import scipy
from numpy.typing import NDArray

from linesim.line.chance import NOTHING, Chance, Kept
from linesim.scenario import Scenario
from linesim.scenario.reels_together import SPREAD_CUT, length_m

_JOINTS_IN_ROW = 6
_FIRST_ROWS, _MOST_ROWS = 4, 64


@dataclass(frozen=True)
class Reel:
    """A reel as it comes from the store."""

    length_um: int
    joints_um: tuple[int, ...]
    """Distances of joints from the outer end, rising."""
    bad: bool = False
    """Its web breaks oftener."""


class ReelStore:
    """The reels of one web, made of paper of one thickness."""

    def __init__(self, scenario: Scenario, chance: Chance, web: int) -> None:
        self._reels = scenario.reels
        self._chance = chance
        self._web = f"web {web + 1}"
        self._bits = chance.bits("unwind", self._web, "reels")
        self._bad_share = scenario.reels.bad_share
        self._bad_bits = chance.bits("unwind", self._web, "bad reels")
        self._bad: list[bool] = []
        self._up_to = poisson_steps(scenario.reels.mill_joints_per_reel)
        self._joints_at_um = sorted(round(at * 1e6) for at in scenario.reels.mill_joints_at_m)
        """Where the joints of every reel are; empty: anywhere."""
        self._rows: list[list[float]] = []
        self._counts: list[int] = []
        self._spreads: list[float] = []
        self._lock = Lock()
        self._made: dict[float, Reels] = {}

    def reels(self, thickness_um: float, than: int) -> Reels:
        """At least one reel beyond the first ``than``."""
        with self._lock:
            made = self._made.get(thickness_um, _NONE)
            if len(made.lengths.array) <= than:
                self.reel(than, thickness_um)  # draws luck for some more, too
                made = self._made[thickness_um] = self._make(thickness_um, made)
            return made

    def _make(self, thickness_um: float, before: Reels) -> Reels:
        first = len(before.lengths.array)
        reels = [self.reel(k, thickness_um) for k in range(first, len(self._rows))]
        joints = [joint for reel in reels for joint in reel.joints_um]
        begin = len(before.joints.array)
        counts = np.cumsum([len(reel.joints_um) for reel in reels]) + begin

        def longer(kept: Kept, values: Any) -> Kept:
            return Kept(np.concatenate([kept.array, np.array(values, dtype=np.int64)]))

        return Reels(
            longer(before.lengths, [reel.length_um for reel in reels]),
            longer(before.joints_end, counts),
            longer(before.joints, joints),
            longer(before.bad, [reel.bad for reel in reels]),
        )

    def reel(self, k: int, thickness_um: float) -> Reel:
        """The k-th reel, the first being 0."""
        while len(self._rows) <= k:
            self._draw()
        length_um = round(length_m(self._reels, self._spreads[k], thickness_um) * 1e6)
        return Reel(length_um, self._joints(k, length_um), self._bad[k])

    def _joints(self, k: int, length_um: int) -> tuple[int, ...]:
        if self._joints_at_um:
            return tuple(at for at in self._joints_at_um if at < length_um)
        count = self._counts[k]
        if count == 0:
            return ()
        places = self._rows[k][2 : 2 + count]
        if count > _JOINTS_IN_ROW:
            own = self._chance.bits("unwind", self._web, f"reel {k}")
            places = places + own.random(count - _JOINTS_IN_ROW).tolist()
        return tuple(sorted(int(place * length_um) for place in places))

    def _draw(self) -> None:
        rows = min(max(_FIRST_ROWS, len(self._rows)), _MOST_ROWS)
        luck = self._bits.random((rows, 2 + _JOINTS_IN_ROW))
        spread = np.clip(scipy.special.ndtri(luck[:, 0]), -SPREAD_CUT, SPREAD_CUT)
        self._spreads += spread.tolist()
        self._counts += np.searchsorted(self._up_to, luck[:, 1], side="right").tolist()
        self._rows += luck.tolist()
        if self._bad_share > 0:
            self._bad += (self._bad_bits.random(rows) < self._bad_share).tolist()
        else:
            self._bad += [False] * rows


@dataclass(frozen=True)
class Reels:
    """Reels in the order in which they come: lengths, and the joints of all one after another."""

    lengths: Kept
    joints_end: Kept
    """Of each reel: how many joints it and those before it have."""
    joints: Kept
    bad: Kept
    """1 for a bad reel, 0 for a good one."""


_NONE = Reels(NOTHING, NOTHING, NOTHING, NOTHING)


def reel_store(scenario: Scenario, chance: Chance, web: int) -> ReelStore:
    """The store of a web, the same for all lines that have the same reels and luck."""
    made: ReelStore = chance.kept(
        lambda: ReelStore(scenario, chance, web), "reels", web, scenario.reels
    )
    return made


def poisson_steps(mean: float) -> NDArray[np.float64]:
    """Chance of at most 0, 1, 2, ... of a Poisson count, up to where the rest is nothing."""
    most = int(mean + 12 * mean**0.5 + 20)
    return np.asarray(scipy.special.pdtr(np.arange(most), mean), dtype=np.float64)
