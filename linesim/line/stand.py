"""A stand, or pair of stands, of one web: the reel in use and where it must be replaced.

A place on the webs is the length ``x`` (um) that has passed the knives. A reel ends at the ``x``
at which its paper would leave the stand; lost paper brings that end nearer.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.line.chance import Stream
from linesim.line.clock import MINUTE, NEVER
from linesim.line.crew import Job
from linesim.line.reel import Reel, ReelStore

if TYPE_CHECKING:
    from linesim.line.unwind import Unwind


class Stand:
    """The stand or pair of stands of one web."""

    def __init__(self, unwind: Unwind, web: int) -> None:
        self.web = web
        self._unwind = unwind
        self.end_x = 0
        self.joints_x: list[int] = []
        self.threaded = True
        """False from a break on that took more paper than the reel had left."""
        self.partner: Reel | None = None
        """The prepared reel on the second stand."""
        self.preparing: Job | None = None
        """The job that prepares it, from when it was asked for."""
        self.stop_x = NEVER
        """Where the webs must begin to stop for this reel."""
        self.splice_x = NEVER
        """Where it is spliced while the webs run: so much is left as is meant to be."""
        self.splice_wanted = False
        """The webs come down to splice speed, and keep it, for a flying splice."""
        floor, unwind_table = unwind.floor, unwind.floor.scenario.unwind
        name = f"web {web + 1}"
        self.store = ReelStore(floor.scenario, floor.chance, web)

        def stream(what: str) -> Stream:
            law = getattr(unwind_table, what)
            return floor.chance.stream(law, MINUTE, "unwind", name, what)

        self.change_times = stream("change_min")
        self.splice_times = stream("splice_min")
        self.prepare_times = stream("prepare_min")
        self.splice_luck = floor.chance.coin(
            unwind_table.splice_fail_chance, "unwind", name, "splice fails"
        )
        self.change_ns = self.change_times.draw
        self.splice_ns = self.splice_times.draw
        self.prepare_ns = self.prepare_times.draw
        self.splice_fails = self.splice_luck.falls

    def fetch(self) -> Reel:
        """The next reel from the store."""
        reel = self.store.next(self._unwind.goods)
        self._unwind.note_reel(reel.length_um, back=False)
        return reel

    def mount(self, reel: Reel, x: int) -> None:
        """Paper is taken from this reel from ``x`` on."""
        if not self.threaded:
            reel = reel.without(min(self._unwind.path_um, reel.length_um))
            self.threaded = True
        self.end_x = x + reel.length_um
        self.joints_x = [x + joint for joint in reel.joints_um]
        self.splice_wanted = False
        self.aim()

    def lose(self, length: int) -> None:
        """The next ``length`` of the reel is lost."""
        self.end_x -= length
        self.joints_x = [joint - length for joint in self.joints_x]
        self.aim()

    def aim(self) -> None:
        """Where the reel must be replaced."""
        self.stop_x = self.end_x - self._unwind.reserve_um
        self.splice_x = self.end_x - self._unwind.butt_um

    def left(self, x: int) -> int:
        """Paper on the reel in use."""
        return self.end_x - x
