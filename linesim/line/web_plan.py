"""What is due next on the webs, and when: one alarm, set to whatever comes first.

It looks ahead from this moment, for as long as nobody changes anything.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linesim.line import told
from linesim.line.causes import CUTS, REAMS, RUNNING_H, WEB_KM
from linesim.line.clock import NEVER, RANK_WEB, Alarm, set_alarm
from linesim.line.cutting import place_of_cut, place_with_good
from linesim.line.motion import run_down_length, time_to_wear
from linesim.line.rings import WEBS
from linesim.line.web_motion import standing, time_at

if TYPE_CHECKING:
    from linesim.line.line import Line


@dataclass(slots=True)
class Plan:
    """What the alarm is set to."""

    alarm: Alarm
    other_um: int = NEVER
    """Where something other than a full set is due, ..."""
    other_at_ns: int = NEVER
    """... and when."""
    reams_due: int = NEVER
    """Reams made when the first stop that counts them falls due."""


def new_plan() -> Plan:
    """Nothing is due."""
    return Plan(Alarm(RANK_WEB, WEBS))


# -- rules ---------------------------------------------------------------------------------------


def plan_webs(line: Line) -> None:
    """Set the alarm to whatever is due first."""
    webs, motion, plan = line.webs, line.webs.motion, line.webs.plan
    if standing(line):
        set_alarm(line, plan.alarm, NEVER)
        return
    now, dues = line.now_ns, webs.dues
    other = told.next_reel_um(line)
    breaks = webs.breaks
    for i in range(len(breaks.soon_webs)):
        other = min(other, breaks.soon_um[i])
    if webs.splice_until_um >= 0:
        other = min(other, webs.splice_until_um)
    plan.reams_due = dues[REAMS]
    at = min(motion.until_ns, now + max(0, dues[RUNNING_H] - motion.run_ns))
    other = min(other, dues[WEB_KM])
    if dues[CUTS] - webs.cutting.begun_cuts < (NEVER - webs.cutting.begun_um) // line.goods.cut_um:
        other = min(other, place_of_cut(line, dues[CUTS]))
    if breaks.fall_due:
        first = breaks.due_um[0]
        for due in breaks.due_um:
            first = min(first, due)
        wearing = time_to_wear(
            motion.start_speed,
            motion.change,
            first - motion.start_worn_um,
            motion.reference,
            motion.power,
        )
        at = min(at, motion.start_ns + wearing)
    plan.other_um = other
    at = min(at, time_at(line, other))
    plan.other_at_ns = max(now, at)
    plan_pockets(line)


def plan_pockets(line: Line) -> None:
    """The same where only the pockets have changed: nothing else moved its due time."""
    webs, plan = line.webs, line.webs.plan
    goal = plan.other_um
    if not webs.stands_full:
        goal = min(goal, _pockets_um(line))
    webs.motion.goal_um = goal
    webs.motion.goal_at_ns = time_at(line, goal)
    at = min(plan.other_at_ns, webs.motion.goal_at_ns)
    if webs.cutting.reams >= plan.reams_due:
        at = line.now_ns  # the set that makes it due was full as the webs came to a stand
    set_alarm(line, plan.alarm, max(line.now_ns, at))


def _pockets_um(line: Line) -> int:
    """Where the pockets are full, or the webs must begin to stop because they were."""
    pockets = line.webs.pockets
    if pockets.full:
        return stop_um(line)
    return place_with_good(line, line.goods.cuts_per_ream - pockets.cuts)


def stop_um(line: Line) -> int:
    """Where the webs must begin to stop: the belt has room left for the cuts of the run-down.

    Webs that gain speed do so until then, and need the longer to stop.
    """
    motion, pockets = line.webs.motion, line.webs.pockets
    room, cut_um = pockets.belt_holds_cuts - pockets.on_belt, line.goods.cut_um
    if motion.loss == 0.0:
        return place_with_good(line, room)
    length = run_down_length(motion.speed, 0.0, motion.loss)
    if motion.change > 0:
        left = place_with_good(line, room) - cut_um - motion.place_um - length
        return motion.place_um + max(0, int(left / (1 + motion.change / motion.loss)))
    return place_with_good(line, max(0, room - length // cut_um - 1))
