"""Unwinding: the three ways in which an emptied reel is replaced, and the standstill for it.

In a standstill for reels there is one job for each; people and reels are waited for.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import told
from linesim.line.accounts import CHANGEOVER, WAITING_PEOPLE, WAITING_REEL, count_stop
from linesim.line.books import USE_BUTTS, use_paper
from linesim.line.chance import draw
from linesim.line.clock import NEVER
from linesim.line.crew import ask, hurry
from linesim.line.history import note_reel_moved
from linesim.line.line import Line, Site
from linesim.line.machine import REELS, Stoppage, new_stoppage
from linesim.line.stand import (
    MORE_REELS,
    Stand,
    aim_reel,
    fetch_reel,
    has_joint,
    joint_um,
    left_um,
    mount_part,
    mount_reel,
    new_stand,
    prepare,
)
from linesim.line.typed import Row, add, outside, shorten
from linesim.line.web_motion import run_down_length, settle_webs, standing
from linesim.record.states import Kind
from linesim.scenario.goods import Goods
from linesim.scenario.units import UM_PER_NS

UNWIND = 0
"""Its number among the stations."""


@dataclass(slots=True)
class ReelStop:
    """It ends when no reel is left to replace. Sets of stands are a bit for each web."""

    hold: Stoppage
    order: Row[int]
    """Webs whose reels are to be replaced in it, in turn."""
    under_way: bool = False
    """The webs stand for it, or are about to."""
    begun: bool = False
    """They stand."""
    left: int = 0
    """Those not yet replaced."""
    waiting_people: int = 0
    waiting_reel: int = 0


def new_reel_stop(cause: int, webs: int) -> ReelStop:
    """It is not under way."""
    hold = new_stoppage(0, REELS, UNWIND)
    hold.cause = cause
    hold.state = CHANGEOVER
    return ReelStop(hold, Row("reels in one stop", webs))


def begin_reel_stop(stop: ReelStop) -> None:
    """A reel has run out."""
    stop.under_way = True
    stop.begun = False
    _show_state(stop)


def in_reel_stop(stop: ReelStop, stand: Stand) -> bool:
    """Whether its reel is still to be replaced in it."""
    for web in stop.order:  # noqa: SIM110 - compiled code has no generators
        if web == stand.web:
            return True
    return False


def _out_of_stop(stop: ReelStop, web: int) -> None:
    """Its reel is replaced: it may have to be once more, in the same stop."""
    kept = 0
    for i in range(len(stop.order)):
        if stop.order[i] != web:
            stop.order[kept] = stop.order[i]
            kept += 1
    shorten(stop.order, kept)


def add_reel(line: Line, stop: ReelStop, stand: Stand) -> None:
    """One more reel to replace in this stop."""
    if in_reel_stop(stop, stand):
        return
    add(line, stop.order, stand.web)
    if stop.begun:
        _begin(line, stop, stand)


def reel_stop_stood(line: Line, stop: ReelStop) -> None:
    """The webs stand: people may go in.

    Other reels with little left are replaced in the same stop, where their partners are ready.
    """
    stop.begun = True
    table = line.webs.unwind
    for stand in table.stands:
        ready = stand.partner_there or not table.paired
        if ready and not in_reel_stop(stop, stand) and left_um(line, stand) < table.together_um:
            add(line, stop.order, stand.web)
    for i in range(len(stop.order)):
        _begin(line, stop, table.stands[stop.order[i]])


def partner_ready(line: Line, stop: ReelStop, stand: Stand) -> None:
    """A stand that this stop may be waiting for has been prepared."""
    if (stop.waiting_reel >> stand.web) & 1:
        stop.waiting_reel &= ~(1 << stand.web)
        _ask(line, stop, stand)


def _begin(line: Line, stop: ReelStop, stand: Stand) -> None:
    stop.left |= 1 << stand.web
    if line.webs.unwind.paired and not stand.partner_there:
        stop.waiting_reel |= 1 << stand.web
        _show_state(stop)
        hurry_stand(line, stand)
    else:
        _ask(line, stop, stand)


def _ask(line: Line, stop: ReelStop, stand: Stand) -> None:
    if line.webs.unwind.paired:
        length_ns = draw(line, stand.splice_times)
    else:
        length_ns = draw(line, stand.change_times)
    stop.waiting_people |= 1 << stand.web
    _show_state(stop)
    people, priority = line.webs.unwind.replace_people, line.crew.priority_standing_line
    ask(line, stand.replace_job, people, priority, length_ns, True)


def show_reel(line: Line, stand: Stand, waits: bool) -> None:
    """People have come to replace this reel, or have gone before it was."""
    told.settle(line)
    stop = line.webs.unwind.stop
    stop.waiting_people &= ~(1 << stand.web)
    if waits:
        stop.waiting_people |= 1 << stand.web
    _show_state(stop)
    told.show(line)


def reel_replaced(line: Line, stand: Stand) -> None:
    """It is replaced."""
    told.settle(line)
    stop = line.webs.unwind.stop
    stop.left &= ~(1 << stand.web)
    _out_of_stop(stop, stand.web)
    _show_state(stop)
    replaced(line, stand)
    reels_reached(line)  # a reel may have lost its paper meanwhile, the fresh one too
    if stop.left == 0:
        stop.under_way = False
        told.release_hold(line, stop.hold)
    told.show(line)


def _show_state(stop: ReelStop) -> None:
    """Worked on, or else waiting: for people, or for a reel to be prepared."""
    waiting = stop.waiting_people | stop.waiting_reel
    if not stop.begun or _members(stop.left) > _members(waiting):
        stop.hold.state = CHANGEOVER
    elif stop.waiting_people != 0:
        stop.hold.state = WAITING_PEOPLE
    else:
        stop.hold.state = WAITING_REEL


def _members(webs: int) -> int:
    count = 0
    while webs != 0:
        webs &= webs - 1
        count += 1
    return count


@dataclass(slots=True)
class Unwind:
    """All stands. The webs tell it how far they have run and ask what comes next."""

    webs: int
    paired: bool
    """Two stands for each web."""
    flying: bool
    path_um: int
    """Paper threaded through the machine."""
    butt_um: int
    together_um: int
    """A reel with less than this left is replaced in the same standstill as another."""
    splice_um: int
    """Length run at splice speed for a flying splice."""
    splice_speed: float
    """um/ns."""
    run_down: float
    """um/ns2."""
    replace_people: int
    prepare_people: int
    cause: int
    stands: Row[Stand]
    stop: ReelStop
    reserve_um: int = 0
    """So much must be left for the webs to stop in, and for the core."""
    slow_um: int = 0
    """So long before the place of a flying splice the webs begin to slow down."""


def new_unwind(site: Site) -> Unwind:
    """Stands without reels."""
    scenario = site.scenario
    table, causes = scenario.unwind, site.causes
    paired = table.stands_per_web == 2
    cause = causes.number("splice" if paired else "reel change", Kind.SET_UP)
    unwind = Unwind(
        webs=table.webs,
        paired=paired,
        flying=table.change == "flying_splice",
        path_um=round(scenario.web_path.path_length_m * 1e6),
        butt_um=round(table.butt_length_m * 1e6),
        together_um=round(table.change_together_below_m * 1e6),
        splice_um=round(table.splice_length_m * 1e6),
        splice_speed=table.splice_speed_m_per_min * UM_PER_NS,
        run_down=scenario.cutter.run_down_m_per_min_per_s * UM_PER_NS / 1e9,
        replace_people=table.splice_people if paired else table.change_people,
        prepare_people=table.prepare_people,
        cause=cause,
        stands=Row("stands", table.webs, [new_stand(site, web) for web in range(table.webs)]),
        stop=new_reel_stop(cause, table.webs),
    )
    look_ahead(unwind, site.goods[0])
    return unwind


def look_ahead(unwind: Unwind, goods: Goods) -> None:
    """How long before the end of a reel something must be done, at the speed of these goods."""
    unwind.reserve_um = unwind.butt_um + run_down_length(goods.speed, 0.0, unwind.run_down)
    # A metre before it must be made, the webs have the speed for a flying splice.
    unwind.slow_um = run_down_length(goods.speed, unwind.splice_speed, unwind.run_down) + 1_000_000


def reels_reached(line: Line) -> None:
    """The webs have run to here: see to every reel that is due.

    A flying splice needs a prepared partner, and no paper to stop in; without a partner the webs
    run on, and stop for the reel at the last moment. Standing webs that have lost the paper meant
    for the core are spliced as they stand.
    """
    want_splices(line)
    place = line.webs.motion.place_um
    for stand in line.webs.unwind.stands:
        if being_replaced(line, stand):
            continue
        if not _can_fly(line, stand):
            if place >= stand.stop_um:
                must_change(line, stand)
            continue
        if place >= stand.splice_um and standing(line):
            must_change(line, stand)


def want_splices(line: Line) -> None:
    """The webs are so far that the speed for a flying splice is wanted of them."""
    unwind, place = line.webs.unwind, line.webs.motion.place_um
    for stand in unwind.stands:
        near = place >= stand.splice_um - unwind.slow_um
        if near and _can_fly(line, stand) and not being_replaced(line, stand):
            stand.splice_wanted = True


def being_replaced(line: Line, stand: Stand) -> bool:
    """The webs stand, or are about to, for this reel."""
    return in_reel_stop(line.webs.unwind.stop, stand)


def must_change(line: Line, stand: Stand) -> None:
    """The line has to stop for this reel."""
    stop = line.webs.unwind.stop
    if stop.under_way:
        add_reel(line, stop, stand)
        return
    count_stop(line, UNWIND, line.webs.unwind.cause)
    begin_reel_stop(stop)
    add_reel(line, stop, stand)
    told.add_hold(line, stop.hold)


def next_reel_um(line: Line) -> int:
    """The nearest place from here on where a reel wants attention or a joint leaves it."""
    nearest, place = NEVER, line.webs.motion.place_um
    for stand in line.webs.unwind.stands:
        if not being_replaced(line, stand):
            nearest = min(nearest, _attention_um(line, stand))
        if has_joint(stand):
            nearest = min(nearest, joint_um(stand))
    return max(nearest, place)


def _attention_um(line: Line, stand: Stand) -> int:
    if not _can_fly(line, stand):
        return stand.stop_um
    if not stand.splice_wanted:
        return stand.splice_um - line.webs.unwind.slow_um
    return max(stand.splice_um, line.webs.motion.place_um + 1)


def _can_fly(line: Line, stand: Stand) -> bool:
    return line.webs.unwind.flying and stand.partner_there


def replaced(line: Line, stand: Stand) -> None:
    """The web runs from its new reel; what was left on the old core is a butt."""
    unwind = line.webs.unwind
    use_paper(line, USE_BUTTS, left_um(line, stand))
    joined = stand.threaded
    reel = stand.partner
    if unwind.paired:
        stand.partner_there = False
    else:
        reel = fetch_reel(line, stand)
        line.book.loaded_um += stand.lengths_um[reel]
    mount_reel(line, stand, reel)
    if joined:
        told.splice_leaves(line, stand)
    else:
        told.joints_reached(line)  # those in what was threaded
    if unwind.paired:
        prepare(line, stand)


def hurry_stand(line: Line, stand: Stand) -> None:
    """The webs stand until this stand is prepared."""
    hurry(line, stand.prepare_job, line.crew.priority_standing_line)


def stand_prepared(line: Line, stand: Stand) -> None:
    """The next reel is on the second stand: a flying splice may be possible after all."""
    told.settle(line)
    _fetch_partner(line, stand)
    partner_ready(line, line.webs.unwind.stop, stand)
    settle_webs(line)
    told.plan_webs(line)
    told.show(line)


def _fetch_partner(line: Line, stand: Stand) -> None:
    stand.partner = fetch_reel(line, stand)
    stand.partner_um = stand.lengths_um[stand.partner]
    stand.partner_there = True
    line.book.loaded_um += stand.partner_um


def fill_stands(line: Line, stand: Stand, part: float) -> None:
    """The run begins: reels on all stands."""
    mount_part(line, stand, part)
    if line.webs.unwind.paired:
        _fetch_partner(line, stand)


def lay_out_reels(line: Line) -> None:
    """Counting begins: where the scenario says a pattern of reels, they have it now.

    A web whose reel is being changed, or that is torn, is left as it is.
    """
    for stand in line.webs.unwind.stands:
        if stand.part_at_start > 0.0 and stand.threaded and not being_replaced(line, stand):
            mount_part(line, stand, stand.part_at_start)


def other_reels(line: Line, product: int) -> None:
    """A change of grade: what is on the stands goes back, fresh reels of the new grade come.

    ``product`` is the one whose paper goes back.
    """
    book = line.book
    for stand in line.webs.unwind.stands:
        left = left_um(line, stand)
        book.returned_um += left
        note_reel_moved(line, stand.web, True, product, left)
        outside(line, MORE_REELS, stand.web)
        if stand.partner_there:
            book.returned_um += stand.partner_um
            note_reel_moved(line, stand.web, True, product, stand.partner_um)
            _fetch_partner(line, stand)
        reel = fetch_reel(line, stand)
        book.loaded_um += stand.lengths_um[reel]
        stand.threaded = False
        mount_reel(line, stand, reel)
    told.joints_reached(line)


def aim_reels(line: Line) -> None:
    """Another speed: where the reels must be replaced."""
    for stand in line.webs.unwind.stands:
        aim_reel(line, stand)
