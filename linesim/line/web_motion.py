"""Where the webs are, and how fast they run.

A stretch of even speed, or of an even change of it, has a beginning; all in it is worked out from
there, so that looking often and looking once give the same. Lengths in um, times in ns, speeds in
um/ns.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesim.line.clock import NEVER
from linesim.line.cutting import cut_to, cuts_at
from linesim.line.history import note_motion
from linesim.line.line import Line, Site
from linesim.scenario.units import UM_PER_NS

_LONGEST = 4e18
"""Times (ns) beyond this are beyond all time."""


def travelled(speed: float, change: float, dt: int) -> int:
    """Length run in ``dt`` from ``speed``, to the nearest um."""
    return int((speed + 0.5 * change * dt) * dt + 0.5)


def time_to_run(speed: float, change: float, length: int) -> int:
    """Time until ``length`` is run, rounded up; NEVER where the webs stand before that."""
    if length <= 0:
        return 0
    if change == 0.0:
        if not speed > 0:
            return NEVER
        time = length / speed
    else:
        square = speed * speed + 2 * change * length
        if square < 0:
            return NEVER
        time = 2 * length / (speed + math.sqrt(square))
    return math.ceil(time) if time < _LONGEST else NEVER


def run_down_length(speed: float, to_speed: float, loss: float) -> int:
    """Length run while losing speed at ``loss`` (above 0); 0 where it happens at once."""
    if loss == 0.0 or speed <= to_speed:
        return 0
    return math.ceil((speed * speed - to_speed * to_speed) / (2 * loss))


def wear(speed: float, change: float, dt: int, reference: float, power: float) -> float:
    """Length run in ``dt``, each piece weighted with (speed / reference) ** power.

    The integral of v (v/r)^k over time; for an even change of speed that is
    (v1^(k+2) - v0^(k+2)) / (a (k+2) r^k).
    """
    if power == 0.0:
        return (speed + 0.5 * change * dt) * dt
    if change == 0.0:
        return speed * dt * math.pow(speed / reference, power)
    end = max(speed + change * dt, 0.0)
    grown = math.pow(end, power + 2) - math.pow(speed, power + 2)
    return grown / (change * (power + 2) * math.pow(reference, power))


def time_to_wear(speed: float, change: float, amount: float, reference: float, power: float) -> int:
    """Time until ``wear`` reaches ``amount``; NEVER where the webs stand before that."""
    if amount <= 0:
        return 0
    if change == 0.0:
        pace = speed * math.pow(speed / reference, power) if speed > 0 else 0.0
        if not pace > 0:
            return NEVER
        time = amount / pace
    else:
        factor = change * (power + 2) * math.pow(reference, power)
        target = math.pow(speed, power + 2) + amount * factor
        if target < 0:
            return NEVER
        time = (math.pow(target, 1 / (power + 2)) - speed) / change
    return max(0, math.ceil(time)) if time < _LONGEST else NEVER


SAME_UM = 2
"""Places no further apart are one place: rounding may part them."""


@dataclass(slots=True)
class Motion:
    """All webs of a run; they move as one. Speeds in um/ns, their changes in um/ns2."""

    gain: float
    loss: float
    reference: float
    """Speed at which breaks per length are said."""
    power: float
    """With which they rise with speed."""
    wears: float
    """How many times as often as usual what is made now breaks on a length."""
    place_um: int = 0
    """Length that has passed the knives."""
    speed: float = 0.0
    change: float = 0.0
    target: float = 0.0
    """Speed they head for."""
    until_ns: int = NEVER
    """When they will have it; NEVER where they have it."""
    run_ns: int = 0
    worn_um: float = 0.0
    """Length run, weighted with speed and grade: the meter of breaks."""
    seen_at_ns: int = 0
    """The moment at which all this holds."""
    goal_um: int = NEVER
    """A place at which something is due, ..."""
    goal_at_ns: int = NEVER
    """... and when: then they are there to the micrometre."""
    start_ns: int = 0
    """Beginning of this stretch: moment, ..."""
    start_um: int = 0
    """... place, ..."""
    start_worn_um: float = 0.0
    """... worn length ..."""
    start_speed: float = 0.0
    """... and speed."""


def new_motion(site: Site) -> Motion:
    cutter, path = site.scenario.cutter, site.scenario.web_path
    return Motion(
        gain=cutter.run_up_m_per_min_per_s * UM_PER_NS / 1e9,
        loss=cutter.run_down_m_per_min_per_s * UM_PER_NS / 1e9,
        reference=path.speed_reference_m_per_min * UM_PER_NS,
        power=path.speed_exponent,
        wears=site.goods[0].wears,
    )


def standing(line: Line) -> bool:
    """The webs do not move and are not about to."""
    return line.webs.motion.speed == 0.0 and line.webs.motion.change == 0.0


def settle_webs(line: Line) -> None:
    """Work out where the webs are now, and let the cuts made meanwhile pass the gate."""
    motion, now = line.webs.motion, line.now_ns
    if now == motion.seen_at_ns:
        return
    if motion.change == 0.0 and motion.start_speed <= 0.0:
        motion.seen_at_ns = now
        return
    dt = now - motion.start_ns
    place = motion.start_um + travelled(motion.start_speed, motion.change, dt)
    place = max(motion.place_um, place)
    if now >= motion.goal_at_ns and place + SAME_UM >= motion.goal_um:
        place = max(place, motion.goal_um)
    if now >= motion.until_ns:
        motion.speed = motion.target
    elif motion.change != 0.0:
        motion.speed = motion.start_speed + motion.change * dt
    motion.run_ns += now - motion.seen_at_ns
    motion.seen_at_ns = now
    motion.place_um = place
    cuts = cuts_at(line, place)
    if cuts > line.webs.cutting.cuts:
        cut_to(line, cuts)


def head_for(line: Line, target: float) -> None:
    """From now on they gain or lose speed until they have ``target``."""
    motion = line.webs.motion
    motion.target = target
    rate = motion.gain if target > motion.speed else motion.loss
    if target != motion.speed and rate > 0:
        speed = motion.speed
        begin_stretch(line, speed, rate if target > speed else -rate)
        motion.until_ns = line.now_ns + max(1, round(abs(target - speed) / rate))
    else:
        begin_stretch(line, target, 0.0)


def begin_stretch(line: Line, speed: float, change: float) -> None:
    """From now on they have this speed, and this change of it."""
    motion = line.webs.motion
    wear_webs(line)
    motion.speed = speed
    motion.start_ns = line.now_ns
    motion.start_um = motion.place_um
    motion.start_worn_um = motion.worn_um
    motion.start_speed = speed
    motion.change = change
    motion.until_ns = NEVER
    if line.keeps:
        note_motion(line, motion.place_um, speed, change)


def wear_webs(line: Line) -> None:
    """Bring the meter of worn length up to this moment."""
    motion = line.webs.motion
    if line.webs.breaks.fall_due:
        dt = line.now_ns - motion.start_ns
        motion.worn_um = motion.start_worn_um + motion.wears * wear(
            motion.start_speed, motion.change, dt, motion.reference, motion.power
        )


def time_at(line: Line, place_um: int) -> int:
    """When they will be at this place; NEVER where they stand before."""
    motion = line.webs.motion
    length = place_um - motion.start_um
    return motion.start_ns + time_to_run(motion.start_speed, motion.change, length)
