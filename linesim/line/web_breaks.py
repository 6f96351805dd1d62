"""Web breaks: where they fall due, what can set one off, how long re-threading takes."""

from __future__ import annotations

from linesim import paper
from linesim.line.chance import Coin
from linesim.line.clock import MINUTE, NEVER
from linesim.line.floor import Floor
from linesim.line.motion import UM_PER_NS
from linesim.record.states import Kind

SOON_UM = 1_000_000
"""How far the webs run on before a weak place in the machine gives way."""


class WebBreaks:
    """The luck of every web with breaks.

    A web breaks by the length it has run, weighted with its speed, and by chance at splices,
    joints and restarts. Each web's k-th break takes the k-th draws of its own streams.
    """

    def __init__(self, floor: Floor) -> None:
        scenario, chance = floor.scenario, floor.chance
        path, reels = scenario.web_path, scenario.reels
        webs = range(scenario.unwind.webs)
        self.reference = path.speed_reference_m_per_min * UM_PER_NS
        self.power = path.speed_exponent
        self.cause = floor.ledger.cause("web break", Kind.STOP)
        self.soon: dict[int, int] = {}
        """Breaks about to happen: web -> place (um)."""
        length = paper.reel_length_m(
            reels.diameter_mm, reels.core_diameter_mm, scenario.product.thickness_um
        )
        per_um = path.breaks_per_100_reels / 100 / (length * 1e6)
        self.gaps = [chance.gaps(per_um, "web_path", w, "break") for w in webs]
        self.due = [self.gap(web) for web in webs] if per_um > 0 else []
        """Worn length (um) at which each web breaks next; empty where none does."""

        def coins(likely: float, what: str) -> list[Coin]:
            return [chance.coin(likely, "web_path", w, what) for w in webs]

        self.splice = coins(path.break_chance_at_splice, "splice")
        self.joint = coins(path.break_chance_at_joint, "joint")
        self.restart = coins(path.break_chance_at_restart, "restart")
        self.clamp = coins(path.clamp_holds_chance, "clamp holds")
        self.held = [
            chance.stream(path.rethread_held_min, MINUTE, "web_path", w, "held") for w in webs
        ]
        self.lost = [
            chance.stream(path.rethread_lost_min, MINUTE, "web_path", w, "lost") for w in webs
        ]

    def gap(self, web: int) -> float:
        """Worn length until this web's next break, um."""
        gaps = self.gaps[web]
        return float(max(1, gaps.draw())) if gaps else float("inf")

    def expect(self, web: int, x: int) -> None:
        """This web will break when the webs have run to ``x``."""
        self.soon[web] = min(self.soon.get(web, NEVER), x)

    def at_restart(self) -> list[int]:
        """The webs that a restart breaks."""
        return [web for web, coin in enumerate(self.restart) if coin.falls()]

    def at_splice(self, web: int) -> bool:
        """Whether a splice that leaves the stand breaks its web."""
        return self.splice[web].falls()

    def at_joint(self, web: int) -> bool:
        """Whether a mill joint that leaves the reel breaks its web."""
        return self.joint[web].falls()

    def rethread_ns(self, web: int) -> int:
        """Time to re-thread: short where the clamp has held the tail, long where not."""
        held = self.clamp[web].falls()
        times = self.held[web].draw(), self.lost[web].draw()
        return times[0] if held else times[1]
