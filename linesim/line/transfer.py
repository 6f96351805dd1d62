"""The transfer: lifts a full set out of the pockets, carries it over, sets it on the bridge."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from typing import TYPE_CHECKING

from linesim.line.clock import NEVER, SECOND, Alarm, Rank
from linesim.line.machine import Machine
from linesim.record.states import Kind, State

if TYPE_CHECKING:
    from linesim.line.bridge import Bridge
    from linesim.line.floor import Floor
    from linesim.line.webs import Webs


_RUNNING, _STARVED = int(State.RUNNING), int(State.STARVED)


class Phase(Enum):
    """Where the transfer is in its cycle."""

    HOME = "home"
    PICK = "pick"
    CARRY = "carry"
    AT_BRIDGE = "at bridge"
    PLACE = "place"
    RETURN = "return"


class Transfer(Machine):
    """One cycle: pick, carry, wait for room, place, return. It moves one set at a time."""

    def __init__(self, floor: Floor, station: int, webs: Webs, bridge: Bridge) -> None:
        super().__init__(floor, station, Rank.TRANSFER)
        self._webs = webs
        self._bridge = bridge
        table, stream = floor.scenario.transfer, floor.chance.stream
        self.times = {
            phase: stream(law, SECOND, "transfer", phase.value)
            for phase, law in (
                (Phase.PICK, table.pick_s),
                (Phase.CARRY, table.carry_s),
                (Phase.PLACE, table.place_s),
                (Phase.RETURN, table.return_s),
            )
        }
        """Of each move: its times, ns."""
        self.phase = Phase.HOME
        self.carried = 0
        """Reams in the grip."""
        self.set_waits = False
        self.cause_cannot = floor.ledger.cause("transfer cycle", Kind.RATE)
        self._ends = 0
        self._rest = 0
        self._running_ns = 0
        self._moves_since = 0
        self._reams = 0
        self.set_full_at: list[int] = []
        """Moments at which the sets not yet on the bridge were full."""
        self.alarm = Alarm(floor.env, Rank.TRANSFER, self._rung)
        self.paused = self._paused
        self.resumed = self._resumed
        floor.join(self.settle, self.show)

    # -- what others say -------------------------------------------------------------------

    def set_full(self) -> None:
        """A full set waits in the pockets."""
        self._move_on()
        self.set_waits = True
        self.set_full_at.append(self.floor.now)
        if self.phase is Phase.HOME and not self.stops:
            self._pick()
        elif self.phase is Phase.RETURN and not self.stops:
            self.alarm.set(min(self.alarm.at, self._ends))

    def room(self) -> None:
        """The bridge may have room now."""
        if self.phase is Phase.AT_BRIDGE and not self.stops:
            self._try_to_place()

    @property
    def empty(self) -> bool:
        """True where it neither carries a set nor has one to fetch."""
        self.settle()
        return not self.set_waits and self.carried == 0 and self.phase is Phase.HOME

    def run_so_far(self) -> int:
        """What the meter of running time reads, ns."""
        return self._running_ns

    def reams_so_far(self) -> int:
        """What the meter of reams reads."""
        return self._reams

    # -- what the cruise needs ---------------------------------------------------------------

    def constant_times(self) -> tuple[int, int, int] | None:
        """Pick and carry, place, return (ns) where none of them varies."""
        times = [self.times[phase].constant for phase in self.times]
        if any(t is None for t in times):
            return None
        pick, carry, place, back = (t or 0 for t in times)
        return pick + carry, place, back

    @property
    def home_at(self) -> int:
        """When it is, or was, home from its last move."""
        return self._ends

    def catch_up(self) -> None:
        """Come home, if that has happened meanwhile."""
        self._move_on()

    def sets_before_stop(self, cycle: int, reams: int) -> int:
        """Whole cycles before a stop of its own falls due."""
        by_time = (self.running_due - self._running_ns) // max(1, cycle)
        return min(by_time, (self.reams_due - self._reams - 1) // reams)

    def through(self, at: int, cycle: int, reams: int) -> None:
        """A whole cycle from ``at`` on."""
        self._enter_running()
        self._ends = at + cycle
        self._running_ns += cycle
        self._reams += reams

    def on_its_way_home(self, back: int) -> None:
        """The last cycle has put its set down and is on its way back."""
        self.phase = Phase.RETURN
        self._running_ns -= back
        self._moves_since = self._ends - back
        self.alarm.set(NEVER)

    # -- the cycle --------------------------------------------------------------------------

    def _enter(self, phase: Phase) -> None:
        self.phase = phase
        self._go(self.times[phase].draw())

    def _go(self, length: int) -> None:
        now = self.floor.now
        self._moves_since = now
        self._ends = now + length
        to_stop = self.running_due - self._running_ns
        if to_stop < length:
            self.alarm.set(now + max(0, to_stop))
        elif self.phase is Phase.RETURN and not self.set_waits:
            self.alarm.set(NEVER)  # nobody waits for it: when it is home can be said later
        else:
            self.alarm.set(self._ends)

    def _rung(self) -> None:
        self._move_on()
        now = self.floor.now
        if self.phase is Phase.HOME:
            self._pick_if_set()
            return
        if now < self._ends:
            if not self.fall("every_running_h", self._running_ns):
                self._go(self._ends - now)
            return
        match self.phase:
            case Phase.PICK:
                self._picked()
            case Phase.CARRY:
                self._carried()
            case Phase.PLACE:
                self._placed()
            case Phase.RETURN:
                self._home()
            case _:
                pass

    def _pick_if_set(self) -> None:
        if self.set_waits and not self.stops:
            self._pick()

    def _pick(self) -> None:
        self.set_waits = False
        self.carried = self._webs.goods.lanes
        self._enter_running()
        if self._webs.pockets.interim_fingers:
            # Nobody waits for the end of the pick: pick and carry are one move.
            self.phase = Phase.CARRY
            self._go(self.times[Phase.PICK].draw() + self.times[Phase.CARRY].draw())
            self._webs.set_taken()
        else:
            self._enter(Phase.PICK)

    def _picked(self) -> None:
        self._webs.set_taken()
        self._enter(Phase.CARRY)

    def _carried(self) -> None:
        self.phase = Phase.AT_BRIDGE
        self._try_to_place()

    def _try_to_place(self) -> None:
        if self._bridge.room_for(self.carried):
            waited = self.floor.ledger.now_in[self.station][1] == State.BLOCKED
            if waited:
                self.floor.settle()
            self._enter(Phase.PLACE)
            if waited:
                self.floor.show()
        elif self.floor.ledger.now_in[self.station][1] != State.BLOCKED:
            self.floor.settle()
            self._bridge.tell_when_room(self.carried)
            self.floor.show()
        else:
            self._bridge.tell_when_room(self.carried)

    def _placed(self) -> None:
        reams, self.carried = self.carried, 0
        self._reams += reams
        self._enter(Phase.RETURN)
        self._bridge.place(reams, self.set_full_at.pop(0))
        if self._reams >= self.reams_due:
            self.fall("every_reams", self._reams)

    def _home(self) -> None:
        self.phase = Phase.HOME
        self.alarm.set(NEVER)
        if self.set_waits and not self.stops:
            self._pick()

    # -- standing ---------------------------------------------------------------------------

    def _paused(self) -> None:
        self.settle()
        self.alarm.set(NEVER)
        moving = self.phase not in (Phase.HOME, Phase.AT_BRIDGE)
        self._rest = self._ends - self.floor.now if moving else 0

    def _resumed(self) -> None:
        if self.phase is Phase.HOME:
            self._moves_since = self.floor.now
            self._pick_if_set()
        elif self.phase is Phase.AT_BRIDGE:
            self._try_to_place()
        else:
            self._go(self._rest)

    def _enter_running(self) -> None:
        now, ledger = self.floor.env.moment, self.floor.ledger
        if ledger.now_in[self.station][1] == _RUNNING:
            if now > self._ends:
                ledger.gap(self.station, self._ends, now, _STARVED, self._webs.root())
        else:
            ledger.enter(self.station, now, State.RUNNING)

    def _move_on(self) -> None:
        """Count the time it moved; it may have come home meanwhile."""
        now = self.floor.now
        if self.stops or self.phase is Phase.HOME or self.phase is Phase.AT_BRIDGE:
            return
        until = min(now, self._ends)
        if until > self._moves_since:
            self._running_ns += until - self._moves_since
            self._moves_since = until
        if self.phase is Phase.RETURN and now >= self._ends and not self.set_waits:
            self.phase = Phase.HOME

    def settle(self) -> None:
        """Move on, and note that it waits for the next set."""
        self._move_on()
        if self.phase is Phase.HOME and not self.stops and self._ends < self.floor.now:
            ledger = self.floor.ledger
            if ledger.now_in[self.station][1] == State.RUNNING:
                root = self._webs.root()
                ledger.enter(self.station, self._ends, State.STARVED, root[1], root)

    # -- accounts ----------------------------------------------------------------------------

    def root(self) -> tuple[int, int] | None:
        """Whom the webs wait for when they wait for the transfer; None: not for it itself."""
        if self.stops:
            return self.own_root()
        if self.phase is Phase.AT_BRIDGE:
            return None
        return (self.station, self.cause_cannot)

    root_beyond: Callable[[], tuple[int, int]]

    def show(self) -> None:
        """Enter its state."""
        now, enter = self.floor.now, self.floor.ledger.enter
        if self.show_stop(now):
            return
        if self.phase is Phase.AT_BRIDGE:
            root = self.root_beyond()
            enter(self.station, now, State.BLOCKED, root[1], root)
        elif self.phase is Phase.HOME:
            if self._ends >= now and self.floor.ledger.now_in[self.station][1] == State.RUNNING:
                return  # home this very moment: whether it waits will be seen
            root = self._webs.root()
            enter(self.station, now, State.STARVED, root[1], root)
        else:
            enter(self.station, now, State.RUNNING)
