"""The program's own draws for the reference line, so that both meet the very same luck.

Draws are no rules: the k-th stop of a cause takes the k-th draws of its streams in both, and what
the two lines make of them can be compared set by set.

All that is needed of the program stands here: ``Chance`` with ``stream`` (whose ``draw`` gives the
next whole number, and ``first`` the first one made of its uniform draw), ``coin`` (``falls``),
``gaps`` (``draw``) and ``bits``; ``ReelStore`` with ``next``, which looks at the thickness alone;
and the residual life of a law.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

from linesim.line.chance import Chance
from linesim.line.reel import ReelStore
from linesim.scenario.residual_life import residual_life_after


class SameLuck:
    """What ``luck.Luck`` is, by the program's streams and under their names."""

    def __init__(self, seed: int, replication: int) -> None:
        self._chance = Chance(seed, replication)

    def times(
        self, law: Any, unit: float, *name: str | int, used: float | None = None
    ) -> Callable[[], float]:
        """Draws from a law, rounded as the program rounds them: ns, or um of web."""
        counted = name[-1] == "interval" and unit == 1.0
        fine = 1.0 if counted else 1e6 if unit == 1000.0 else 1e9
        stream = self._chance.stream(law, unit * fine, *name)
        least = 1 if name[-1] == "interval" else 0
        left = [] if used is None else [used]

        def one() -> float:
            if left:
                age = left.pop()
                return stream.first(lambda u: residual_life_after(law, age, u)) / fine
            return max(least, stream.draw()) / fine

        return one

    def coin(self, chance: float, *name: str | int) -> Callable[[], bool]:
        """Whether something of this chance happens, time after time."""
        return self._chance.coin(chance, *name).falls

    def pieces(self, chance: float, *name: str | int) -> Callable[[], float]:
        """Pieces up to and with the next that is hit."""
        per = chance / 1e6 if name[0] == "web_path" else chance
        stream = self._chance.gaps(per, *name)
        if stream is None:
            return lambda: math.inf
        fine = 1e6 if name[0] == "web_path" else 1.0
        return lambda: max(1, stream.draw()) / fine

    def reels(self, scenario: Any, web: int) -> Callable[[], tuple[float, list[float]]]:
        """Reels of one web: length in m, and how far from the outer end joints are."""
        store = ReelStore(scenario, self._chance, web)
        paper: Any = SimpleNamespace(thickness_um=scenario.product.thickness_um)

        def reel() -> tuple[float, list[float]]:
            found = store.next(paper)
            return found.length_um / 1e6, [at / 1e6 for at in found.joints_um]

        return reel

    def anywhere(self, web: int) -> float:
        """How much of a reel is left at the start, where it may be anything."""
        return float(self._chance.bits("unwind", web, "at start").random())
