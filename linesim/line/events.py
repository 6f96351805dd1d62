"""Who is told when an alarm rings, and everybody up to this moment.

Parts lag behind: what they did since the last event is worked out when somebody needs it. Whoever
changes what others can see calls ``settle`` first (all catch up to now) and ``show`` afterwards
(the accounts take up the new states).
"""

from __future__ import annotations

from linesim.line import clock, told
from linesim.line.accounts import DOWN
from linesim.line.crew import Job
from linesim.line.line import Line
from linesim.line.machine import FIRST_WRAPPER, ON_WEBS, Machine
from linesim.line.typed import add


def ring(line: Line, alarm: clock.Alarm) -> None:
    clock.set_alarm(line, alarm, clock.NEVER)
    what, whose = alarm.what, alarm.whose
    if what == clock.WEBS:
        told.webs_ring(line)
    elif what == clock.TRANSFER:
        told.transfer_rings(line)
    elif what == clock.PACKING:
        told.packing_rings(line)
    elif what == clock.BRIDGE:
        told.bridge_rings(line)
    elif what == clock.PEOPLE:
        told.send_people(line)
    elif what == clock.PEOPLE_ARRIVE:
        told.people_arrive(line)
    elif what == clock.CAUSE:
        _cause_rings(line, whose)
    elif what == clock.SHIFT_CHANGES:
        told.shift_changes(line)
    elif what == clock.PAUSE_BEGINS:
        told.pause_begins(line)
    elif what == clock.PAUSE_OVER:
        told.pause_ends(line, whose)
    elif what == clock.FORCED:
        _forced(line, whose)
    elif what == clock.RESTORED:
        _restored(line, whose)
    elif what == clock.PREPARED:
        stand = line.webs.unwind.stands[whose]
        told.job_over(line, stand.prepare_job)
        told.stand_prepared(line, stand)
    elif what == clock.SPARE_PREPARED:
        spare = line.webs.unwind.spares[whose]
        told.job_over(line, spare.prepare_job)
        told.spare_prepared(line, spare)
    elif what == clock.REEL_BROUGHT:
        truck = line.webs.unwind.trucks.all[whose]
        told.job_over(line, truck.job)
        told.reel_brought(line, truck)
    elif what == clock.REEL_REPLACED:
        stand = line.webs.unwind.stands[whose]
        told.job_over(line, stand.replace_job)
        told.reel_replaced(line, stand)
    elif what == clock.REWRAPPED:
        told.job_over(line, line.rework.places[whose].job)
        told.rewrapped(line, whose)
    elif what == clock.REFILLED:
        told.job_over(line, line.cartons[whose].stop.job)
        told.refilled(line, line.cartons[whose])
    elif what == clock.TRUCK:
        told.truck_comes(line)
    elif what == clock.FETCHED:
        told.job_over(line, line.pallets.fetch)
        told.pallet_fetched(line)
    elif what == clock.LOOK_WHETHER_EMPTY:
        told.look_at_order(line)
    elif what == clock.CHANGED_OVER:
        told.job_over(line, line.orders.hold.job)
        told.change_done(line)
    elif what == clock.CUT_MORE:
        told.cut_more(line)


def _cause_rings(line: Line, whose: int) -> None:
    cause = line.causes[whose]
    on_machine = cause.station - ON_WEBS
    if on_machine < 0:
        told.web_stops(line, cause)
    else:
        told.machine_stops(line, line.machines[on_machine], cause, 0)


def _forced(line: Line, whose: int) -> None:
    forced = line.forced[whose]
    on_machine = forced.station - ON_WEBS
    if on_machine < 0:
        told.force_web_stop(line, forced.station, forced.cause, forced.length_ns)
    else:
        stands = line.machines[on_machine]
        told.hold(line, stands, forced.cause, DOWN, forced.length_ns)


def _restored(line: Line, whose: int) -> None:
    """A standstill is over."""
    stop = line.stoppages.all[whose]
    told.job_over(line, stop.job)
    if stop.station >= ON_WEBS:
        stood = line.machines[stop.station - ON_WEBS]
        if stop.of >= 0:
            told.machine_mended(line, stood, line.causes[stop.of], stop)
        else:
            told.end_stop(line, stood, stop)
    elif stop.of >= 0:
        told.web_mended(line, line.causes[stop.of], stop)
    else:
        told.release_hold(line, stop)
    add(line, line.stoppages.free, stop.number)


def job_begun(line: Line, job: Job) -> None:
    _show_job(line, job, False)


def job_waits(line: Line, job: Job) -> None:
    """People have gone before it was done."""
    _show_job(line, job, True)


def _show_job(line: Line, job: Job, waits: bool) -> None:
    what, whose = job.alarm.what, job.alarm.whose
    if what == clock.REEL_REPLACED:
        told.show_reel(line, line.webs.unwind.stands[whose], waits)
    elif what == clock.RESTORED:
        told.show_stoppage(line, line.stoppages.all[whose], waits)
    elif what == clock.CHANGED_OVER:
        told.show_stoppage(line, line.orders.hold, waits)
    elif what == clock.REFILLED:
        told.show_refill(line, line.cartons[whose], waits)


def paused(line: Line, stands: Machine) -> None:
    """The first stop of a machine has begun."""
    if stands.what == clock.TRANSFER:
        told.transfer_paused(line)
    elif stands.what == clock.BRIDGE:
        told.bridge_paused(line)
    elif stands.what == clock.END_OF_LINE:
        told.end_paused(line, line.end_of_line[_which_end(line, stands)])
    else:
        told.wrapper_paused(line, line.wrappers[stands.station - FIRST_WRAPPER])


def resumed(line: Line, moves: Machine) -> None:
    if moves.what == clock.TRANSFER:
        told.transfer_resumed(line)
    elif moves.what == clock.BRIDGE:
        told.bridge_resumed(line)
    elif moves.what == clock.END_OF_LINE:
        told.end_resumed(line, line.end_of_line[_which_end(line, moves)])
    else:
        told.wrapper_resumed(line, line.wrappers[moves.station - FIRST_WRAPPER])


def _which_end(line: Line, machine: Machine) -> int:
    return machine.station - FIRST_WRAPPER - len(line.wrappers)


def settle(line: Line) -> None:
    """Bring every part up to this moment."""
    told.settle_webs(line)
    told.settle_transfer(line)
    told.settle_packing(line)


def show(line: Line) -> None:
    """Enter every part's state, as it is from this moment on."""
    told.show_webs(line)
    told.show_bridge(line)
    told.show_transfer(line)
    told.show_packing(line)
