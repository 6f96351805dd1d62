"""Where a web is joined or parts: splices, the mill's joints, and breaks.

A web breaks by the length it has run, weighted with its speed, and by chance at splices, joints
and restarts. Each web's k-th break takes the k-th draws of its own streams.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim import paper
from linesim.line import told
from linesim.line.accounts import DOWN, count_stop
from linesim.line.books import JOINT, SPLICE, USE_BROKEN, use_paper
from linesim.line.chance import Stream, draw, falls, first_draw
from linesim.line.cutting import drop_partial_cut, forget_paper, reject_around
from linesim.line.line import Line, Site
from linesim.line.machine import begin_stoppage
from linesim.line.stand import Stand, has_joint, joint_um, left_um, lose_paper
from linesim.line.typed import Row, add, shorten
from linesim.line.unwind import UNWIND
from linesim.line.web_motion import SAME_UM, stop_dead, wear_webs
from linesim.record.states import Kind
from linesim.scenario import WEB_STATIONS
from linesim.scenario.units import MINUTE

SOON_UM = 1_000_000
"""How far the webs run on before a weak place in the machine gives way."""


@dataclass(slots=True)
class WebLuck:
    """What can happen to one web."""

    gaps: Stream
    """Worn length from one break to the next, um."""
    splice: Stream
    """Whether a splice that leaves the stand breaks it; the same of a mill's joint, a restart."""
    joint: Stream
    restart: Stream
    clamp: Stream
    """Whether the clamp holds its tail."""
    held: Stream
    """Times to re-thread where it does ..."""
    lost: Stream
    """... and where it does not."""


@dataclass(slots=True)
class Breaks:
    """The luck of every web, and the breaks to come."""

    cause: int
    people: int
    """To re-thread."""
    luck: Row[WebLuck]
    fall_due: bool
    """Webs break by the length they run."""
    due_um: Row[float]
    """Worn length at which each web breaks next."""
    soon_webs: Row[int]
    """Breaks about to happen: webs ..."""
    soon_um: Row[int]
    """... and places."""
    checked_webs: Row[int]
    """Those looked at now, while some of them happen."""
    checked_um: Row[int]


def new_breaks(site: Site) -> Breaks:
    """No break is about to happen."""
    scenario, chance = site.scenario, site.chance
    path, reels, webs = scenario.web_path, scenario.reels, scenario.unwind.webs
    cause = site.causes.number("web break", Kind.STOP)
    length = paper.reel_length_m(
        reels.diameter_mm, reels.core_diameter_mm, scenario.product.thickness_um
    )
    per_um = path.breaks_per_100_reels / 100 / (length * 1e6)

    def luck(web: int) -> WebLuck:
        def coin(likely: float, what: str) -> Stream:
            return chance.coin(likely, "web_path", web, what)

        return WebLuck(
            gaps=chance.gaps(per_um, "web_path", web, "break") if per_um > 0 else chance.none(),
            splice=coin(path.break_chance_at_splice, "splice"),
            joint=coin(path.break_chance_at_joint, "joint"),
            restart=coin(path.break_chance_at_restart, "restart"),
            clamp=coin(path.clamp_holds_chance, "clamp holds"),
            held=chance.stream(path.rethread_held_min, MINUTE, "web_path", web, "held"),
            lost=chance.stream(path.rethread_lost_min, MINUTE, "web_path", web, "lost"),
        )

    lucks = [luck(web) for web in range(webs)]
    due = [float(first_draw(each.gaps)) if per_um > 0 else 0.0 for each in lucks]
    return Breaks(
        cause=cause,
        people=path.rethread_people,
        luck=Row("webs", webs, lucks),
        fall_due=per_um > 0,
        due_um=Row("webs", webs, due),
        soon_webs=Row("breaks about to happen", webs),
        soon_um=Row("breaks about to happen", webs),
        checked_webs=Row("breaks about to happen", webs),
        checked_um=Row("breaks about to happen", webs),
    )


def expect_break(line: Line, web: int, place_um: int) -> None:
    """This web will break when the webs have run to this place."""
    breaks = line.webs.breaks
    for i in range(len(breaks.soon_webs)):
        if breaks.soon_webs[i] == web:
            breaks.soon_um[i] = min(breaks.soon_um[i], place_um)
            return
    add(line, breaks.soon_webs, web)
    add(line, breaks.soon_um, place_um)


def no_longer_expected(breaks: Breaks, web: int) -> bool:
    """It happens: it is no longer about to. False where it is not any more."""
    kept = 0
    for i in range(len(breaks.soon_webs)):
        if breaks.soon_webs[i] != web:
            breaks.soon_webs[kept] = breaks.soon_webs[i]
            breaks.soon_um[kept] = breaks.soon_um[i]
            kept += 1
    found = kept < len(breaks.soon_webs)
    shorten(breaks.soon_webs, kept)
    shorten(breaks.soon_um, kept)
    return found


def forget_expected(breaks: Breaks) -> None:
    """The paper in which breaks were about to happen is gone."""
    shorten(breaks.soon_webs, 0)
    shorten(breaks.soon_um, 0)


def rethread_ns(line: Line, web: int) -> int:
    """Time to re-thread: short where the clamp has held the tail, long where not."""
    luck = line.webs.breaks.luck[web]
    held = falls(line, luck.clamp)
    short, long = draw(line, luck.held), draw(line, luck.lost)
    return short if held else long


_WEB_PATH = WEB_STATIONS.index("web_path")


def splice_at_speed(line: Line) -> None:
    """Make the flying splices that are due, if the webs are down at splice speed."""
    motion, table = line.webs.motion, line.webs.unwind
    for stand in table.stands:
        if not stand.splice_wanted or not stand.partner_there:
            continue
        if told.being_replaced(line, stand):
            continue  # too late for it: the webs stop for this reel
        most = table.splice_speed * (1 + 1e-9)
        if motion.place_um < stand.splice_um or not 0 < motion.speed <= most:
            continue
        told.replaced(line, stand)
        line.webs.splice_until_um = motion.place_um + table.splice_um
        count_stop(line, UNWIND, table.cause)
        told.note_reels(line)  # nothing stops for it that would show it


def splice_leaves(line: Line, stand: Stand) -> None:
    """A new reel has been joined to a threaded web: the joint is on its way, and holds or not."""
    all_webs = line.webs
    place = all_webs.motion.place_um
    reject_around(line, place, all_webs.gate.cuts_per_splice, SPLICE)
    fails = False
    if all_webs.unwind.paired:
        fails = falls(line, stand.splice_fails)
    breaks = falls(line, all_webs.breaks.luck[stand.web].splice)
    if fails or breaks:
        expect_break(line, stand.web, place + (0 if all_webs.motion.speed > 0 else SOON_UM))


def joints_reached(line: Line) -> None:
    """The webs have run to here: the mill's joints that have left their reels."""
    place, breaks = line.webs.motion.place_um, line.webs.breaks
    for stand in line.webs.unwind.stands:
        while has_joint(stand) and joint_um(stand) <= place:
            reject_around(line, joint_um(stand), line.webs.gate.cuts_per_joint, JOINT)
            stand.next_joint += 1
            if falls(line, breaks.luck[stand.web].joint):
                expect_break(line, stand.web, line.webs.motion.place_um + 1)


def break_where_due(line: Line) -> None:
    """Break every web that is due, by a weak place or by the length run."""
    motion, breaks = line.webs.motion, line.webs.breaks
    place = motion.place_um
    # A break takes the paper in which others would have happened: it clears the list.
    shorten(breaks.checked_webs, 0)
    shorten(breaks.checked_um, 0)
    for i in range(len(breaks.soon_webs)):
        add(line, breaks.checked_webs, breaks.soon_webs[i])
        add(line, breaks.checked_um, breaks.soon_um[i])
    for i in range(len(breaks.checked_webs)):
        web = breaks.checked_webs[i]
        if place >= breaks.checked_um[i] and no_longer_expected(breaks, web):
            break_web(line, web)
            break  # what else was about to happen was in the paper that is gone
    wear_webs(line)
    if breaks.fall_due:
        for web in range(len(breaks.due_um)):
            if motion.worn_um + SAME_UM >= breaks.due_um[web]:
                gap = max(1, draw(line, breaks.luck[web].gaps))
                breaks.due_um[web] = motion.worn_um + float(gap)
                break_web(line, web)


def break_web(line: Line, web: int) -> None:
    """A web breaks: the webs stand at once, the paper in the machine is lost on all.

    What is threaded anew may have joints.
    """
    told.settle(line)
    all_webs, motion = line.webs, line.webs.motion
    coast_ns = round(motion.speed / motion.loss) if motion.loss > 0 else 0
    restore_ns = coast_ns + rethread_ns(line, web)
    drop_partial_cut(line, USE_BROKEN)
    forget_paper(line)
    forget_expected(all_webs.breaks)
    all_webs.splice_until_um = -1
    short = _lose_threaded_paper(line)
    cause = all_webs.breaks.cause
    count_stop(line, _WEB_PATH, cause)
    stop = begin_stoppage(line, _WEB_PATH, cause, DOWN, restore_ns)
    stop.people = all_webs.breaks.people
    stop.priority = line.crew.priority_standing_line
    stop_dead(line)
    told.add_hold(line, stop)
    joints_reached(line)
    for stand in all_webs.unwind.stands:
        if (short >> stand.web) & 1:
            told.must_change(line, stand)
    told.reels_reached(line)


def _lose_threaded_paper(line: Line) -> int:
    """What is threaded is lost; the stands whose reels cannot be threaded again, a bit for each."""
    short, length = 0, line.webs.unwind.path_um
    for stand in line.webs.unwind.stands:
        if not stand.threaded:
            continue
        use_paper(line, USE_BROKEN, length)
        if left_um(line, stand) >= length:
            lose_paper(line, stand, length)
        else:
            stand.threaded = False
            short |= 1 << stand.web
    return short
