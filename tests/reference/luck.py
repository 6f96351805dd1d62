"""Draws for the reference line, by numpy's own generators: nothing of the program's is used."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable
from typing import Any

import numpy as np


class Luck:
    """A generator for each name, so that what one thing draws moves nothing else."""

    def __init__(self, seed: int, replication: int) -> None:
        self._key = (seed, replication)

    def generator(self, *name: str | int) -> np.random.Generator:
        """The generator of whatever has this name."""
        digest = hashlib.sha256(repr((self._key, name)).encode()).digest()
        return np.random.default_rng(int.from_bytes(digest[:16], "little"))

    def times(
        self, law: Any, unit: float, *name: str | int, used: float | None = None
    ) -> Callable[[], float]:
        """Draws from a law of the scenario, in units of ``unit``.

        Where ``used`` is given, so much of the first is gone already.
        """
        draw = _drawer(law, self.generator(*name))
        gone = [] if used is None else [used]

        def one() -> float:
            value = draw()
            if not gone:
                return unit * value
            while value <= gone[0]:
                value = draw()
            return unit * (value - gone.pop())

        return one

    def coin(self, chance: float, *name: str | int) -> Callable[[], bool]:
        """Whether something of this chance happens, time after time."""
        rng = self.generator(*name)
        return lambda: bool(rng.random() < chance)

    def pieces(self, chance: float, *name: str | int) -> Callable[[], float]:
        """Pieces up to and with the next that is hit; never where there is no chance."""
        rng = self.generator(*name)
        if chance <= 0:
            return lambda: math.inf
        if chance < 1e-5:  # as good as a length without pieces
            return lambda: float(rng.exponential(1 / chance))
        return lambda: float(rng.geometric(min(1.0, chance)))

    def reels(self, scenario: Any, web: int) -> Callable[[], tuple[float, list[float], bool]]:
        """Reels of one web: length in m, how far from the outer end joints are, whether bad."""
        rng, table = self.generator("reels", web), scenario.reels
        quality = self.generator("bad reels", web)
        core = table.core_diameter_mm / 1000
        thick = scenario.product.thickness_um / 1e6

        def reel() -> tuple[float, list[float], bool]:
            bad = bool(quality.random() < table.bad_share)
            spread = float(np.clip(rng.standard_normal(), -3, 3))
            outer = (table.diameter_mm + spread * table.diameter_sd_mm) / 1000
            length = math.pi * (outer**2 - core**2) / (4 * thick)
            if table.mill_joints_at_m:
                return length, sorted(at for at in table.mill_joints_at_m if at < length), bad
            count = int(rng.poisson(table.mill_joints_per_reel))
            return length, sorted(float(at) for at in rng.uniform(0, length, count)), bad

        return reel

    def anywhere(self, web: int) -> float:
        """How much of a reel is left at the start, where it may be anything."""
        return float(self.generator("at start", web).uniform())


def _drawer(law: Any, rng: np.random.Generator) -> Callable[[], float]:
    match law.law:
        case "constant":
            return lambda: float(law.mean)
        case "exponential":
            return lambda: float(rng.exponential(law.mean))
        case "weibull":
            scale = law.mean / math.gamma(1 + 1 / law.shape)
            return lambda: float(scale * rng.weibull(law.shape))
        case "lognormal":
            variance = math.log(1 + (law.sd / law.mean) ** 2)
            middle = math.log(law.mean) - variance / 2
            return lambda: float(rng.lognormal(middle, math.sqrt(variance)))
        case "gamma":
            shape = (law.mean / law.sd) ** 2
            return lambda: float(rng.gamma(shape, law.mean / shape))
        case "uniform":
            return lambda: float(rng.uniform(law.low, law.high))
        case "triangular":
            return lambda: float(rng.triangular(law.low, law.mode, law.high))
        case "empirical":
            return lambda: float(rng.choice(law.values))
    raise ValueError(f"no such law: {law.law}")
