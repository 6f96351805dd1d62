"""Where a web is joined or parts: splices, the mill's joints, and breaks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.line.floor import Floor
from linesim.line.holds import WebStop
from linesim.line.motion import UM_PER_NS
from linesim.line.stand import Stand
from linesim.line.web_breaks import SOON_UM
from linesim.record.states import State
from linesim.scenario import WEB_STATIONS

if TYPE_CHECKING:
    from linesim.line.webs import Webs

_WEB_PATH = WEB_STATIONS.index("web_path")


class WebJoins:
    """What splices and breaks do to the paper in the machine; their luck is in ``WebBreaks``."""

    def __init__(self, floor: Floor, webs: Webs) -> None:
        self._floor = floor
        self._webs = webs
        self.splice_until_x = -1
        """Where the flying splice under way is done, um; -1: there is none."""

    def splice_at_speed(self) -> None:
        """Make the flying splices that are due, if the webs are down at splice speed."""
        table, motion, unwind = self._floor.scenario.unwind, self._webs.motion, self._webs.unwind
        for stand in unwind.stands:
            if not stand.splice_wanted or stand.partner is None:
                continue
            if unwind.stop is not None and stand in unwind.stop.stands:
                continue  # too late for it: the webs stop for this reel
            most = table.splice_speed_m_per_min * UM_PER_NS * (1 + 1e-9)
            if motion.x < stand.splice_x or not 0 < motion.speed <= most:
                continue
            unwind.replaced(stand)
            self.splice_until_x = motion.x + round(table.splice_length_m * 1e6)
            self._floor.ledger.count_stop(0, unwind.cause)
            self._webs.states.keep_reels()  # nothing stops for it that would show it

    def splice_reached(self, x: int) -> None:
        """The webs have run to ``x``: a flying splice may be done."""
        if 0 <= self.splice_until_x <= x:
            self.splice_until_x = -1

    def spliced(self, stand: Stand) -> bool:
        """A new reel has been joined to a threaded web: the joint is on its way.

        True where it does not hold: the web is about to break.
        """
        webs, motion = self._webs, self._webs.motion
        self._reject_around(motion.x, self._floor.scenario.gate.cuts_per_splice, "splice")
        fails = webs.unwind.paired and stand.splice_fails()
        breaks = webs.breaks.at_splice(stand.web)
        if fails or breaks:
            webs.breaks.expect(stand.web, motion.x + (1 if motion.speed > 0 else SOON_UM))
        return fails or breaks

    def joints_reached(self, x: int) -> None:
        """The webs have run to ``x``: the mill's joints that have left their reels."""
        count, breaks = self._floor.scenario.gate.cuts_per_joint, self._webs.breaks
        for stand in self._webs.unwind.stands:
            while stand.joints_x and stand.joints_x[0] <= x:
                self._reject_around(stand.joints_x.pop(0), count, "joint")
                if breaks.at_joint(stand.web):
                    breaks.expect(stand.web, self._webs.motion.x + 1)

    def _reject_around(self, x: int, count: int, reason: str) -> None:
        """Paper that left the stand at ``x`` reaches the knives a path length later."""
        self._webs.cutting.reject_around(x + self._webs.unwind.path_um, count, reason)

    def break_web(self, web: int) -> None:
        """A web breaks: the webs stand at once, the paper in the machine is lost on all."""
        floor, webs = self._floor, self._webs
        motion, cutting, breaks = webs.motion, webs.cutting, webs.breaks
        floor.settle()
        coast = motion.coast_ns()
        rethread = breaks.rethread_ns(web)
        cutting.drop_partial(motion.x, "broken")
        cutting.gate.forget(cutting.cuts, ("splice", "joint"))
        breaks.soon.clear()
        self.splice_until_x = -1
        short = self._lose_threaded_paper()
        floor.ledger.count_stop(_WEB_PATH, breaks.cause)
        stop = WebStop(
            floor,
            _WEB_PATH,
            breaks.cause,
            working=State.DOWN,
            people=floor.scenario.web_path.rethread_people,
            priority=floor.scenario.crew.priority_standing_line,
            restore_ns=coast + rethread,
            ended=webs.release,  # type: ignore[arg-type]
        )
        motion.stop_dead()
        webs.add(stop)
        webs.unwind.prepare_after_break()
        for stand in short:
            webs.unwind.must_change(stand)
        webs.unwind.reached(motion.x)

    def _lose_threaded_paper(self) -> list[Stand]:
        """What is threaded is lost; returns the stands whose reels cannot be threaded again."""
        short, length = [], self._webs.unwind.path_um
        for stand in self._webs.unwind.stands:
            if not stand.threaded:
                continue
            self._floor.books.paper.broken += length
            self._webs.cutting.use("broken", length)
            if stand.left(self._webs.motion.x) >= length:
                stand.lose(length)
            else:
                stand.threaded = False
                short.append(stand)
        return short
