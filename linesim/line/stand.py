"""The stand of a web, or its pair of stands, and the paper on it.

A place on the webs is the length (um) that has passed the knives. A reel ends at the place at
which its paper would leave the stand; lost paper brings that end nearer.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line.accounts import RUNNING
from linesim.line.chance import Stream
from linesim.line.clock import PREPARED, REEL_REPLACED
from linesim.line.crew import Job, new_job
from linesim.line.history import note
from linesim.line.line import Line, Site
from linesim.line.reels import ReelStore, reel_store
from linesim.line.typed import Aside, Row, outside
from linesim.line.web_motion import run_down_length, wear_webs
from linesim.scenario.goods import paper_of
from linesim.scenario.people import way_to, who_can
from linesim.scenario.reels_together import are_changed_together
from linesim.scenario.units import MINUTE

MORE_REELS = 2
"""What Python is asked for when the reels of a web are used up."""


NO_REEL = -1


@dataclass(slots=True)
class Returned:
    """What of one web went back to the store at a change of grade and is to be taken again.

    It is one part reel and one whole one at most: when the grade comes again they go on first.
    """

    part: int = NO_REEL
    """Number of the part reel, ..."""
    gone_um: int = 0
    """... what is gone of it ..."""
    next_joint: int = 0
    """... and its next joint."""
    whole: int = NO_REEL
    """Number of the reel that was prepared on the second stand."""


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
    bad: Row[int]
    """Of each: 1 for a bad one, 0 for a good one."""
    replace_times: Stream
    prepare_times: Stream
    splice_fails: Stream
    prepare_job: Job
    replace_job: Job
    part_at_start: float
    """How much of a reel it has when counting begins; 0: as the run-in leaves it."""
    returned: Row[Returned]
    """By paper; none where what has gone back is left in the store."""
    reel: int = 0
    """Number of the reel in use."""
    fetched: int = 0
    """Fresh reels taken from the store."""
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
    """The reel on the second stand is prepared, or a spare stand that is prepared is for it."""
    partner: int = 0
    """Which is on the second stand."""
    replacing: int = RUNNING
    """State of a standstill in which this reel alone is replaced; RUNNING: it is not to be."""
    shown_end_um: int = -1
    """Its end when it was last noted in the history."""


def new_stand(site: Site, web: int) -> Stand:
    scenario, name = site.scenario, f"web {web + 1}"
    table = scenario.unwind
    store = reel_store(scenario, site.chance, web)
    reels = store.reels(site.goods[0].thickness_um, 1)
    pattern = scenario.reels.at_start
    said = pattern is not None and pattern != "random"
    replace = "splice_min" if table.prepares_stands else "change_min"
    again = scenario.changeover.part_reels == "taken_again"
    papers = len({paper_of(goods) for goods in site.goods}) if again else 0
    here = way_to(scenario, "unwind")
    truck, law, prepare = scenario.reel_truck, table.prepare_min, "prepare_min"
    if truck is not None and truck.places is not None:
        law, prepare = truck.chuck_min, "chuck_min"
    return Stand(
        web=web,
        store=store,
        lengths_um=reels.lengths,
        joints_end=reels.joints_end,
        joints_um=reels.joints,
        bad=reels.bad,
        replace_times=site.chance.stream(getattr(table, replace), MINUTE, "unwind", name, replace),
        prepare_times=site.chance.stream(law, MINUTE, "unwind", name, prepare),
        splice_fails=site.chance.coin(table.splice_fail_chance, "unwind", name, "splice fails"),
        prepare_job=new_job(PREPARED, web, who_can(scenario, "prepare", "unwind"), here),
        replace_job=new_job(REEL_REPLACED, web, who_can(scenario, "reels", "unwind"), here),
        part_at_start=_part(site, web, pattern) if said and pattern is not None else 0.0,
        returned=Row("papers", papers, [Returned() for _ in range(papers)]),
    )


def part_at_start(site: Site, web: int) -> float:
    """How much of its first reel a web has when the line begins to run."""
    pattern = site.scenario.reels.at_start
    if site.run_in_ns or (pattern is None and site.scenario.start.state != "new"):
        if pattern is None and are_changed_together(site.scenario):
            return _part_alike(site, web)
        pattern = "random"
    return _part(site, web, pattern or "fresh")


def _part_alike(site: Site, web: int) -> float:
    """Reels that went on together have run the same length: a part of the shortest of them."""
    thickness, webs = site.goods[0].thickness_um, range(site.scenario.unwind.webs)
    stores = [reel_store(site.scenario, site.chance, each) for each in webs]
    lengths = [store.reel(0, thickness).length_um for store in stores]
    run = (1 - site.chance.uniform("unwind", "together", "at start")) * min(lengths)
    return 1 - run / lengths[web]


def _part(site: Site, web: int, pattern: str) -> float:
    if pattern == "staggered":
        return (web + 1) / site.scenario.unwind.webs
    if pattern == "random":
        return site.chance.uniform("unwind", web, "at start")
    return 1.0


def left_um(line: Line, stand: Stand) -> int:
    """Paper on the reel in use."""
    return stand.end_um - line.webs.motion.place_um


def reserve_um(line: Line) -> int:
    """So much must be left on a reel for the webs to stop in, and for the core."""
    motion = line.webs.motion
    return line.webs.unwind.butt_um + run_down_length(line.goods.speed, 0.0, motion.loss)


def lose_paper(stand: Stand, length_um: int) -> None:
    """The next ``length_um`` of the reel is lost; joints in it are drawn into the machine."""
    stand.end_um -= length_um
    stand.outer_end_um -= length_um


def throw_away(line: Line, stand: Stand, length_um: int) -> None:
    """The next ``length_um`` of the reel is thrown away, and the mill's joints in it."""
    _forget_joints(line, stand, length_um)
    lose_paper(stand, length_um)


def _forget_joints(line: Line, stand: Stand, within_um: int) -> None:
    """Joints up to so far from here on the reel are gone."""
    until = line.webs.motion.place_um + within_um
    while has_joint(stand) and joint_um(stand) <= until:
        stand.next_joint += 1


def fetch_reel(line: Line, stand: Stand) -> int:
    """The next whole reel from the store: its number there."""
    if len(stand.returned) > 0:
        again = stand.returned[line.webs.unwind.papers[line.product]]
        if again.whole != NO_REEL:
            reel = again.whole
            again.whole = NO_REEL
            _enter_fetched(line, stand, stand.lengths_um[reel])
            return reel
    if stand.fetched >= len(stand.lengths_um):
        outside(line, MORE_REELS, stand.web)
    reel = stand.fetched
    stand.fetched += 1
    _enter_fetched(line, stand, stand.lengths_um[reel])
    return reel


def _enter_fetched(line: Line, stand: Stand, length_um: int) -> None:
    line.book.loaded_um += length_um
    if line.has_orders:
        note(line, line.history.store, line.now_ns, stand.web, False, line.product, length_um)


def send_back(line: Line, stand: Stand, product: int) -> None:
    """The reel in use goes back to the store, a part reel of that product's paper."""
    left = left_um(line, stand)
    _enter_returned(line, stand, product, left)
    if len(stand.returned) > 0:
        again = stand.returned[line.webs.unwind.papers[product]]
        again.part = stand.reel
        again.gone_um = stand.lengths_um[stand.reel] - left
        again.next_joint = stand.next_joint


def send_partner_back(line: Line, stand: Stand, product: int) -> None:
    """So does the reel on the second stand, whole."""
    _enter_returned(line, stand, product, stand.lengths_um[stand.partner])
    if len(stand.returned) > 0:
        stand.returned[line.webs.unwind.papers[product]].whole = stand.partner


def _enter_returned(line: Line, stand: Stand, product: int, length_um: int) -> None:
    line.book.returned_um += length_um
    note(line, line.history.store, line.now_ns, stand.web, True, product, length_um)


def mount_first(line: Line, stand: Stand) -> None:
    """The first reel of another paper: the part reel that went back, or else a whole one."""
    if len(stand.returned) > 0:
        again = stand.returned[line.webs.unwind.papers[line.product]]
        reel = again.part
        again.part = NO_REEL
        if reel != NO_REEL:
            left = stand.lengths_um[reel] - again.gone_um
            if left > line.webs.unwind.path_um + reserve_um(line):
                _enter_fetched(line, stand, left)
                _mount(line, stand, reel, again.gone_um + line.webs.unwind.path_um)
                stand.next_joint = again.next_joint
                return
    mount_reel(line, stand, fetch_reel(line, stand))


def fetch_partner(line: Line, stand: Stand) -> None:
    """The next reel is on the second stand, prepared."""
    stand.partner = fetch_reel(line, stand)
    stand.partner_there = True


def mount_reel(line: Line, stand: Stand, reel: int) -> None:
    """Paper is taken from this reel from here on; joints in what is threaded are in the machine."""
    gone = 0
    if not stand.threaded:
        gone = min(line.webs.unwind.path_um, stand.lengths_um[reel])
    _mount(line, stand, reel, gone)


def mount_part(line: Line, stand: Stand, part: float) -> None:
    """The next reel is put on, and only so much of it is left."""
    reel = fetch_reel(line, stand)
    length = stand.lengths_um[reel]
    least = min(reserve_um(line) + 1, length)
    _mount(line, stand, reel, length - max(int(length * part), least))
    _forget_joints(line, stand, 0)


def _mount(line: Line, stand: Stand, reel: int, gone_um: int) -> None:
    place = line.webs.motion.place_um
    stand.threaded = True
    stand.reel = reel
    stand.end_um = place + stand.lengths_um[reel] - gone_um
    stand.outer_end_um = place - gone_um
    stand.next_joint = 0
    if reel > 0:
        stand.next_joint = stand.joints_end[reel - 1]
    stand.last_joint = stand.joints_end[reel]
    _break_as(line, stand, reel)


def _break_as(line: Line, stand: Stand, reel: int) -> None:
    """From here on the web breaks as often as this reel does.

    What is left to its next break is a length of a mean reel; on a reel that breaks f times as
    often it is run in 1/f of it.
    """
    breaks = line.webs.breaks
    pace = breaks.good_pace
    if stand.bad[reel] != 0:
        pace = breaks.bad_pace
    web = breaks.webs[stand.web]
    if pace != web.pace:
        wear_webs(line)
        worn_um = line.webs.motion.worn_um
        web.due_um = worn_um + (web.due_um - worn_um) * web.pace / pace
        web.pace = pace


def has_joint(stand: Stand) -> bool:
    """Whether the reel in use has a joint still to come."""
    return stand.next_joint < stand.last_joint


def joint_um(stand: Stand) -> int:
    """Where the next joint leaves the stand."""
    return stand.outer_end_um + stand.joints_um[stand.next_joint]
