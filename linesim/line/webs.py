"""The webs: everything from the stands to the pockets moves as one.

One alarm rings whenever something is due on the way: a set full, a reel run out, a break, a stop
cause, the end of a ramp. In between, where the webs are is arithmetic. This module decides;
``web_plan`` knows what is due next, ``web_stops`` which stops there are, ``web_breaks`` and
``unwind`` what becomes of breaks and reels, ``web_motion`` where the webs are, ``cutting`` what was
cut.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import cutting, machine, told, unwind, web_motion
from linesim.line.accounts import BLOCKED, NO_CAUSE, root_at
from linesim.line.books import AFTER_STOP, SPOILED, USE_SPOILED, use_paper
from linesim.line.causes import CUTS, REAMS, RUNNING_H, WEB_KM, Cause, new_causes
from linesim.line.chance import falls
from linesim.line.clock import RANK_WEB, WEBS, Alarm
from linesim.line.cutting import Cutting, Gate, Pockets
from linesim.line.hand_ramp import (
    NO_STEP,
    HandRamp,
    begin_hand_ramp,
    new_hand_ramp,
    next_step,
    ramp_speed,
    ramp_stands,
    threaded_anew,
)
from linesim.line.joints import SOON_UM, Breaks, expect_break, joints_reached, new_breaks
from linesim.line.line import Line, Site
from linesim.line.typed import Ref, Row, add
from linesim.line.unwind import Unwind
from linesim.line.web_breaks import break_where_due
from linesim.line.web_plan import Plan, belt_full_um, plan_pockets, plan_webs
from linesim.line.web_stops import fall_on_webs, spoil_by_stop, web_stops_begin_to_count
from linesim.record.states import RUN_UP, TRANSFER_PACE, Kind


@dataclass(slots=True)
class WebCauses:
    """Numbers of the causes for which webs are slower than rated, or wait."""

    run_up: int
    level: int
    splice: int
    pace: int
    pockets_full: int


def new_web_causes(site: Site) -> WebCauses:
    """The first causes of all."""
    number = site.causes.number
    return WebCauses(
        run_up=number(RUN_UP, Kind.RATE),
        level=number("bridge level", Kind.RATE),
        splice=number("splice", Kind.SET_UP),
        pace=number(TRANSFER_PACE, Kind.RATE),
        pockets_full=number("pockets full", Kind.RATE),
    )


@dataclass(slots=True)
class Webs:
    """Unwinds, web path, slitter, cutter, gate, overlap belt and pockets of one run."""

    why: WebCauses
    cutting: Cutting
    pockets: Pockets
    gate: Gate
    unwind: Unwind
    causes: Row[Cause]
    fall_by_sets: Row[Ref[Cause]]
    """Those that fall due by the reams in full sets ..."""
    fall_on_the_way: Row[Ref[Cause]]
    """... and those that do by running time, length or cuts."""
    breaks: Breaks
    motion: web_motion.Motion
    plan: Plan
    ramp: HandRamp
    holds: Row[Ref[machine.Stoppage]]
    """What they stand for, or are to."""
    full_hold: machine.Stoppage
    slow_to: float
    """While the bridge asks for less speed they have this part of it."""
    root: int
    """Station and cause that whoever waits for the webs is really waiting for.

    As it was last shown: until then nothing has changed for anybody who waits.
    """
    slow: bool = False
    """The bridge asks for less speed."""
    follows: bool = False
    """They change their speed because the level of the bridge has changed."""
    after_stand: bool = False
    """They stand, or have stood, and have not started since."""
    attending: bool = False
    """The transfer is being told of a full set."""
    spoiled_cuts: int = 0
    """Cuts spoiled by stops since the webs last ran; they leave at the gate."""


def new_webs(site: Site) -> Webs:
    why = new_web_causes(site)
    stands = unwind.new_unwind(site)
    causes = [
        cause for here in range(machine.ON_WEBS) for cause in new_causes(site, here, RANK_WEB)
    ]
    full = machine.new_stoppage(0, machine.POCKETS_FULL)
    full.cause, full.state = why.pockets_full, BLOCKED
    # Besides: one for reels, full pockets, the level of the bridge, what comes next.
    most_stops = len(causes) + site.more_stops + 4
    return Webs(
        why=why,
        cutting=Cutting(),
        pockets=cutting.new_pockets(site),
        gate=cutting.new_gate(site),
        unwind=stands,
        causes=Row("stop causes", len(causes), causes),
        fall_by_sets=_with_meters(causes, REAMS),
        fall_on_the_way=_with_meters(causes, RUNNING_H, WEB_KM, CUTS),
        breaks=new_breaks(site),
        motion=web_motion.new_motion(site),
        plan=Plan(Alarm(RANK_WEB, WEBS)),
        ramp=new_hand_ramp(site),
        holds=Row("stops of the webs at once", most_stops),
        full_hold=full,
        slow_to=site.scenario.bridge.slow_to_fraction,
        root=root_at(machine.CUTTER, NO_CAUSE),
    )


def _with_meters(causes: list[Cause], *meters: int) -> Row[Ref[Cause]]:
    found = [cause for cause in causes if cause.meter in meters]
    return Row("stop causes", len(found), found)


def webs_begin_to_count(line: Line) -> None:
    """Counting begins: reels and stop causes become what the scenario says of them."""
    unwind.lay_out_reels(line)
    web_stops_begin_to_count(line)
    _attend_pockets(line)
    aim_webs(line)


def add_hold(line: Line, hold: machine.Stoppage) -> None:
    """The webs are to stand for this."""
    hold.holds = True
    hold.stood = False
    told.settle(line)
    add(line, line.webs.holds, hold)
    stood = line.webs.after_stand
    aim_webs(line)
    if stood:
        _go_in(line, hold)
    told.show(line)


def release_hold(line: Line, hold: machine.Stoppage) -> None:
    """This no longer holds the webs."""
    hold.holds = False
    told.settle(line)
    machine.let_go(line.webs.holds, hold)
    _attend_pockets(line)
    aim_webs(line)
    told.show(line)


def set_slow(line: Line, slow: bool) -> None:
    """The bridge asks for less speed, or no longer."""
    told.settle(line)
    line.webs.slow = slow
    aim_webs(line)
    told.show(line)


def follow_level(line: Line, part: float) -> None:
    """The level of the bridge asks for this part of rated speed."""
    webs = line.webs
    if part == (webs.slow_to if webs.slow else 1.0):
        return
    told.settle(line)
    follows = webs.follows or webs.motion.change == 0.0
    webs.slow = part < 1.0
    webs.slow_to = part
    keep_to_speed(line)
    webs.follows = follows and webs.motion.change != 0.0
    told.show(line)


def set_taken(line: Line) -> None:
    """The full set has been lifted out of the pockets; what the belt holds falls into them."""
    web_motion.settle_webs(line)
    webs, pockets = line.webs, line.webs.pockets
    pockets.full = False
    pockets.cuts = min(pockets.on_belt, line.goods.cuts_per_ream)
    pockets.on_belt -= pockets.cuts
    if webs.full_hold.holds:
        release_hold(line, webs.full_hold)
    _attend_pockets(line)
    if not web_motion.standing(line) and not webs.attending:
        plan_pockets(line)


def new_goods(line: Line, product: int, other_paper: bool) -> None:
    """Another order begins; the webs stand. Paper in the machine is lost with old reels."""
    webs, before = line.webs, line.product
    cutting.drop_partial_cut(line, USE_SPOILED)
    cutting.clear_pockets(line)
    if other_paper:
        threaded = 0
        for stand in webs.unwind.stands:
            if stand.threaded:
                threaded += 1
        use_paper(line, USE_SPOILED, threaded * webs.unwind.path_um)
        cutting.forget_paper(line)
        threaded_anew(line)
    line.product = product
    line.goods = line.products[product]
    webs.motion.wears = line.goods.wears
    if other_paper:
        unwind.other_reels(line, before)


def level_speed(line: Line) -> float:
    """Speed at a bridge level that slows them, um/ns."""
    return line.goods.speed * line.webs.slow_to


def _wanted(line: Line) -> float:
    if len(line.webs.holds) > 0:
        return 0.0
    speed = line.goods.pace
    if line.webs.slow:
        speed = min(speed, level_speed(line))
    if unwind.splicing(line):
        speed = min(speed, line.webs.unwind.splice_speed)
    if line.webs.ramp.step != NO_STEP:
        speed = min(speed, ramp_speed(line))
    return speed


def aim_webs(line: Line) -> None:
    """Head for the wanted speed from the speed of this moment."""
    web_motion.settle_webs(line)
    motion, target = line.webs.motion, _wanted(line)
    if target == motion.target and motion.change != 0.0:
        plan_webs(line)
        return
    line.webs.follows = False
    if target > 0 and web_motion.standing(line) and line.webs.after_stand:
        _restart(line)
        target = _wanted(line)
    web_motion.head_for(line, target)
    if web_motion.standing(line):
        _stand(line)
    elif motion.change == 0.0:
        unwind.splice_at_speed(line)
    plan_webs(line)


def keep_to_speed(line: Line) -> None:
    """Head for the wanted speed where that is another one."""
    if _wanted(line) != line.webs.motion.target:
        aim_webs(line)
    else:
        plan_webs(line)


def _stand(line: Line) -> None:
    """The webs stand; where they have only now come to it, those who hold them may go in."""
    if line.webs.after_stand:
        return
    line.webs.after_stand = True
    ramp_stands(line)
    holds, i = line.webs.holds, 0
    while i < len(holds):
        if holds[i].stood:
            i += 1
        else:
            _go_in(line, holds[i])


def _go_in(line: Line, hold: machine.Stoppage) -> None:
    """The webs stand: people may go in."""
    hold.stood = True
    if hold.what == machine.STOPPED:
        if hold.of >= 0:
            spoil_by_stop(line, line.causes[hold.of])
        machine.begin_job(line, hold)
    elif hold.what == machine.REELS:
        unwind.reel_stop_stood(line)
    elif hold.what == machine.CHANGING_OVER:
        told.stood_for_change(line)


def _restart(line: Line) -> None:
    webs = line.webs
    cuts, count = webs.cutting.cuts, webs.gate.cuts_after_stop
    cutting.reject(line, cuts, count, AFTER_STOP)
    if webs.spoiled_cuts > 0:
        cutting.reject(line, cuts + count, webs.spoiled_cuts, SPOILED)
    webs.spoiled_cuts = 0
    webs.after_stand = False
    begin_hand_ramp(line)
    for web in webs.breaks.webs:
        if falls(line, web.restart):
            expect_break(line, web, webs.motion.place_um + SOON_UM)


def webs_ring(line: Line) -> None:
    """Something is due on the webs."""
    web_motion.settle_webs(line)
    webs, motion = line.webs, line.webs.motion
    if line.now_ns >= motion.until_ns:
        told.settle(line)
        web_motion.begin_stretch(line, motion.target, 0.0)
        if web_motion.standing(line):
            _stand(line)
        else:
            unwind.splice_at_speed(line)
        told.show(line)
    due = line.now_ns >= webs.plan.other_at_ns
    stepped = line.now_ns >= webs.ramp.until_ns
    if stepped:
        told.settle(line)
        next_step(line)  # what comes now may have no room: that is seen before they gain speed
    _attend_pockets(line)
    if web_motion.standing(line):
        if due:
            fall_on_webs(
                line, webs.fall_on_the_way
            )  # by the very cut after which the webs stand at once
        return
    if stepped:
        keep_to_speed(line)
        told.show(line)
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
    if not webs.attending:
        fall_on_webs(line, webs.fall_by_sets)
    if not pockets.full or webs.full_hold.holds:
        return
    if belt_full_um(line) <= webs.motion.place_um:
        add_hold(line, webs.full_hold)


def _attend_others(line: Line) -> None:
    """Something other than a full set is due."""
    told.settle(line)
    joints_reached(line)
    unwind.reels_reached(line)
    if line.webs.unwind.splice_until_um <= line.webs.motion.place_um:
        line.webs.unwind.splice_until_um = -1
    if _wanted(line) != line.webs.motion.target:
        aim_webs(line)
        told.show(line)
    unwind.splice_at_speed(line)
    fall_on_webs(line, line.webs.fall_on_the_way)
    break_where_due(line)
