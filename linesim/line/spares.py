"""Spare stands that all webs share: a prepared one takes over for whichever web runs out.

So many webs as there are prepared ones can count on one: those whose reels end first. The emptied
stand is the next spare, prepared with the luck of the web that emptied it. Its reel is the next of
whichever web takes over from it, and counts as paper in the store until then: so the k-th reel of
a web is the same whatever stands there are.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line.accounts import RUNNING, WAITING_REEL
from linesim.line.chance import draw
from linesim.line.clock import SPARE_PREPARED
from linesim.line.crew import Job, ask, hurry, new_job
from linesim.line.line import Line, Site
from linesim.line.reel_truck import is_wanted, want_reel
from linesim.line.stand import Stand
from linesim.line.typed import Row
from linesim.scenario.people import way_to, who_can


@dataclass(slots=True)
class Spare:
    """One of them, which may be anywhere along the line."""

    prepare_job: Job
    prepared: bool = True
    web: int = 0
    """Which web has emptied it, ..."""
    turn: int = 0
    """... and after how many others that were."""
    hurried: bool = False
    """A web waits for it."""


def new_spares(site: Site) -> Row[Spare]:
    """All of them, prepared."""
    count = site.scenario.unwind.spare_stands or 0
    who = who_can(site.scenario, "prepare", "unwind")
    place_ns = way_to(site.scenario, "unwind")
    every = [Spare(new_job(SPARE_PREPARED, i, who, place_ns)) for i in range(count)]
    return Row("spare stands", count, every)


def hand_out(line: Line) -> None:
    """Say which webs can count on a spare stand that is prepared."""
    unwind = line.webs.unwind
    if len(unwind.spares) == 0:
        return
    prepared = 0
    for spare in unwind.spares:
        prepared += spare.prepared
    for stand in unwind.stands:
        stand.partner_there = stand.partner_there and _at_work(line, stand)
        prepared -= stand.partner_there
    while prepared > 0:
        first = -1
        for stand in unwind.stands:
            if stand.partner_there:
                continue
            if first < 0 or _goes_before(line, stand, unwind.stands[first]):
                first = stand.web
        if first < 0:
            return
        unwind.stands[first].partner_there = True
        prepared -= 1


def _stand_for_reels(line: Line) -> bool:
    return line.webs.unwind.hold.holds and line.webs.unwind.hold.stood


def _at_work(line: Line, stand: Stand) -> bool:
    """People have been asked to splice it to a spare one."""
    if not _stand_for_reels(line):
        return False
    return stand.replacing != RUNNING and stand.replacing != WAITING_REEL


def _goes_before(line: Line, stand: Stand, other: Stand) -> bool:
    """While the webs stand, one they stand for does; else the one whose reel ends first."""
    if _stand_for_reels(line):
        stands, other_stands = stand.replacing != RUNNING, other.replacing != RUNNING
        if stands != other_stands:
            return stands
    return stand.end_um < other.end_um


def take_spare(line: Line, stand: Stand) -> None:
    """A web runs from a spare stand: the emptied one is to be prepared in its place."""
    unwind = line.webs.unwind
    stand.partner_there = False
    for i in range(len(unwind.spares)):
        if unwind.spares[i].prepared:
            empty_spare(line, i, stand.web)
            break
    hand_out(line)


def empty_spare(line: Line, which: int, web: int) -> None:
    """This one is to be prepared."""
    unwind = line.webs.unwind
    spare = unwind.spares[which]
    spare.prepared = spare.hurried = False
    spare.web = web
    spare.turn = unwind.emptied
    unwind.emptied += 1
    want_reel(line, unwind.webs + which)


def prepare_spare(line: Line, spare: Spare) -> None:
    """Its next reel is there."""
    unwind, crew = line.webs.unwind, line.crew
    length_ns = draw(line, unwind.stands[spare.web].prepare_times)
    priority = crew.priority_standing_line if spare.hurried else crew.priority_prepare
    people = unwind.prepare_people
    ask(line, spare.prepare_job, people, priority, length_ns, spare.hurried)


def hurry_spare(line: Line, priority: int) -> None:
    """One more web waits for a spare stand: the one emptied first is to be prepared now."""
    spares, first = line.webs.unwind.spares, -1
    for i in range(len(spares)):
        if spares[i].prepared or spares[i].hurried:
            continue
        if first < 0 or spares[i].turn < spares[first].turn:
            first = i
    if first >= 0:
        spares[first].hurried = True
        if not is_wanted(line, line.webs.unwind.webs + first):
            hurry(line, spares[first].prepare_job, priority)
