"""What is due next on the webs: one alarm is set to it, as far as can be seen from this moment."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line.causes import RUNNING_H, WEB_KM
from linesim.line.clock import NEVER, Alarm, set_alarm
from linesim.line.cutting import cut_with_good, place_of_cut, place_with_good
from linesim.line.line import Line
from linesim.line.unwind import next_reel_um
from linesim.line.web_motion import run_down_length, standing, time_at, time_to_wear


@dataclass(slots=True)
class Plan:
    """What the alarm is set to."""

    alarm: Alarm
    other_um: int = NEVER
    """Where something other than a full set is due, ..."""
    other_at_ns: int = NEVER
    """... and when."""


def plan_webs(line: Line) -> None:
    """Set the alarm to whatever is due first."""
    webs, motion, plan = line.webs, line.webs.motion, line.webs.plan
    if standing(line):
        set_alarm(line, plan.alarm, NEVER)
        return
    place, at = next_reel_um(line), min(motion.until_ns, webs.ramp.until_ns)
    if webs.unwind.splice_until_um >= 0:
        place = min(place, webs.unwind.splice_until_um)
    for cause in webs.fall_on_the_way:
        if cause.meter == RUNNING_H:
            at = min(at, line.now_ns + max(0, cause.due - motion.run_ns))
        elif cause.meter == WEB_KM:
            place = min(place, cause.due)
        else:
            place = min(place, place_of_cut(line, cause.due))
    worn_um = webs.breaks.webs[0].due_um
    for web in webs.breaks.webs:
        place, worn_um = min(place, web.soon_um), min(worn_um, web.due_um)
    if webs.breaks.fall_due and motion.wears > 0:
        to_wear = (worn_um - motion.start_worn_um) / motion.wears
        wearing = time_to_wear(
            motion.start_speed, motion.change, to_wear, motion.reference, motion.power
        )
        at = min(at, motion.start_ns + wearing)
    plan.other_um = place
    plan.other_at_ns = max(line.now_ns, min(at, time_at(line, place)))
    plan_pockets(line)


def plan_pockets(line: Line) -> None:
    """The same where only the pockets have changed: nothing else moved its due time."""
    webs, motion, plan, pockets = line.webs, line.webs.motion, line.webs.plan, line.webs.pockets
    goal = plan.other_um
    if not pockets.full:
        goal = min(goal, place_with_good(line, line.goods.cuts_per_ream - pockets.cuts))
    elif not webs.full_hold.holds:
        goal = min(goal, belt_full_um(line))
    motion.goal_um = goal
    motion.goal_at_ns = time_at(line, goal)
    set_alarm(line, plan.alarm, max(line.now_ns, min(plan.other_at_ns, motion.goal_at_ns)))


def belt_full_um(line: Line) -> int:
    """Where the webs must begin to stop: the belt has room left for the cuts of the run-down.

    Webs that gain speed do so until then, and need the longer to stop: what must come after the
    place is reckoned with, and nobody foresees a defect there.
    """
    motion, pockets = line.webs.motion, line.webs.pockets
    room, cut_um = pockets.belt_holds_cuts - pockets.on_belt, line.goods.cut_um
    if motion.loss == 0.0 or line.webs.gate.shut:
        return place_with_good(line, room)
    length = run_down_length(motion.speed, 0.0, motion.loss)
    if motion.change > 0:
        full = place_of_cut(line, cut_with_good(line, room, False))
        left = full - cut_um - motion.place_um - length
        return motion.place_um + max(0, int(left / (1 + motion.change / motion.loss)))
    return place_with_good(line, max(0, room - length // cut_um - 1))
