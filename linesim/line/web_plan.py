"""What is due next on the webs, and when: one alarm, set to whatever comes first."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from linesim.line.clock import NEVER, Alarm, Rank
from linesim.line.floor import Floor

if TYPE_CHECKING:
    from linesim.line.webs import Webs


class WebPlan:
    """Looks ahead from this moment, for as long as nobody changes anything."""

    def __init__(self, floor: Floor, webs: Webs, rung: Callable[[], None]) -> None:
        self._floor = floor
        self._webs = webs
        self.alarm = Alarm(floor.env, Rank.WEB, rung)
        self.other_x, self.other_at = NEVER, NEVER
        """Where, and when, something other than a full set is due."""
        self.reams_due = NEVER
        """Reams made when the first stop that counts them falls due."""

    def plan(self) -> None:
        """Set the alarm to whatever is due first."""
        webs, motion = self._webs, self._webs.motion
        if motion.standing:
            self.alarm.set(NEVER)
            return
        now = self._floor.now
        other = webs.unwind.next_x(motion.x)
        breaks = webs.breaks
        for due in breaks.soon.values():
            other = min(other, due)
        if webs.joins.splice_until_x >= 0:
            other = min(other, webs.joins.splice_until_x)
        dues = webs.stops.dues
        self.reams_due = dues["every_reams"]
        at = min(motion.until, now + max(0, dues["every_running_h"] - motion.run_ns))
        other = min(other, dues["every_web_km"], webs.cutting.x_of(dues["every_cuts"]))
        if breaks.due:
            at = min(at, motion.time_when_worn(min(breaks.due)))
        self.other_x = other
        at = min(at, motion.time_at(other))
        self.other_at = max(now, at)
        self.plan_pockets()

    def plan_pockets(self) -> None:
        """The same where only the pockets have changed: nothing else moved its due time."""
        motion = self._webs.motion
        goal = min(self.other_x, self._pockets_x())
        motion.goal_x, motion.goal_at = goal, motion.time_at(goal)
        at = min(self.other_at, motion.goal_at)
        if self._webs.cutting.reams >= self.reams_due:
            at = self._floor.now  # the set that makes it due was full as the webs came to a stand
        self.alarm.set(max(self._floor.now, at))

    def go_on_from(self, at: int) -> None:
        """Somebody else has dealt with all up to ``at``: look again then."""
        self.alarm.set(at)

    def _pockets_x(self) -> int:
        """Where the pockets are full, or the webs must begin to stop because they were."""
        cutting, pockets = self._webs.cutting, self._webs.pockets
        if self._webs.full_hold is not None:
            return NEVER
        if pockets.full:
            return self.stop_x()
        return cutting.x_with_good(cutting.goods.cuts_per_ream - pockets.cuts)

    def stop_x(self) -> int:
        """Where the webs must begin to stop: the belt has room left for the cuts of the run-down.

        Webs that gain speed do so until then, and need the longer to stop.
        """
        cutting, motion = self._webs.cutting, self._webs.motion
        room, cut_um = self._webs.pockets.room, cutting.goods.cut_um
        length = motion.stopping_um()
        if length is None:
            return cutting.x_with_good(room)
        if motion.change > 0:
            left = cutting.x_with_good(room) - cut_um - motion.x - length
            return motion.x + max(0, int(left / (1 + motion.change / motion.loss)))
        return cutting.x_with_good(max(0, room - length // cut_um - 1))
