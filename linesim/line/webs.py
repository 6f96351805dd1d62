"""The webs: everything from the stands to the pockets moves as one.

One alarm rings whenever something is due on the way: a set full, a reel run out, a break, a stop
cause, the end of a ramp. In between, where the webs are is arithmetic. This module decides;
``web_motion`` knows where they are and what is due next, ``cutting`` what was cut, ``web_stops``
which stops there are, ``web_breaks`` what becomes of splices and breaks, ``states`` what the
accounts are told.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import told
from linesim.line.accounts import BLOCKED, NO_CAUSE, root_at
from linesim.line.books import AFTER_STOP, SPOILED, USE_SPOILED, use_paper
from linesim.line.causes import REAMS, Cause, new_causes
from linesim.line.chance import falls
from linesim.line.clock import NEVER, RANK_WEB, WEBS, Alarm
from linesim.line.cutting import (
    Cutting,
    Gate,
    Pockets,
    clear_pockets,
    drop_partial_cut,
    forget_paper,
    new_gate,
    new_pockets,
    reject,
)
from linesim.line.line import Line, Site
from linesim.line.machine import (
    CHANGING_OVER,
    ON_WEBS,
    POCKETS_FULL,
    REELS,
    STOPPED,
    Stoppage,
    begin_job,
    let_go,
    new_stoppage,
)
from linesim.line.states import CUTTER, WebCauses, new_web_causes
from linesim.line.typed import Ref, Row, add, shorten
from linesim.line.unwind import (
    Unwind,
    aim_reels,
    lay_out_reels,
    look_ahead,
    new_unwind,
    other_reels,
    reel_stop_stood,
    reels_reached,
    want_splices,
)
from linesim.line.web_breaks import (
    SOON_UM,
    Breaks,
    break_where_due,
    expect_break,
    joints_reached,
    new_breaks,
    splice_at_speed,
)
from linesim.line.web_motion import (
    Motion,
    Plan,
    begin_stretch,
    head_for,
    new_motion,
    plan_pockets,
    plan_webs,
    settle_webs,
    standing,
    stop_um,
)
from linesim.line.web_stops import (
    fall_by_reams_of_webs,
    fall_on_webs,
    spoil_by_stop,
    web_stops_begin_to_count,
)
from linesim.scenario.stops import METERS


@dataclass(slots=True)
class Webs:
    """Unwinds, web path, slitter, cutter, gate, overlap belt and pockets of one run."""

    why: WebCauses
    cutting: Cutting
    pockets: Pockets
    gate: Gate
    unwind: Unwind
    causes: Row[Cause]
    breaks: Breaks
    motion: Motion
    plan: Plan
    dues: Row[int]
    """Where the first stop falls due on each meter; NEVER where there is none."""
    holds: Row[Ref[Stoppage]]
    """What they stand for, or are to."""
    asked: Row[Ref[Stoppage]]
    """Of these, those that were not yet told that the webs stand."""
    told: Row[Ref[Stoppage]]
    """Those that are being told."""
    full_hold: Stoppage
    slow_to: float
    """At a certain level of the bridge they slow down to this part of their speed."""
    root: int
    """Station and cause that whoever waits for the webs is really waiting for.

    As it was last shown: until then nothing has changed for anybody who waits.
    """
    stands_full: bool = False
    """They stand, or are to, for full pockets."""
    slow: bool = False
    """The bridge asks for less speed."""
    after_stand: bool = False
    """They stand, or have stood, and have not started since."""
    attending: bool = False
    """The transfer is being told of a full set."""
    spoiled_cuts: int = 0
    """Cuts spoiled by stops since the webs last ran; they leave at the gate."""
    splice_until_um: int = -1
    """Where the flying splice under way is done; -1: there is none."""


def new_webs(site: Site) -> Webs:
    """Standing webs."""
    why = new_web_causes(site)
    unwind = new_unwind(site)
    causes = [cause for here in range(ON_WEBS) for cause in new_causes(site, here, RANK_WEB)]
    full = new_stoppage(0, POCKETS_FULL)
    full.cause, full.state = why.pockets_full, BLOCKED
    what = "stops of the webs at once"
    # Besides: one for reels, full pockets, the level of the bridge, what comes next.
    most_stops = len(causes) + site.more_stops + 4
    breaks = new_breaks(site)
    return Webs(
        why=why,
        cutting=Cutting(),
        pockets=new_pockets(site),
        gate=new_gate(site),
        unwind=unwind,
        causes=Row("stop causes", len(causes), causes),
        breaks=breaks,
        motion=new_motion(site),
        plan=Plan(Alarm(RANK_WEB, WEBS)),
        dues=Row("meters", len(METERS), [NEVER] * len(METERS)),
        holds=Row(what, most_stops),
        asked=Row(what, most_stops),
        told=Row(what, 2 * most_stops),
        full_hold=full,
        slow_to=site.scenario.bridge.slow_to_fraction,
        root=root_at(CUTTER, NO_CAUSE),
    )


def webs_begin_to_count(line: Line) -> None:
    """Counting begins: reels and stop causes become what the scenario says of them."""
    lay_out_reels(line)
    web_stops_begin_to_count(line)
    _attend_pockets(line)
    aim_webs(line)


def add_hold(line: Line, hold: Stoppage) -> None:
    """The webs are to stand for this."""
    told.settle(line)
    add(line, line.webs.holds, hold)
    add(line, line.webs.asked, hold)
    aim_webs(line)
    told.show(line)


def release_hold(line: Line, hold: Stoppage) -> None:
    """This no longer holds the webs."""
    told.settle(line)
    let_go(line.webs.holds, hold)
    let_go(line.webs.asked, hold)
    _attend_pockets(line)
    aim_webs(line)
    told.show(line)


def set_slow(line: Line, slow: bool) -> None:
    """The bridge asks for less speed, or no longer."""
    if slow != line.webs.slow:
        told.settle(line)
        line.webs.slow = slow
        aim_webs(line)
        told.show(line)


def set_taken(line: Line) -> None:
    """The full set has been lifted out of the pockets; what the belt holds falls into them."""
    settle_webs(line)
    webs, pockets = line.webs, line.webs.pockets
    pockets.full = False
    pockets.cuts = min(pockets.on_belt, line.goods.cuts_per_ream)
    pockets.on_belt -= pockets.cuts
    if webs.stands_full:
        webs.stands_full = False
        release_hold(line, webs.full_hold)
    _attend_pockets(line)
    if not standing(line) and not webs.attending:
        plan_pockets(line)


def new_goods(line: Line, product: int, other_paper: bool) -> None:
    """Another order begins; the webs stand. Paper in the machine is lost with old reels."""
    webs, before = line.webs, line.product
    drop_partial_cut(line, USE_SPOILED)
    clear_pockets(line)
    if other_paper:
        threaded = 0
        for stand in webs.unwind.stands:
            if stand.threaded:
                threaded += 1
        use_paper(line, USE_SPOILED, threaded * webs.unwind.path_um)
        forget_paper(line)
    line.product = product
    line.goods = line.products[product]
    look_ahead(webs.unwind, line.goods)
    if other_paper:
        other_reels(line, before)
    aim_reels(line)


def splicing(line: Line) -> bool:
    """While the webs keep to splice speed, or come down to it."""
    for stand in line.webs.unwind.stands:
        if stand.splice_wanted:
            return True
    return line.webs.motion.place_um < line.webs.splice_until_um


def level_speed(line: Line) -> float:
    """Speed at a bridge level that slows them, um/ns."""
    return line.goods.speed * line.webs.slow_to


def _wanted(line: Line) -> float:
    if len(line.webs.holds) > 0:
        return 0.0
    speed = line.goods.pace
    if line.webs.slow:
        speed = min(speed, level_speed(line))
    if splicing(line):
        speed = min(speed, line.webs.unwind.splice_speed)
    return speed


def aim_webs(line: Line) -> None:
    """Head for the wanted speed from the speed of this moment."""
    settle_webs(line)
    want_splices(line)
    motion, target = line.webs.motion, _wanted(line)
    if target == motion.target and motion.change != 0.0:
        plan_webs(line)
        return
    if target > 0 and standing(line) and line.webs.after_stand:
        _restart(line)
    head_for(line, target)
    if standing(line):
        _stand(line)
    elif motion.change == 0.0:
        splice_at_speed(line)
    plan_webs(line)


def _stand(line: Line) -> None:
    """The webs stand: people may go in."""
    webs = line.webs
    webs.after_stand = True
    # While one is told, others may ask and be told: they go at the end of the row.
    first = len(webs.told)
    for hold in webs.asked:
        add(line, webs.told, hold)
    last = len(webs.told)
    shorten(webs.asked, 0)
    for i in range(first, last):
        hold = webs.told[i]
        if hold.what == STOPPED:
            if hold.of >= 0:
                spoil_by_stop(line, line.causes[hold.of])
            begin_job(line, hold)
        elif hold.what == REELS:
            reel_stop_stood(line, webs.unwind.stop)
        elif hold.what == CHANGING_OVER:
            told.stood_for_change(line)
    shorten(webs.told, first)


def _restart(line: Line) -> None:
    webs = line.webs
    cuts, count = webs.cutting.cuts, webs.gate.cuts_after_stop
    reject(line, cuts, count, AFTER_STOP)
    if webs.spoiled_cuts > 0:
        reject(line, cuts + count, webs.spoiled_cuts, SPOILED)
    webs.spoiled_cuts = 0
    webs.after_stand = False
    for web in range(webs.unwind.webs):
        if falls(line, webs.breaks.luck[web].restart):
            expect_break(line, web, webs.motion.place_um + SOON_UM)


def webs_ring(line: Line) -> None:
    """Something is due on the webs."""
    settle_webs(line)
    webs, motion = line.webs, line.webs.motion
    if line.now_ns >= motion.until_ns:
        told.settle(line)
        begin_stretch(line, motion.target, 0.0)
        if standing(line):
            _stand(line)
        else:
            splice_at_speed(line)
        told.show(line)
    due = line.now_ns >= webs.plan.other_at_ns
    _attend_pockets(line)
    if standing(line):
        if due:
            fall_on_webs(line)  # by the very cut after which the webs stand at once
        return
    if line.now_ns >= webs.plan.other_at_ns:
        _attend_others(line)
        plan_webs(line)
    else:
        plan_pockets(line)


def _attend_pockets(line: Line) -> None:
    """Tell the transfer of every set that is full; stop where nobody takes it in time.

    What falls due with a set does so even where the webs stand: what the belt held may fill one.
    """
    webs, pockets = line.webs, line.webs.pockets
    while not pockets.full and pockets.cuts >= line.goods.cuts_per_ream and line.given_up == 0:
        pockets.full = True
        webs.cutting.reams += line.goods.lanes
        line.book.sets += 1
        outer = webs.attending
        webs.attending = True
        told.set_full(line)  # it may take it at once, and empty the pockets
        told.set_made(line)
        webs.attending = outer
    if webs.cutting.reams >= webs.dues[REAMS] and not webs.attending:
        fall_by_reams_of_webs(line)
    if not pockets.full or webs.stands_full:
        return
    if stop_um(line) <= webs.motion.place_um:
        webs.stands_full = True
        add_hold(line, webs.full_hold)


def _attend_others(line: Line) -> None:
    """Something other than a full set is due."""
    webs = line.webs
    told.settle(line)
    joints_reached(line)
    reels_reached(line)
    if 0 <= webs.splice_until_um <= webs.motion.place_um:
        webs.splice_until_um = -1
    if _wanted(line) != webs.motion.target:
        aim_webs(line)
        told.show(line)
    splice_at_speed(line)
    fall_on_webs(line)
    break_where_due(line)
