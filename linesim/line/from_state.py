"""A line put up as a state says it is at a moment: done once, before its first moment, by Python.

What the state does not tell is as such a line is found: residual lives, part reels and part rolls
are drawn, and what passes quickly is that of a line that has run for a while (``state_of``).
"""

from __future__ import annotations

from linesim.line import told
from linesim.line.accounts import CHANGEOVER, DOWN
from linesim.line.causes import Cause, of_web
from linesim.line.chance import draw
from linesim.line.clock import NEVER, set_alarm
from linesim.line.crew import ask, lend
from linesim.line.end_of_line import end_takes
from linesim.line.hand_ramp import threaded_anew
from linesim.line.line import Line, Site
from linesim.line.machine import (
    ON_WEBS,
    WEB_PATH,
    Machine,
    Stoppage,
    begin_job,
    begin_stop,
    begin_stoppage,
    look_for_dues,
    stop_of_cause,
)
from linesim.line.stand import (
    MORE_REELS,
    Stand,
    fetch_partner,
    has_joint,
    joint_um,
    mount_part,
    part_at_start,
    reserve_um,
)
from linesim.line.typed import add, outside
from linesim.line.unwind import must_change
from linesim.paper import reel_length_m
from linesim.record.states import Kind
from linesim.scenario import Scenario, running_tables
from linesim.scenario.contradictions_of_state import order_in_hand
from linesim.scenario.laws import AnyLaw
from linesim.scenario.residual_life import longer_than, residual_life, residual_life_after
from linesim.scenario.state_tables import (
    REEL_CHANGE,
    ROLL_CHANGE,
    SPLICE,
    WEB_BREAK,
    DownNow,
    LineState,
    ReelNow,
    down_ns,
)
from linesim.scenario.units import MINUTE

_NO_END = 100_000_000
"""Reams of an order that lasts longer than any run."""


def left_to_chance(scenario: Scenario) -> Scenario:
    """The scenario without what it says of the state a run starts in."""
    return scenario.model_copy(
        update={
            "start": running_tables.Start(run_in_h=scenario.start.run_in_h),
            "reels": scenario.reels.model_copy(update={"at_start": None}),
            "stop": tuple(
                stop if stop.since_last is None else stop.model_copy(update={"since_last": None})
                for stop in scenario.stop
            ),
        }
    )


def making(scenario: Scenario, state: LineState) -> Scenario:
    """The line of the scenario making nothing but what is in hand, as it is found on any day."""
    if scenario.order:
        order = scenario.order[order_in_hand(state, scenario)]
        endless = {"reams": _NO_END, "released": None, "released_h": None}
        scenario = scenario.model_copy(update={"order": (order.model_copy(update=endless),)})
    always = {"calendar": running_tables.Calendar(), "holiday": (), "planned_work": (), "rest": ()}
    start = {"start": running_tables.Start(run_in_h=0.0)}
    return left_to_chance(scenario).model_copy(update=always | start)


def lay_out(line: Line, site: Site, state: LineState) -> None:
    """What is where: orders, people, reels, rolls, reams, cartons."""
    _take_order(line, site, state)
    lend(line, state.people.away)
    reels = {reel.web: reel for reel in state.reel}
    for stand in line.webs.unwind.stands:
        _fill(line, site, stand, reels.get(stand.web + 1))
    _put_rolls(line, site, state)
    _fill_bridge(line, state)
    goods, pockets = line.goods, line.webs.pockets
    pockets.cuts = int(site.chance.uniform("pockets", "at start") * goods.cuts_per_ream)
    _fill_behind(line, site, state)
    motion = line.webs.motion
    motion.speed = motion.start_speed = motion.target = goods.pace
    if line.has_orders:
        in_hand = line.orders
        in_hand.made = in_hand.good + line.bridge.level


def _take_order(line: Line, site: Site, state: LineState) -> None:
    """The orders before the one in hand are done, and what is on the line is for that one."""
    if not line.has_orders:
        return
    orders, place = line.orders, order_in_hand(state, site.scenario)
    orders.now = orders.undone = place
    line.product = place
    line.goods = line.products[place]
    first = place
    while first > 0 and orders.all[first].same_as_last:
        first -= 1
    for i in range(place):
        done = orders.all[i]
        done.begun_ns = done.cut_ns = done.wrapped_ns = 0
        if i >= first:
            orders.target += done.reams
            done.target = orders.target
    orders.good = orders.target
    if state.order is not None:
        orders.good += state.order.reams_made
        orders.all[place].released_ns = line.now_ns


def _fill(line: Line, site: Site, stand: Stand, reel: ReelNow | None) -> None:
    unwind = line.webs.unwind
    outside(line, MORE_REELS, stand.web)  # reels of what is made now
    mount_part(line, stand, part_at_start(site, stand.web))
    if reel is not None:
        _put_on(line, site, stand, reel)
    if not unwind.paired:
        return  # spare stands are prepared, as nobody says otherwise
    if reel is None or reel.partner_ready is not False:
        fetch_partner(line, stand)
        return
    truck = site.scenario.reel_truck
    law = site.scenario.unwind.prepare_min
    if truck is not None and truck.places is not None:
        law = truck.chuck_min
    rest = residual_life(law, site.chance.uniform("unwind", stand.web, "prepared at start"))
    urgent = line.crew.priority_prepare
    ask(line, stand.prepare_job, unwind.prepare_people, urgent, round(rest * MINUTE), False)


def _put_on(line: Line, site: Site, stand: Stand, reel: ReelNow) -> None:
    """So much is left on the reel in use, whatever the one drawn has: its joints are farther in."""
    left_m = reel.left_m
    if reel.diameter_mm is not None:
        core = site.scenario.reels.core_diameter_mm
        left_m = reel_length_m(reel.diameter_mm, core, line.goods.thickness_um)
    if left_m is None:
        return
    place = line.webs.motion.place_um
    stand.end_um = place + max(round(left_m * 1e6), reserve_um(line) + 1)
    stand.outer_end_um = stand.end_um - stand.lengths_um[stand.fetched - 1]
    stand.next_joint = stand.joints_end[stand.fetched - 2] if stand.fetched > 1 else 0
    while has_joint(stand) and joint_um(stand) <= place:
        stand.next_joint += 1


def _put_rolls(line: Line, site: Site, state: LineState) -> None:
    left = {roll.wrapper: roll.reams_left for roll in state.roll}
    for wrapper in line.wrappers:
        full = wrapper.roll_reams[line.product]
        name = site.stations[wrapper.station]
        if full == NEVER:
            continue
        if name in left:
            wrapper.roll_due = max(1, left[name])
        else:
            used = site.chance.uniform(name, "roll", "at start")
            wrapper.roll_due = max(1, -int(-used * full // 1))


def _fill_bridge(line: Line, state: LineState) -> None:
    """Reams lie as the sheeter puts them down, the last set only now: further on they have come
    to the wrappers."""
    bridge, goods = line.bridge, line.goods
    left = state.bridge.reams or 0
    sets = -(-left // goods.lanes)
    every_ns = goods.cuts_per_ream * goods.cut_um / goods.pace
    for i in range(sets):
        # The first may have lost some reams to the wrappers.
        reams = left - goods.lanes * (sets - 1) if i == 0 else goods.lanes
        age_ns = round((sets - 1 - i) * every_ns)
        bridge.sets_reams[i] = reams
        bridge.sets_ready_ns[i] = max(0, bridge.travel_ns - age_ns)
    bridge.sets = sets
    bridge.level = left


def _fill_behind(line: Line, site: Site, state: LineState) -> None:
    behind, crew, pallets = state.behind, line.crew, line.pallets
    waits = {
        "outfeed": behind.reams_at_outfeed,
        "carton_packer": behind.reams_at_packer,
        "palletiser": behind.cartons_at_palletiser,
    }
    for place, names in site.scenario.end_places.items():
        first = line.end_of_line[list(site.scenario.end_of_line).index(names[0])]
        first.waiting = waits[place] or 0
    pallets.on_it = behind.cartons_on_pallet or 0
    pallets.full = behind.full_pallets or 0
    if pallets.full > 0 and pallets.fetch_people > 0:
        pallets.fetching = True
        time_ns = draw(line, pallets.fetch_times)
        ask(line, pallets.fetch, pallets.fetch_people, crew.priority_prepare, time_ns, False)
    for cartons in line.cartons:
        if behind.blanks is None or cartons.magazine == NEVER:
            continue
        cartons.empty_due = max(1, behind.blanks)
        cartons.refill_due = cartons.empty_due - cartons.refill_from
        if cartons.refill_due <= 0:
            cartons.refill_due = NEVER
            time_ns = draw(line, cartons.refill_times)
            job = cartons.stop.job
            ask(line, job, cartons.people, crew.priority_prepare, time_ns, False)


# What stands


def stop_as_told(line: Line, site: Site, state: LineState) -> None:
    """Everything that is down stands, for what is left of its time given how long it has lasted."""
    for down in state.down:
        if down.cause in (REEL_CHANGE, SPLICE):
            _changes_reel(line, site, state, down)
        elif down.cause == WEB_BREAK:
            rest = _rest_of_break(site, state, down)
            stop = begin_stoppage(line, WEB_PATH, line.webs.breaks.cause, DOWN, rest)
            stop.people = line.webs.breaks.people
            stop.who = line.crew.who_rethreads
            threaded_anew(line)
            stop.priority = line.crew.priority_standing_line
            _webs_stand(line, stop)
        elif down.cause == ROLL_CHANGE:
            _changes_roll(line, site, state, down)
        elif down.cause:
            for cause in line.causes:
                _stands_for(line, site, state, down, cause)
        else:
            _stands_for_something(line, site, state, down)
    for end in line.end_of_line:
        end_takes(line, end, line.now_ns)
    told.level_rose(line)


def _stands_for(line: Line, site: Site, state: LineState, down: DownNow, cause: Cause) -> None:
    """The station of this cause stands, if that is what is told."""
    stop = next(each for each in site.scenario.stop if each.cause == down.cause)
    name = stop.cause if down.web is None else stop.cause + of_web(down.web)
    here = site.stations[cause.station]
    if line.accounts.names[cause.number] != name:
        return
    if down.station and here not in site.scenario.stations_called(down.station):
        return
    cause.by_plan = False
    stoppage = stop_of_cause(line, cause, 0)
    stoppage.restore_ns = _rest(site, state, down, stop.restore_min)
    if cause.station >= ON_WEBS:
        machine = line.machines[cause.station - ON_WEBS]
        look_for_dues(line, machine)
        begin_stop(line, machine, stoppage)
    else:
        line.webs.spoiled_cuts += cause.spoils_cuts
        _webs_stand(line, stoppage)


def _stands_for_something(line: Line, site: Site, state: LineState, down: DownNow) -> None:
    station = site.stations.index(site.scenario.stations_called(down.station)[0])
    assert down.remaining_min is not None
    cause = site.causes.number(OTHER, Kind.STOP)
    rest = _rest(site, state, down, down.remaining_min)
    stop = begin_stoppage(line, station, cause, DOWN, rest)
    if station < ON_WEBS:
        _webs_stand(line, stop)
    else:
        begin_stop(line, line.machines[station - ON_WEBS], stop)


OTHER = "down at the moment"
"""What a stop is called for which the scenario has no cause."""


def _changes_roll(line: Line, site: Site, state: LineState, down: DownNow) -> None:
    for wrapper in line.wrappers:
        here = site.stations[wrapper.station]
        if down.station and here not in site.scenario.stations_called(down.station):
            continue
        law = site.scenario.wrapper[wrapper.which].roll_change_min
        rest = _rest(site, state, down, law)
        stop = begin_stoppage(line, wrapper.station, wrapper.roll_cause, CHANGEOVER, rest)
        stop.people = wrapper.roll_people
        stop.who = wrapper.roll_who
        stop.priority = line.crew.priority_standing_wrapper
        machine: Machine = wrapper
        begin_stop(line, machine, stop)


def _changes_reel(line: Line, site: Site, state: LineState, down: DownNow) -> None:
    """The webs stand while the reel of one is replaced; where none is ready it is waited for."""
    assert down.web is not None
    table = site.scenario.unwind
    stand = line.webs.unwind.stands[down.web - 1]
    job = stand.replace_job
    halt(line)
    must_change(line, stand)
    law = table.splice_min if table.prepares_stands else table.change_min
    job.left_ns = _rest(site, state, down, law)
    if job.alarm.at_ns < NEVER:
        # Nobody is needed for it, so it was begun at once.
        set_alarm(line, job.alarm, line.now_ns + job.left_ns)


def _webs_stand(line: Line, stop: Stoppage) -> None:
    """They have come to a stand before; what the stop spoils of reels and pockets is gone."""
    stop.holds = stop.stood = True
    add(line, line.webs.holds, stop)
    halt(line)
    begin_job(line, stop)


def halt(line: Line) -> None:
    """The webs do not move."""
    motion = line.webs.motion
    motion.speed = motion.start_speed = motion.target = 0.0
    line.webs.after_stand = True


def _rest(site: Site, state: LineState, down: DownNow, law: AnyLaw) -> int:
    """Time still to come, ns: of the law, given that it has lasted so long."""
    luck = site.chance.uniform("state", down.cause or down.station, str(down.web), down.station)
    if down.remaining_min is not None:
        return round(residual_life_after(down.remaining_min, 0.0, luck) * MINUTE)
    lasted = 0.0 if down.people == "awaited" else down_ns(state, down) / MINUTE
    return round(residual_life_after(law, lasted, luck) * MINUTE)


def _rest_of_break(site: Site, state: LineState, down: DownNow) -> int:
    """Whether the clamp has held the tail nobody says: the longer it lasts, the less likely."""
    path = site.scenario.web_path
    lasted = 0.0 if down.people == "awaited" else down_ns(state, down) / MINUTE
    held = path.clamp_holds_chance * longer_than(path.rethread_held_min, lasted)
    lost = (1 - path.clamp_holds_chance) * longer_than(path.rethread_lost_min, lasted)
    likely = held / (held + lost) if held + lost > 0 else 0.0
    clamped = site.chance.uniform("state", WEB_BREAK, "clamp") < likely
    return _rest(site, state, down, path.rethread_held_min if clamped else path.rethread_lost_min)
