"""Web breaks of the reference line: what sets one off, and how long re-threading takes."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from tests.reference.luck import Luck
from tests.reference.motion import CLOSE_M, Motion
from tests.reference.named import breaks_per_100_reels

SOON_M = 1.0
"""How far the webs run on before a weak place in the machine gives way."""


class Breaks:
    """Each web breaks by the length it has run, and by chance at splices, joints and restarts."""

    def __init__(self, scenario: Any, luck: Luck, motion: Motion) -> None:
        table, reels = scenario.web_path, scenario.reels
        self._motion = motion
        webs = range(scenario.unwind.webs)
        area = math.pi * (reels.diameter_mm**2 - reels.core_diameter_mm**2) / 4e6
        nominal_m = area / (scenario.product.thickness_um / 1e6)
        per_m = breaks_per_100_reels(scenario) / 100 / nominal_m

        def coins(chance: float, what: str) -> list[Callable[[], bool]]:
            return [luck.coin(chance, "web_path", web, what) for web in webs]

        self._at_splice = coins(table.break_chance_at_splice, "splice")
        self._at_joint = coins(table.break_chance_at_joint, "joint")
        self._at_restart = coins(table.break_chance_at_restart, "restart")
        self._holds_tail = coins(table.clamp_holds_chance, "clamp holds")
        self._gaps = [luck.pieces(per_m, "web_path", web, "break") for web in webs]
        self._held = [
            luck.times(table.rethread_held_min, 60.0, "web_path", web, "held") for web in webs
        ]
        self._lost = [
            luck.times(table.rethread_lost_min, 60.0, "web_path", web, "lost") for web in webs
        ]
        self._good = 1 / (1 - reels.bad_share + reels.bad_share * reels.bad_breaks_factor)
        self._bad = self._good * reels.bad_breaks_factor
        self._pace = [1.0 for _ in webs]
        """By how much the strain of a web grows for a metre of wear: on a mean reel by one."""
        self._strain = [(0.0, 0.0) for _ in webs]
        """Wear of the webs when the reel of each was put on, and its strain at that moment."""
        self._due = [gap() for gap in self._gaps]
        """Strain at which each breaks."""
        self.soon: list[tuple[float, int]] = []
        """Weak places: where they give way, and the web."""

    def on_reel(self, web: int, *, bad: bool) -> None:
        """Another reel feeds this web."""
        self._strain[web] = (self._motion.worn_m, self._strain_of(web))
        self._pace[web] = self._bad if bad else self._good

    def _strain_of(self, web: int) -> float:
        then, strain = self._strain[web]
        return strain + self._pace[web] * (self._motion.worn_m - then)

    def _breaks_at(self, web: int) -> float:
        """Wear of the webs at which this one breaks, if its reel stays on."""
        then, strain = self._strain[web]
        return then + (self._due[web] - strain) / self._pace[web]

    def restart(self) -> None:
        """The webs start from a standstill."""
        for web, breaks in enumerate(self._at_restart):
            if breaks():
                self.soon.append((self._motion.x + SOON_M, web))

    def splice(self, web: int, *, fails: bool) -> None:
        """A splice leaves the stand: at speed it gives way at once or holds."""
        if self._at_splice[web]() or fails:
            self.soon.append((self._motion.x + (SOON_M if self._motion.standing else 0.0), web))

    def joint(self, web: int) -> None:
        """A joint of the mill leaves the reel."""
        if self._at_joint[web]():
            self.soon.append((self._motion.x, web))

    def due(self) -> int | None:
        """A web that breaks here, if one does."""
        for at, web in self.soon:
            if at <= self._motion.x + CLOSE_M:
                # The others are in paper that is lost with this one.
                self.soon.clear()
                return web
        for web in range(len(self._due)):
            if self._breaks_at(web) <= self._motion.worn_m + CLOSE_M:
                self._due[web] = self._strain_of(web) + self._gaps[web]()
                self.soon.clear()
                return web
        return None

    def rethread_s(self, web: int) -> float:
        """Time to re-thread; the k-th break has the k-th draws of both, whichever it takes."""
        held, lost = self._held[web](), self._lost[web]()
        return held if self._holds_tail[web]() else lost

    def seconds_to_next(self) -> float:
        """How long until the next falls due, by places and by wear."""
        places = [self._motion.seconds_to(at) for at, _ in self.soon]
        first = min(self._breaks_at(web) for web in range(len(self._due)))
        return min([*places, self._motion.seconds_to_worn(first)])
