"""Reels: how much is on the next one, and where the mill left joints."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy
from numpy.typing import NDArray

from linesim import paper
from linesim.line.chance import Chance
from linesim.line.goods import Goods
from linesim.scenario import Scenario

_SPREAD_CUT = 3.0
_JOINTS_IN_ROW = 6
_FIRST_ROWS, _MOST_ROWS = 4, 64


@dataclass(frozen=True)
class Reel:
    """A reel as it comes from the store."""

    length_um: int
    joints_um: tuple[int, ...]
    """Distances of joints from the outer end, rising."""

    def without(self, length_um: int) -> Reel:
        """What is left when the outer ``length_um`` are gone."""
        joints = tuple(j - length_um for j in self.joints_um if j > length_um)
        return Reel(self.length_um - length_um, joints)


class ReelStore:
    """The reels of one web: the k-th reel has the k-th row of luck, whatever happened before.

    A row is a draw for the diameter, one for the number of joints and a few for where they are.
    A reel with more joints than a row has places takes the rest from a stream of its own, so
    that the next reel's luck does not move.
    """

    def __init__(self, scenario: Scenario, chance: Chance, web: int) -> None:
        self._reels = scenario.reels
        self._chance = chance
        self._web = f"web {web + 1}"
        self._bits = chance.bits("unwind", self._web, "reels")
        self._rows: list[list[float]] = []
        self._counts: list[int] = []
        self._spreads: list[float] = []
        self._taken = 0
        self._first = 0
        self._up_to = poisson_steps(scenario.reels.mill_joints_per_reel)

    def next(self, goods: Goods) -> Reel:
        """The next reel of the web."""
        i = self._taken - self._first
        if i == len(self._rows):
            self._draw()
            i = 0
        self._taken += 1
        reels = self._reels
        diameter = reels.diameter_mm + reels.diameter_sd_mm * self._spreads[i]
        diameter = max(diameter, reels.core_diameter_mm * 1.05)
        length = paper.reel_length_m(diameter, reels.core_diameter_mm, goods.thickness_um)
        length_um = round(length * 1e6)
        count = self._counts[i]
        if count == 0:
            return Reel(length_um, ())
        places = self._rows[i][2 : 2 + count]
        if count > _JOINTS_IN_ROW:
            own = self._chance.bits("unwind", self._web, f"reel {self._taken - 1}")
            places += own.random(count - _JOINTS_IN_ROW).tolist()
        return Reel(length_um, tuple(sorted(int(place * length_um) for place in places)))

    def _draw(self) -> None:
        self._first = self._taken
        rows = min(max(_FIRST_ROWS, self._taken), _MOST_ROWS)
        luck = self._bits.random((rows, 2 + _JOINTS_IN_ROW))
        spread = np.clip(scipy.special.ndtri(luck[:, 0]), -_SPREAD_CUT, _SPREAD_CUT)
        self._spreads = spread.tolist()
        self._counts = np.searchsorted(self._up_to, luck[:, 1], side="right").tolist()
        self._rows = luck.tolist()


def poisson_steps(mean: float) -> NDArray[np.float64]:
    """Chance of at most 0, 1, 2, ... of a Poisson count, up to where the rest is nothing."""
    most = int(mean + 12 * mean**0.5 + 20)
    return np.asarray(scipy.special.pdtr(np.arange(most), mean), dtype=np.float64)
