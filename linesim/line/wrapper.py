"""A wrapper: takes one ream after another, has its stops, its roll, and spoils one now and then.

Each step of a ream behind the bridge (taken, wrapped, brought to the outfeed, or spoiled) happens
at a moment that is known; when it is due is the affair of ``packing``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesim.line import machine, told
from linesim.line.accounts import CHANGEOVER, count_stop
from linesim.line.bridge import ream_waits, take_ream
from linesim.line.causes import REAMS, RUNNING_H, new_causes, spoils_reams
from linesim.line.chance import Stream, draw, falls, first_draw
from linesim.line.clock import NEVER, RANK_WRAPPING, WRAPPER
from linesim.line.history import note
from linesim.line.line import Line, Site
from linesim.line.typed import LATE, Row
from linesim.record.states import Kind
from linesim.scenario.goods import Goods, wrap_reams_per_roll
from linesim.scenario.people import who_can
from linesim.scenario.units import MINUTE, SECOND


@dataclass(slots=True, kw_only=True)
class Wrapper(machine.Worker):
    """One wrapper. ``packing`` moves it on; here is what it does with a ream."""

    wrap_times: Stream
    varies: bool
    """Times for a ream are drawn."""
    rated_ns: int
    """Time for a ream at its rated speed; 0: it has none, ..."""
    steady_ns: int
    """... and that for what is made now, where it does not vary."""
    hurries: float
    """How many times as fast it is while catching up."""
    catch_up_at: int
    """Level of the bridge from which on it does, reams; NEVER: it does not."""
    shortest_ns: int
    roll_reams: Row[int]
    """Reams wrapped from one roll, by product; NEVER where rolls are not modelled."""
    roll_due: int
    """Reams done when the roll is used up."""
    roll_times: Stream
    roll_splice_fails: Stream
    roll_by_stop: bool
    """It stands for every new roll, not only for splices that fail."""
    roll_cause: int
    roll_people: int
    roll_who: int
    spoils: Stream
    """Reams from one spoiled wrap to the next."""
    spoil_due: int
    taken_ns: int = 0
    """When it took the ream."""
    thrown_away: int = 0
    """Of the reams it is done with, those that a stop spoiled before they were wrapped."""


def new_wrapper(site: Site, which: int) -> Wrapper:
    scenario, station = site.scenario, machine.FIRST_WRAPPER + which
    causes = new_causes(site, station, RANK_WRAPPING, "wrapper")
    table, bridge, name = scenario.wrapper[which], scenario.bridge, site.stations[station]
    steady = round(MINUTE / table.rate_reams_per_min)
    wrap = site.chance.none()
    if table.wrap_s is not None:
        wrap = site.chance.stream(table.wrap_s, SECOND, name, "wrap")
        if wrap.constant >= 0:
            steady = wrap.constant
    varies = table.wrap_s is not None and wrap.constant < 0
    rated = steady if table.wrap_s is None else 0
    catch_up_at = NEVER
    if bridge.catch_up_factor > 1 and bridge.catch_up_at_reams is not None:
        catch_up_at = bridge.catch_up_at_reams
    rolls = [wrap_reams_per_roll(scenario, which, goods) or NEVER for goods in site.goods]
    roll_due = rolls[0]
    if roll_due != NEVER and scenario.start.state != "new":
        # A roll is met with anything from one ream to all of them left.
        used = site.chance.uniform(name, "roll", "at start")
        roll_due = max(1, math.ceil(used * roll_due))
    spoiled = table.spoiled_per_10000 / 10_000
    spoils = site.chance.gaps(spoiled, name, "spoiled") if spoiled > 0 else site.chance.none()
    spoil_due = first_draw(spoils) if spoiled > 0 else NEVER
    wrapper = Wrapper(
        what=WRAPPER,
        station=station,
        causes=causes,
        stops=machine.stops_of(site, station, causes),
        which=which,
        wrap_times=wrap,
        varies=varies,
        rated_ns=rated,
        steady_ns=steady,
        hurries=bridge.catch_up_factor,
        catch_up_at=catch_up_at,
        shortest_ns=0,
        roll_reams=Row("products", len(rolls), rolls),
        roll_due=roll_due,
        roll_times=site.chance.stream(table.roll_change_min, MINUTE, name, "roll"),
        roll_splice_fails=site.chance.coin(table.roll_splice_fail_chance, name, "roll splice"),
        roll_by_stop=table.roll_change == "stop",
        roll_cause=site.causes.number("wrapping roll", Kind.SET_UP),
        roll_people=table.roll_change_people,
        roll_who=who_can(scenario, "rolls", "wrapper", table.name),
        spoils=spoils,
        spoil_due=spoil_due,
    )
    suit_wrapper(wrapper, site.goods[0])
    return wrapper


def suit_wrapper(wrapper: Wrapper, goods: Goods) -> None:
    """It wraps as fast as it is rated for, or as these goods allow."""
    if wrapper.rated_ns > 0:
        wrapper.steady_ns = max(wrapper.rated_ns, goods.wrap_ns)
    wrapper.shortest_ns = 0 if wrapper.varies else wrapper.steady_ns
    if wrapper.catch_up_at != NEVER:
        wrapper.shortest_ns = round(wrapper.shortest_ns / wrapper.hurries)


def _spoiled_by_now(line: Line, wrapper: Wrapper) -> int:
    """Reams spoiled by chance and by stops that fall due; the one just finished is the first."""
    spoiled, beyond_this = False, 0
    if wrapper.done >= wrapper.spoil_due:
        wrapper.spoil_due = wrapper.done + max(1, draw(line, wrapper.spoils))
        spoiled = True
    for cause in wrapper.causes:
        if cause.meter == REAMS and wrapper.done >= cause.due and spoils_reams(cause) > 0:
            spoiled = True
            beyond_this += cause.spoils_reams - 1
    return 1 + beyond_this if spoiled else 0


def fall_by_reams(line: Line, wrapper: Wrapper) -> None:
    """Begin the stops that are due after this ream, the roll change among them."""
    machine.fall(line, wrapper, REAMS, wrapper.done)
    if wrapper.done < wrapper.roll_due:
        return
    wrapper.roll_due = wrapper.done + wrapper.roll_reams[line.product]
    note_roll(line, wrapper)
    restore_ns = draw(line, wrapper.roll_times)
    if wrapper.roll_by_stop or falls(line, wrapper.roll_splice_fails):
        cause = wrapper.roll_cause
        count_stop(line, wrapper.station, cause)
        stop = machine.begin_stoppage(line, wrapper.station, cause, CHANGEOVER, restore_ns)
        stop.people = wrapper.roll_people
        stop.who = wrapper.roll_who
        stop.priority = line.crew.priority_standing_wrapper
        machine.begin_stop(line, wrapper, stop)


def note_roll(line: Line, wrapper: Wrapper) -> None:
    """A roll is put on."""
    if line.has_orders and wrapper.roll_reams[line.product] < NEVER:
        note(line, line.history.rolls, line.now_ns, wrapper.which, line.product)


def next_due(wrapper: Wrapper) -> int:
    """Reams done at which something happens: a stop, a roll, a spoiled wrap."""
    return min(wrapper.roll_due, wrapper.spoil_due, wrapper.reams_due)


def start_ream(line: Line, wrapper: Wrapper, at_ns: int) -> None:
    """The wrapper takes the first ream on the bridge."""
    told.wrapper_runs(line, wrapper, at_ns)
    cycle = draw(line, wrapper.wrap_times) if wrapper.varies else wrapper.steady_ns
    if line.bridge.level >= wrapper.catch_up_at:
        cycle = round(cycle / wrapper.hurries)
    wrapper.taken_ns = at_ns
    machine.work_on(wrapper, at_ns, cycle)
    take_ream(line)
    line.packing.last = wrapper.which


def wrapper_moves(line: Line, wrapper: Wrapper) -> None:
    """The ream in hand is wrapped, or a stop falls due before that."""
    if wrapper.next_ns < wrapper.ends_ns:
        reading = reading_at_stop(line, wrapper)
        # All that are due begin, then they spoil what they spoil.
        spoils = 0
        for cause in wrapper.causes:
            if cause.meter == RUNNING_H and reading >= cause.due:
                spoils += spoils_reams(cause)
        machine.fall(line, wrapper, RUNNING_H, reading)
        _spoil(line, wrapper, spoils)
        return
    machine.finish(wrapper, 1)
    at = wrapper.ends_ns
    if line.keeps:
        note(line, line.history.reams, wrapper.taken_ns, at, wrapper.which)
    if wrapper.done < next_due(wrapper):
        _deliver(line, wrapper, at)
        return
    at_this_moment(line, at)
    spoiled = _spoiled_by_now(line, wrapper)
    if spoiled > 0:
        if line.keeps:
            note(line, line.history.spoiled, at)
        _spoiled(line)
    else:
        _deliver(line, wrapper, at)
    fall_by_reams(line, wrapper)
    _spoil(line, wrapper, spoiled - 1)


def _deliver(line: Line, wrapper: Wrapper, at_ns: int) -> None:
    line.book.wrapped += 1
    _count_good(line, at_ns)
    told.ream_out(line, at_ns)
    told.hand_on(line, wrapper, 0, at_ns)


def saved(line: Line, product: int) -> None:
    """A spoiled ream has been wrapped again, of the product that was the so-manieth made."""
    _count_good(line, line.now_ns)
    told.ream_saved(line, product)


def _count_good(line: Line, at_ns: int) -> None:
    """One more good ream in its part of the counted time."""
    buckets = line.buckets
    if len(buckets) > 0 and at_ns >= line.buckets_from_ns:
        bucket = (at_ns - line.buckets_from_ns) // line.bucket_ns
        buckets[min(bucket, len(buckets) - 1)] += 1


def _spoiled(line: Line) -> None:
    told.bring(line)
    told.lose(line, 1)


def _spoil(line: Line, wrapper: Wrapper, reams: int) -> None:
    """A stop spoils reams: the one in hand, then those waiting before it on the bridge."""
    if reams > 0 and wrapper.busy:
        wrapper.busy = False
        wrapper.idle_since_ns = line.now_ns
        _throw_away(line, wrapper, wrapper.taken_ns, wrapper.which)
        reams -= 1
    while reams > 0 and ream_waits(line):
        take_ream(line)
        _throw_away(line, wrapper, line.now_ns, -1)
        reams -= 1


def _throw_away(line: Line, wrapper: Wrapper, off_ns: int, held_by: int) -> None:
    """A ream that left the bridge is lost to a stop before it is wrapped."""
    if line.keeps:
        note(line, line.history.off, off_ns, line.now_ns, held_by)
    wrapper.done += 1
    wrapper.thrown_away += 1
    _spoiled(line)


def reading_at_stop(line: Line, worker: machine.Worker) -> int:
    """A stop falls due in the midst of a ream: what the meter of running time reads."""
    at_this_moment(line, worker.next_ns)
    reading = worker.run_ns + worker.next_ns - worker.began_ns
    worker.next_ns = worker.ends_ns
    return reading


def at_this_moment(line: Line, at_ns: int) -> None:
    """What happens now must be heard of now; and who has run out of work by then is noted."""
    if at_ns != line.now_ns:
        line.fault = LATE
        return
    told.note_idle(line, at_ns)
