"""Reels: how much is on the next one, and where the mill left joints."""

from __future__ import annotations

from dataclasses import dataclass

import scipy

from linesim import paper
from linesim.line.chance import Chance
from linesim.line.goods import Goods
from linesim.scenario import Scenario

_SPREAD_CUT = 3.0


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


def next_reel(scenario: Scenario, goods: Goods, chance: Chance, web: int, number: int) -> Reel:
    """The ``number``-th reel of a web; its luck is its own."""
    reels = scenario.reels
    bits = chance.bits("unwind", f"web {web + 1}", f"reel {number}")
    u = float(bits.random())
    spread = min(max(float(scipy.special.ndtri(u)), -_SPREAD_CUT), _SPREAD_CUT) if u > 0 else 0.0
    diameter = max(reels.diameter_mm + reels.diameter_sd_mm * spread, reels.core_diameter_mm * 1.05)
    length = paper.reel_length_m(diameter, reels.core_diameter_mm, goods.thickness_um)
    length_um = round(length * 1e6)
    joints: tuple[int, ...] = ()
    if reels.mill_joints_per_reel > 0:
        count = int(bits.poisson(reels.mill_joints_per_reel))
        joints = tuple(sorted(int(p) for p in bits.random(count) * length_um))
    return Reel(length_um, joints)
