"""The program's own draws for the reference line, so that both meet the very same luck.

Draws are no rules: the k-th stop of a cause takes the k-th draws of its streams in both, and what
the two lines make of them can be compared set by set.

All that is needed of the program stands here: of ``chance`` the streams that ``Chance`` gives
under a name (``stream``, ``coin``, ``gaps``, ``bits``), their values one by one (``constant``,
``source``) and ``first_of_luck``; of ``reel`` the k-th reel of a web; and the residual life of a
law.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from typing import Any

from linesim.line.chance import Chance, Stream, first_of_luck
from linesim.line.reels import ReelStore
from linesim.scenario.residual_life import residual_life_after


def one_by_one(stream: Stream) -> Callable[[], int]:
    """The values of a stream, time after time."""
    places = itertools.count()

    def value() -> int:
        if stream.constant >= 0:
            return stream.constant
        place = next(places)
        return int(stream.source.more(place).array[place])

    return value


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
        draw = one_by_one(stream)
        least = 1 if name[-1] == "interval" else 0
        left = [] if used is None else [used]

        def one() -> float:
            if left:
                age = left.pop()
                draw()  # what the law would have made of it
                return (
                    first_of_luck(
                        stream, unit * fine, lambda luck: residual_life_after(law, age, luck)
                    )
                    / fine
                )
            return max(least, draw()) / fine

        return one

    def coin(self, chance: float, *name: str | int) -> Callable[[], bool]:
        """Whether something of this chance happens, time after time."""
        draw = one_by_one(self._chance.coin(chance, *name))
        return lambda: draw() != 0

    def pieces(self, chance: float, *name: str | int) -> Callable[[], float]:
        """Pieces up to and with the next that is hit."""
        per = chance / 1e6 if name[0] == "web_path" else chance
        if per <= 0:
            return lambda: math.inf
        draw = one_by_one(self._chance.gaps(per, *name))
        fine = 1e6 if name[0] == "web_path" else 1.0
        return lambda: max(1, draw()) / fine

    def reels(self, scenario: Any, web: int) -> Callable[[], tuple[float, list[float], bool]]:
        """Reels of one web: length in m, how far from the outer end joints are, whether bad."""
        store, known = ReelStore(scenario, self._chance, web), scenario.reels.mill_joints_at_m
        places = itertools.count()

        def reel() -> tuple[float, list[float], bool]:
            found = store.reel(next(places), scenario.product.thickness_um)
            length = found.length_um / 1e6
            if known:
                return length, sorted(at for at in known if at < length), found.bad
            return length, [at / 1e6 for at in found.joints_um], found.bad

        return reel

    def anywhere(self, web: int) -> float:
        """How much of a reel is left at the start, where it may be anything."""
        return float(self._chance.bits("unwind", web, "at start").random())
