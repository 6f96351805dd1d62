"""The transfer: lifts a full set out of the pockets, carries it over, sets it on the bridge."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import told
from linesim.line.accounts import BLOCKED, RUNNING, STARVED, run, wait, wait_between
from linesim.line.bridge import place_set, room_for, wait_for_level
from linesim.line.causes import REAMS, RUNNING_H, new_causes
from linesim.line.chance import Stream, draw
from linesim.line.clock import NEVER, RANK_TRANSFER, TRANSFER, Alarm, set_alarm
from linesim.line.line import Line, Site
from linesim.line.machine import Machine, fall, show_stop, stops_of
from linesim.record.states import Kind
from linesim.scenario.units import SECOND

HOME, PICK, CARRY, AT_BRIDGE, PLACE, RETURN = range(6)
"""Where it is in its cycle."""


@dataclass(slots=True, kw_only=True)
class Transfer(Machine):
    """One cycle: pick, carry, wait for room, place, return. It moves one set at a time."""

    alarm: Alarm
    pick: Stream
    """Times of its moves, ns."""
    carry: Stream
    place: Stream
    back: Stream
    cannot: int
    """Cause: it cannot keep up."""
    phase: int = HOME
    carried: int = 0
    """Reams in the grip."""
    set_waits: bool = False
    waiting_full_ns: int = 0
    """When the set was full that waits ..."""
    carried_full_ns: int = 0
    """... and the one in the grip."""
    ends_ns: int = 0
    """When the move under way ends, or the last one did."""
    rest_ns: int = 0
    moves_since_ns: int = 0


def new_transfer(site: Site) -> Transfer:
    table, station = site.scenario.transfer, site.stations.index("transfer")
    causes = new_causes(site, station, RANK_TRANSFER)
    return Transfer(
        what=TRANSFER,
        station=station,
        causes=causes,
        stops=stops_of(site, station, causes),
        alarm=Alarm(RANK_TRANSFER, TRANSFER),
        pick=site.chance.stream(table.pick_s, SECOND, "transfer", "pick"),
        carry=site.chance.stream(table.carry_s, SECOND, "transfer", "carry"),
        place=site.chance.stream(table.place_s, SECOND, "transfer", "place"),
        back=site.chance.stream(table.return_s, SECOND, "transfer", "return"),
        cannot=site.causes.number("transfer cycle", Kind.RATE),
    )


def set_full(line: Line) -> None:
    transfer = line.transfer
    move_transfer_on(line)
    transfer.set_waits = True
    transfer.waiting_full_ns = line.now_ns
    if transfer.phase == HOME and not transfer.stands:
        _pick(line)
    elif transfer.phase == RETURN and not transfer.stands:
        set_alarm(line, transfer.alarm, min(transfer.alarm.at_ns, transfer.ends_ns))


def room(line: Line) -> None:
    """The bridge may have room now."""
    if line.transfer.phase == AT_BRIDGE and not line.transfer.stands:
        _try_to_place(line)


def transfer_rings(line: Line) -> None:
    """A move ends, or a stop falls due before that."""
    transfer = line.transfer
    move_transfer_on(line)
    now, phase = line.now_ns, transfer.phase
    if now < transfer.ends_ns:
        if fall(line, transfer, RUNNING_H, transfer.run_ns) == 0:
            _go(line, transfer.ends_ns - now)
        return
    if phase == PICK:
        _lift(line, 0)
    elif phase == CARRY:
        transfer.phase = AT_BRIDGE
        _try_to_place(line)
    elif phase == PLACE:
        _placed(line)
    elif phase == RETURN:
        transfer.phase = HOME
        if transfer.set_waits:
            _pick(line)


def _pick(line: Line) -> None:
    transfer = line.transfer
    transfer.set_waits = False
    transfer.carried = line.goods.lanes
    transfer.carried_full_ns = transfer.waiting_full_ns
    _runs(line)
    pick_ns = draw(line, transfer.pick)
    if pick_ns == 0 or line.webs.pockets.interim_fingers:
        # Nobody waits for the end of the pick: pick and carry are one move.
        _lift(line, pick_ns)
    else:
        transfer.phase = PICK
        _go(line, pick_ns)


def _lift(line: Line, pick_ns: int) -> None:
    """The pockets are free; carrying takes so much longer than by itself."""
    transfer = line.transfer
    transfer.phase = CARRY
    _go(line, pick_ns + draw(line, transfer.carry))
    told.set_taken(line)


def _try_to_place(line: Line) -> None:
    transfer = line.transfer
    there_is_room = room_for(line, transfer.carried)
    # Where that is nothing new, nobody else sees a difference.
    changes = there_is_room == (line.accounts.of[transfer.station].state == BLOCKED)
    if changes:
        told.settle(line)
    if there_is_room:
        transfer.phase = PLACE
        _go(line, draw(line, transfer.place))
    elif not line.bridge.stands:  # while the belt stands, until it moves
        wait_for_level(line, line.bridge.places - transfer.carried)
    if changes:
        told.show(line)


def _placed(line: Line) -> None:
    transfer = line.transfer
    reams = transfer.carried
    transfer.carried = 0
    transfer.done += reams
    full_ns = transfer.carried_full_ns
    transfer.phase = RETURN
    _go(line, draw(line, transfer.back))
    place_set(line, reams, full_ns)
    if transfer.done >= transfer.reams_due:
        fall(line, transfer, REAMS, transfer.done)


def _go(line: Line, length_ns: int) -> None:
    """The move under way lasts so long from now."""
    transfer, now = line.transfer, line.now_ns
    transfer.moves_since_ns = now
    transfer.ends_ns = now + length_ns
    to_stop = transfer.running_due_ns - transfer.run_ns
    if to_stop < length_ns:
        set_alarm(line, transfer.alarm, now + max(0, to_stop))
    elif transfer.phase == RETURN and not transfer.set_waits:
        # Nobody waits for it: when it is home can be said later.
        set_alarm(line, transfer.alarm, NEVER)
    else:
        set_alarm(line, transfer.alarm, transfer.ends_ns)


def _runs(line: Line) -> None:
    """It moves now; until now it may have waited for a set."""
    transfer, now = line.transfer, line.now_ns
    if line.accounts.of[transfer.station].state == RUNNING:
        if now > transfer.ends_ns:
            wait_between(line, transfer.station, transfer.ends_ns, now, line.webs.root)
    else:
        run(line, transfer.station, now)


def move_transfer_on(line: Line) -> None:
    """Count the time it moved; it may have come home meanwhile."""
    transfer, now = line.transfer, line.now_ns
    if transfer.stands or transfer.phase == HOME or transfer.phase == AT_BRIDGE:
        return
    until = min(now, transfer.ends_ns)
    if until > transfer.moves_since_ns:
        transfer.run_ns += until - transfer.moves_since_ns
        transfer.moves_since_ns = until
    if transfer.phase == RETURN and now >= transfer.ends_ns and not transfer.set_waits:
        transfer.phase = HOME


def settle_transfer(line: Line) -> None:
    """Move on, and note that it waits for the next set."""
    transfer = line.transfer
    move_transfer_on(line)
    if transfer.phase == HOME and not transfer.stands and transfer.ends_ns < line.now_ns:
        root = line.webs.root
        if line.accounts.of[transfer.station].state == RUNNING:
            wait(line, transfer.station, transfer.ends_ns, STARVED, root)


def transfer_paused(line: Line) -> None:
    transfer = line.transfer
    settle_transfer(line)
    set_alarm(line, transfer.alarm, NEVER)
    moving = transfer.phase != HOME and transfer.phase != AT_BRIDGE
    transfer.rest_ns = transfer.ends_ns - line.now_ns if moving else 0


def transfer_resumed(line: Line) -> None:
    """It may move again: the move is finished, not begun anew."""
    transfer = line.transfer
    if transfer.phase == HOME:
        transfer.moves_since_ns = line.now_ns
        if transfer.set_waits:
            _pick(line)
    elif transfer.phase == AT_BRIDGE:
        _try_to_place(line)
    else:
        _go(line, transfer.rest_ns)


def transfer_is_empty(line: Line) -> bool:
    """It neither carries a set nor has one to fetch."""
    settle_transfer(line)
    transfer = line.transfer
    return not transfer.set_waits and transfer.carried == 0 and transfer.phase == HOME


def show_transfer(line: Line) -> None:
    transfer, now = line.transfer, line.now_ns
    if show_stop(line, transfer):
        return
    station = transfer.station
    if transfer.phase == AT_BRIDGE:
        root = told.root_of_packing(line)
        wait(line, station, now, BLOCKED, root)
    elif transfer.phase == HOME:
        if transfer.ends_ns >= now and line.accounts.of[station].state == RUNNING:
            return  # home this very moment: whether it waits will be seen
        root = line.webs.root
        wait(line, station, now, STARVED, root)
    else:
        run(line, station, now)
