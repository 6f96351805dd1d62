"""Unwinding: the three ways in which an emptied reel is replaced, and the standstill for it.

In a standstill for reels there is one job for each; people and reels are waited for.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import told
from linesim.line.accounts import CHANGEOVER, RUNNING, WAITING_PEOPLE, WAITING_REEL, count_stop
from linesim.line.books import USE_BUTTS, use_paper
from linesim.line.chance import draw
from linesim.line.clock import NEVER
from linesim.line.crew import ask, hurry
from linesim.line.joints import joints_reached, splice_leaves
from linesim.line.line import Line, Site
from linesim.line.machine import REELS, UNWIND, Stoppage, new_stoppage
from linesim.line.reel_truck import (
    ReelTrucks,
    hurry_trucks,
    is_wanted,
    new_reel_trucks,
    next_order_um,
    order_reels,
    reel_for_change,
    want_reel,
)
from linesim.line.spares import (
    Spare,
    empty_spare,
    hand_out,
    hurry_spare,
    new_spares,
    prepare_spare,
    take_spare,
)
from linesim.line.stand import (
    MORE_REELS,
    Stand,
    fetch_partner,
    fetch_reel,
    has_joint,
    joint_um,
    left_um,
    mount_first,
    mount_part,
    mount_reel,
    new_stand,
    reserve_um,
    send_back,
    send_partner_back,
)
from linesim.line.typed import Ref, Row, add, outside
from linesim.line.web_motion import run_down_length, standing
from linesim.record.states import Kind
from linesim.scenario.goods import paper_of
from linesim.scenario.reels_together import together_below_m
from linesim.scenario.units import UM_PER_NS


@dataclass(slots=True)
class Unwind:
    """All stands, and the standstill of the webs in which reels are replaced."""

    webs: int
    paired: bool
    """Two stands for each web."""
    prepares: bool
    """A web goes on from another stand that is prepared, its own or a spare one."""
    flying: bool
    path_um: int
    """Paper threaded through the machine."""
    butt_um: int
    together_um: Row[int]
    """A reel with less than this left is replaced in the same standstill as another; by product."""
    splice_um: int
    """Length run at splice speed for a flying splice."""
    splice_speed: float
    """um/ns."""
    replace_people: int
    prepare_people: int
    stands: Row[Stand]
    spares: Row[Spare]
    papers: Row[int]
    """Which paper a product is made of."""
    trucks: ReelTrucks
    change_cause: int
    """For which the standstill is, but for a wait for a truck."""
    hold: Stoppage
    """The standstill: it ends when no reel is left to replace."""
    to_replace: Row[Ref[Stand]]
    """Those whose reels are to be replaced in it, in turn."""
    emptied: int = 0
    """How many spare stands were emptied so far."""
    splice_until_um: int = -1
    """Where the flying splice under way is done; -1: there is none."""


def new_unwind(site: Site) -> Unwind:
    """Stands without reels."""
    scenario = site.scenario
    table = scenario.unwind
    prepares = table.prepares_stands
    hold = new_stoppage(0, REELS, UNWIND)
    together = [round(together_below_m(scenario, goods.thickness_um) * 1e6) for goods in site.goods]
    kinds = list(dict.fromkeys(paper_of(goods) for goods in site.goods))
    papers = [kinds.index(paper_of(goods)) for goods in site.goods]
    hold.cause = site.causes.number("splice" if prepares else "reel change", Kind.SET_UP)
    return Unwind(
        webs=table.webs,
        paired=table.stands_per_web == 2,
        prepares=prepares,
        flying=table.change == "flying_splice",
        path_um=round(scenario.web_path.path_length_m * 1e6),
        butt_um=round(table.butt_length_m * 1e6),
        together_um=Row("products", len(together), together),
        splice_um=round(table.splice_length_m * 1e6),
        splice_speed=table.splice_speed_m_per_min * UM_PER_NS,
        replace_people=table.splice_people if prepares else table.change_people,
        prepare_people=table.prepare_people,
        stands=Row("stands", table.webs, [new_stand(site, web) for web in range(table.webs)]),
        spares=new_spares(site),
        papers=Row("products", len(papers), papers),
        trucks=new_reel_trucks(site),
        change_cause=hold.cause,
        hold=hold,
        to_replace=Row("reels in one stop", table.webs),
    )


# Where the reels must be replaced


def _can_fly(line: Line, stand: Stand) -> bool:
    """Its partner is prepared, and the webs do not stop for its reel."""
    return line.webs.unwind.flying and stand.partner_there and stand.replacing == RUNNING


def _stop_um(line: Line, stand: Stand) -> int:
    """Where the webs must begin to stop for this reel."""
    return stand.end_um - reserve_um(line)


def _splice_um(line: Line, stand: Stand) -> int:
    """Where it is spliced while the webs run: so much is left as is meant to be."""
    return stand.end_um - line.webs.unwind.butt_um


def _slow_um(line: Line, stand: Stand) -> int:
    """Where the webs begin to slow down for a flying splice, to have its speed a metre before."""
    unwind, motion = line.webs.unwind, line.webs.motion
    length = run_down_length(line.goods.speed, unwind.splice_speed, motion.loss)
    return _splice_um(line, stand) - length - 1_000_000


def splicing(line: Line) -> bool:
    """While the webs keep to splice speed, or come down to it."""
    place = line.webs.motion.place_um
    for stand in line.webs.unwind.stands:
        if _can_fly(line, stand) and place >= _slow_um(line, stand):
            return True
    return place < line.webs.unwind.splice_until_um


def next_reel_um(line: Line) -> int:
    """The nearest place from here on where a reel wants attention or a joint leaves it."""
    nearest, place = NEVER, line.webs.motion.place_um
    for stand in line.webs.unwind.stands:
        if _can_fly(line, stand):
            slow = _slow_um(line, stand)
            at = slow if place < slow else max(_splice_um(line, stand), place + 1)
            nearest = min(nearest, at)
        elif stand.replacing == RUNNING:
            nearest = min(nearest, _stop_um(line, stand))
        if has_joint(stand):
            nearest = min(nearest, joint_um(stand))
    return max(next_order_um(line, nearest), place)


def reels_reached(line: Line) -> None:
    """The webs have run to here: see to every reel that is due.

    A flying splice needs a prepared partner, and no paper to stop in; without a partner the webs
    run on, and stop for the reel at the last moment. Standing webs that have lost the paper meant
    for the core are spliced as they stand.
    """
    place = line.webs.motion.place_um
    order_reels(line)
    hand_out(line)
    for stand in line.webs.unwind.stands:
        if _can_fly(line, stand):
            if place >= _splice_um(line, stand) and standing(line):
                must_change(line, stand)
        elif place >= _stop_um(line, stand) and stand.replacing == RUNNING:
            if len(line.webs.unwind.spares) > 0:
                splice_at_speed(line)  # one that moves here with it moves before it stops
            must_change(line, stand)


def splice_at_speed(line: Line) -> None:
    """Make the flying splices that are due, if the webs are down at splice speed."""
    motion, unwind = line.webs.motion, line.webs.unwind
    if not 0 < motion.speed <= unwind.splice_speed * (1 + 1e-9):
        return
    for stand in unwind.stands:
        if _can_fly(line, stand) and motion.place_um >= _splice_um(line, stand):
            _replaced(line, stand)
            unwind.splice_until_um = motion.place_um + unwind.splice_um
            count_stop(line, UNWIND, unwind.change_cause)
            told.note_reels(line)  # nothing stops for it that would show it


# The standstill


def must_change(line: Line, stand: Stand) -> None:
    """The line has to stop for this reel."""
    unwind, hold = line.webs.unwind, line.webs.unwind.hold
    if stand.replacing != RUNNING:
        return
    stand.replacing = CHANGEOVER
    add(line, unwind.to_replace, stand)
    if not hold.holds:
        hold.cause = unwind.change_cause
        count_stop(line, UNWIND, hold.cause)
        hold.state = CHANGEOVER
        told.add_hold(line, hold)
    elif hold.stood:
        _begin(line, stand)


def reel_stop_stood(line: Line) -> None:
    """The webs stand: people may go in.

    Other reels with little left are replaced in the same stop, where their partners are ready.
    """
    unwind = line.webs.unwind
    together_um = unwind.together_um[line.product]
    hand_out(line)
    for stand in unwind.stands:
        ready = stand.partner_there or not unwind.prepares
        if ready and stand.replacing == RUNNING and left_um(line, stand) < together_um:
            stand.replacing = CHANGEOVER
            add(line, unwind.to_replace, stand)
    for stand in unwind.to_replace:
        _begin(line, stand)


def _begin(line: Line, stand: Stand) -> None:
    """Ask for people, or wait until the next reel is prepared, or brought."""
    unwind, urgent = line.webs.unwind, line.crew.priority_standing_line
    if unwind.prepares and stand.partner_there:
        _send_people(line, stand)
        return
    stand.replacing = WAITING_REEL
    if not unwind.prepares:
        want_reel(line, stand.web)
    elif not unwind.paired:
        hurry_spare(line, urgent)
    elif not is_wanted(line, stand.web):
        hurry(line, stand.prepare_job, urgent)
    hurry_trucks(line)
    _show_hold(line)


def _send_people(line: Line, stand: Stand) -> None:
    """Its next reel is there: ask for people."""
    unwind, urgent = line.webs.unwind, line.crew.priority_standing_line
    _show_state(line, stand, WAITING_PEOPLE)
    length_ns = draw(line, stand.replace_times)
    ask(line, stand.replace_job, unwind.replace_people, urgent, length_ns, True)


def _show_state(line: Line, stand: Stand, state: int) -> None:
    stand.replacing = state
    _show_hold(line)


def _show_hold(line: Line) -> None:
    """Of the whole standstill: worked on, or else waiting for people, or for a reel."""
    unwind = line.webs.unwind
    hold = unwind.hold
    hold.state = WAITING_REEL
    for each in unwind.to_replace:
        hold.state = min(hold.state, each.replacing)
    trucks, cause = unwind.trucks, unwind.change_cause
    if hold.state == WAITING_REEL and len(trucks.wanted) > 0 and _wait_for_trucks(line):
        cause = trucks.cause
        if hold.cause != cause:
            count_stop(line, UNWIND, cause)
    hold.cause = cause


def _wait_for_trucks(line: Line) -> bool:
    """No stand for which the webs wait has the reel with which it is to be prepared."""
    unwind = line.webs.unwind
    if unwind.paired:
        for stand in unwind.to_replace:
            if not is_wanted(line, stand.web):
                return False
    for i in range(len(unwind.spares)):
        if unwind.spares[i].hurried and not is_wanted(line, unwind.webs + i):
            return False
    return True


def reel_there(line: Line, who: int) -> None:
    """The reel is there for which a stand waits, or a change of grade."""
    unwind, crew = line.webs.unwind, line.crew
    spare = who - unwind.webs
    if spare >= len(unwind.spares):
        reel_for_change(line)
    elif spare >= 0:
        prepare_spare(line, unwind.spares[spare])
    elif not unwind.prepares:
        _send_people(line, unwind.stands[who])
    else:
        stand = unwind.stands[who]
        urgent = stand.replacing == WAITING_REEL
        priority = crew.priority_standing_line if urgent else crew.priority_prepare
        length_ns = draw(line, stand.prepare_times)
        ask(line, stand.prepare_job, unwind.prepare_people, priority, length_ns, urgent)
    if unwind.hold.holds and unwind.hold.stood:
        _show_hold(line)


def show_reel(line: Line, stand: Stand, waits: bool) -> None:
    """People have come to replace this reel, or have gone before it was."""
    told.settle(line)
    _show_state(line, stand, WAITING_PEOPLE if waits else CHANGEOVER)
    told.show(line)


def reel_replaced(line: Line, stand: Stand) -> None:
    """People are done with it."""
    told.settle(line)
    unwind = line.webs.unwind
    for i in range(len(unwind.to_replace)):
        if unwind.to_replace[i] is stand:
            del unwind.to_replace[i]
            break
    _show_state(line, stand, RUNNING)
    _replaced(line, stand)
    reels_reached(line)  # a reel may have lost its paper meanwhile, the fresh one too
    if len(unwind.to_replace) == 0:
        told.release_hold(line, unwind.hold)
    told.show(line)


def _replaced(line: Line, stand: Stand) -> None:
    """The web runs from its new reel; what was left on the old core is a butt.

    Of a pair, the emptied stand is to be prepared: until then the partner is not there. So is
    one that takes the place of a spare stand.
    """
    unwind = line.webs.unwind
    use_paper(line, USE_BUTTS, left_um(line, stand))
    joined = stand.threaded
    mount_reel(line, stand, stand.partner if unwind.paired else fetch_reel(line, stand))
    if joined:
        splice_leaves(line, stand)
    else:
        joints_reached(line)  # those in what was threaded
    if unwind.paired:
        stand.partner_there = False
        want_reel(line, stand.web)
    elif unwind.prepares:
        take_spare(line, stand)


def stand_prepared(line: Line, stand: Stand) -> None:
    """The next reel is on the second stand: a flying splice may be possible after all."""
    told.settle(line)
    fetch_partner(line, stand)
    if stand.replacing == WAITING_REEL:
        _begin(line, stand)
    told.keep_to_speed(line)
    told.show(line)


def spare_prepared(line: Line, spare: Spare) -> None:
    """The next reel is on a spare stand: whichever web needs it first has it."""
    told.settle(line)
    spare.prepared = True
    hand_out(line)
    for stand in line.webs.unwind.to_replace:
        if stand.replacing == WAITING_REEL and stand.partner_there:
            _begin(line, stand)
    if standing(line):
        reels_reached(line)  # another may have counted on it
    told.keep_to_speed(line)
    told.show(line)


# All reels at once


def fill_stands(line: Line, stand: Stand, part: float) -> None:
    """The run begins: reels on all stands."""
    mount_part(line, stand, part)
    if line.webs.unwind.paired:
        fetch_partner(line, stand)


def lay_out_reels(line: Line) -> None:
    """Counting begins: where the scenario says a pattern of reels, they have it now.

    A web whose reel is being changed, or that is torn, is left as it is.
    """
    for stand in line.webs.unwind.stands:
        if stand.part_at_start > 0.0 and stand.threaded and stand.replacing == RUNNING:
            mount_part(line, stand, stand.part_at_start)
    order_reels(line)
    hand_out(line)


def other_reels(line: Line, product: int) -> None:
    """A change of grade: what is on the stands goes back, fresh reels of the new grade come.

    ``product`` is the one whose paper goes back; what has gone back of the new grade may come
    first. Where trucks bring reels, stands that were prepared are so again when those have come.
    """
    unwind = line.webs.unwind
    at_hand = len(unwind.trucks.all) == 0
    for stand in unwind.stands:
        partner = unwind.paired and stand.partner_there
        send_back(line, stand, product)
        if partner:
            send_partner_back(line, stand, product)
        outside(line, MORE_REELS, stand.web)
        if partner and at_hand:
            fetch_partner(line, stand)
        stand.threaded = False
        mount_first(line, stand)
        if partner and not at_hand:
            stand.partner_there = False
            want_reel(line, stand.web)
    for i in range(len(unwind.spares)):
        if unwind.spares[i].prepared and not at_hand:
            empty_spare(line, i, i % unwind.webs)
    hand_out(line)
    joints_reached(line)
