"""A stand, or pair of stands, of one web: the reel in use and where it must be replaced.

A place on the webs is the length (um) that has passed the knives. A reel ends at the place at
which its paper would leave the stand; lost paper brings that end nearer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linesim.line.chance import Stream, draw
from linesim.line.clock import NEVER
from linesim.line.crew import Job, ask, new_job
from linesim.line.history import note_reel_moved
from linesim.line.reel import MORE_REELS, ReelStore, reel_store
from linesim.line.rings import PREPARED, REEL_REPLACED
from linesim.line.typed import Aside, Row, outside
from linesim.scenario.units import MINUTE

if TYPE_CHECKING:
    from linesim.line.line import Line
    from linesim.line.site import Site


@dataclass(slots=True)
class Stand:
    """The stand or pair of stands of one web."""

    web: int
    store: Aside[ReelStore]
    lengths_um: Row[int]
    """Of the reels in the store, those that were used included."""
    joints_end: Row[int]
    """Of each: how many joints it and those before it have."""
    joints_um: Row[int]
    """Distances of all their joints from the outer end of their reels."""
    change_times: Stream
    splice_times: Stream
    prepare_times: Stream
    splice_fails: Stream
    prepare_job: Job
    replace_job: Job
    part_at_start: float
    """How much of a reel it has when counting begins; 0: as the run-in leaves it."""
    fetched: int = 0
    """Reels taken from the store."""
    end_um: int = 0
    outer_end_um: int = 0
    """Place at which the outer end of the reel in use has, or would have, left the stand."""
    next_joint: int = 0
    """The next joint of the reel in use ..."""
    last_joint: int = 0
    """... and the one after its last."""
    threaded: bool = True
    """False from a break on that took more paper than the reel had left."""
    partner_there: bool = False
    """The reel on the second stand is prepared."""
    partner: int = 0
    """Which it is ..."""
    partner_um: int = 0
    """... and how much is on it."""
    preparing: bool = False
    """Somebody has been asked to prepare it."""
    stop_um: int = NEVER
    """Where the webs must begin to stop for this reel."""
    splice_um: int = NEVER
    """Where it is spliced while the webs run: so much is left as is meant to be."""
    splice_wanted: bool = False
    """The webs come down to splice speed, and keep it, for a flying splice."""
    replaced_in: int = 0
    """Which standstill for reels its job belongs to."""
    shown_end_um: int = -1
    """Its end when it was last noted in the history."""


def new_stand(site: Site, web: int) -> Stand:
    """A stand without a reel."""
    scenario, name = site.scenario, f"web {web + 1}"
    table = scenario.unwind
    store = reel_store(scenario, site.chance, web)
    reels = store.reels(site.goods[0].thickness_um, 1)
    pattern = scenario.reels.at_start
    said = pattern is not None and pattern != "random"
    return Stand(
        web=web,
        store=store,
        lengths_um=reels.lengths,
        joints_end=reels.joints_end,
        joints_um=reels.joints,
        change_times=site.stream(table.change_min, MINUTE, "unwind", name, "change_min"),
        splice_times=site.stream(table.splice_min, MINUTE, "unwind", name, "splice_min"),
        prepare_times=site.stream(table.prepare_min, MINUTE, "unwind", name, "prepare_min"),
        splice_fails=site.chance.coin(table.splice_fail_chance, "unwind", name, "splice fails"),
        prepare_job=new_job(PREPARED, web),
        replace_job=new_job(REEL_REPLACED, web),
        part_at_start=_part(site, web, pattern) if said and pattern is not None else 0.0,
    )


def part_at_start(site: Site, web: int) -> float:
    """How much of its first reel a web has when the line begins to run."""
    pattern = site.scenario.reels.at_start
    if site.run_in_ns or (pattern is None and site.scenario.start.state != "new"):
        pattern = "random"
    return _part(site, web, pattern or "fresh")


def _part(site: Site, web: int, pattern: str) -> float:
    if pattern == "staggered":
        return (web + 1) / site.scenario.unwind.webs
    if pattern == "random":
        return site.chance.uniform("unwind", web, "at start")
    return 1.0


# -- rules ---------------------------------------------------------------------------------------


def left_um(line: Line, stand: Stand) -> int:
    """Paper on the reel in use."""
    return stand.end_um - line.webs.motion.place_um


def aim_reel(line: Line, stand: Stand) -> None:
    """Where the reel must be replaced."""
    stand.stop_um = stand.end_um - line.webs.unwind.reserve_um
    stand.splice_um = stand.end_um - line.webs.unwind.butt_um


def lose_paper(line: Line, stand: Stand, length_um: int) -> None:
    """The next ``length_um`` of the reel is lost."""
    stand.end_um -= length_um
    stand.outer_end_um -= length_um
    aim_reel(line, stand)


def fetch_reel(line: Line, stand: Stand) -> int:
    """The next reel from the store: its number there."""
    if stand.fetched >= len(stand.lengths_um):
        outside(line, MORE_REELS, stand.web)
    reel = stand.fetched
    stand.fetched += 1
    if line.has_orders:
        note_reel_moved(line, stand.web, False, line.product, stand.lengths_um[reel])
    return reel


def mount_reel(line: Line, stand: Stand, reel: int) -> None:
    """Paper is taken from this reel from here on."""
    gone = 0
    if not stand.threaded:
        gone = min(line.webs.unwind.path_um, stand.lengths_um[reel])
        stand.threaded = True
    _mount(line, stand, reel, gone)


def mount_part(line: Line, stand: Stand, part: float) -> None:
    """The next reel is put on, and only so much of it is left."""
    reel = fetch_reel(line, stand)
    length = stand.lengths_um[reel]
    least = min(line.webs.unwind.reserve_um + 1, length)
    stand.threaded = True
    _mount(line, stand, reel, length - max(int(length * part), least))


def _mount(line: Line, stand: Stand, reel: int, gone_um: int) -> None:
    place = line.webs.motion.place_um
    stand.end_um = place + stand.lengths_um[reel] - gone_um
    stand.outer_end_um = place - gone_um
    first = 0
    if reel > 0:
        first = stand.joints_end[reel - 1]
    stand.last_joint = stand.joints_end[reel]
    while first < stand.last_joint and gone_um > 0 and stand.joints_um[first] <= gone_um:
        first += 1
    stand.next_joint = first
    stand.splice_wanted = False
    aim_reel(line, stand)


def has_joint(stand: Stand) -> bool:
    """Whether the reel in use has a joint still to come."""
    return stand.next_joint < stand.last_joint


def joint_um(stand: Stand) -> int:
    """Where the next joint leaves the stand."""
    return stand.outer_end_um + stand.joints_um[stand.next_joint]


def prepare(line: Line, stand: Stand) -> None:
    """The emptied stand is to be prepared."""
    stand.preparing = True
    length_ns = draw(line, stand.prepare_times)
    people = line.webs.unwind.prepare_people
    ask(line, stand.prepare_job, people, line.crew.priority_prepare, length_ns, False)
