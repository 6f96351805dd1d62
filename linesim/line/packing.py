"""The packing end: bridge, wrappers, outfeed and rework table, moved on together.

Between two events nothing here depends on anything else, so reams are not events: whoever needs
to know calls ``settle``, and what happened since is worked out ream by ream, or many at once.
Only what others must hear of at its very moment (a stop, a level) is set as an alarm; the alarm
never comes too late, and where it comes too early it is set again.
"""

from __future__ import annotations

from array import array
from collections.abc import Callable
from typing import TYPE_CHECKING

from linesim.line.bridge import Bridge
from linesim.line.clock import NEVER, Alarm, Rank
from linesim.line.outfeed import Outfeed
from linesim.line.rework import Rework
from linesim.line.wrapper import Wrapper
from linesim.record.states import Kind, State

if TYPE_CHECKING:
    from linesim.line.floor import Floor

Root = tuple[int, int]
_FINISH, _START, _OUTFEED = range(3)
_RUNNING, _STARVED = int(State.RUNNING), int(State.STARVED)


class Packing:
    """Moves reams from the bridge through the wrappers to the outfeed."""

    def __init__(
        self, floor: Floor, bridge: Bridge, wrappers: list[Wrapper], outfeed: Outfeed | None
    ) -> None:
        self.floor = floor
        self._clock = floor.env
        self.bridge = bridge
        self.wrappers = wrappers
        self.outfeed = outfeed
        self.rework = Rework(floor)
        self._rule = floor.scenario.divert.rule
        self._second_at = floor.scenario.divert.second_at_reams or 0
        self._turn = 0
        table = floor.scenario.bridge
        self.needs_level = self._rule == "second_above_level" or (
            table.catch_up_at_reams is not None and table.catch_up_factor > 1
        )
        """Every ream needs to know the level at its own moment."""
        self._settled_at = 0
        self._settling = False
        self._was_idle = True
        self._one_wrapper = len(wrappers) == 1 and wrappers[0].even
        self._pace = max(wrapper.longest for wrapper in wrappers)
        """An outfeed that waits no longer than this runs at the wrappers' pace."""
        self._alarm = Alarm(floor.env, Rank.WRAPPING, self._rung)
        self.start_rows = array("q")
        self.end_rows = array("q")
        self.wrapper_rows = array("b")
        self.off_rows = array("q")
        """When reams left the bridge that were spoiled before they were wrapped."""
        self.spoiled_rows = array("q")
        """When reams left a wrapper wrapped, but spoiled."""
        bridge.arrived = self._arrived
        bridge.waited_for = self._plan
        bridge.look = self._move_on
        for wrapper in wrappers:
            wrapper.paused = lambda w=wrapper: self._paused(w)  # type: ignore[misc]
            wrapper.resumed = lambda w=wrapper: self._resumed(w)  # type: ignore[misc]
        if outfeed is not None:
            outfeed.paused = outfeed.pause
            outfeed.resumed = self._outfeed_resumed
        floor.join(self.settle, self.show)

    level_fell: Callable[[], None]
    """Told when the level has fallen to what somebody waits for."""
    root_before: Callable[[], Root]
    """Whom the bridge's start is waiting for."""
    on_out: Callable[[int, bool], None] | None = None
    """Told of each ream that leaves a wrapper: moment, and whether it is good."""

    # -- moving on -------------------------------------------------------------------------

    def settle(self) -> None:
        """Work out everything up to now, and note who has run out of work."""
        if not self._settling:
            self._move_on()
            self._note_idle(self.floor.now)

    def _move_on(self) -> None:
        if self._settling:
            return
        self._settling = True
        now = self._clock.moment
        try:
            if self._one_wrapper:
                self._settle_one(now)
            else:
                self._settle_several(now)
        finally:
            self._settling = False
        self._settled_at = now

    def _settle_several(self, now: int) -> None:
        while True:
            at, what, wrapper = self._next()
            if at > now:
                break
            self._settled_at = at
            if what == _FINISH:
                self._finish(wrapper)
            elif what == _START:
                self._start(wrapper, at)
            else:
                self._outfeed_moves()

    def _settle_one(self, now: int) -> None:
        """The same for one wrapper whose reams all take the same time: many reams in one step."""
        wrapper, outfeed = self.wrappers[0], self.outfeed
        while True:
            if wrapper.busy:
                at = min(wrapper.ends, wrapper.stops_at)
                if wrapper.stops or at > now:
                    break
                if outfeed is not None and outfeed.busy and outfeed.ends + self._pace < at:
                    self._outfeed_until(at)
                if wrapper.stops or self._many(now):
                    continue
                self._outfeed_until(at)
                if wrapper.stops:
                    continue
                self._settled_at = at
                self._finish(wrapper)
            elif wrapper.holding:
                if not self._outfeed_moves_by(now):
                    break
            else:
                # Not before what is settled: the belt may have stood meanwhile.
                at = max(self.bridge.head_ready(), wrapper.idle_since, self._settled_at)
                if wrapper.stops or at > now:
                    break
                self._settled_at = at
                if not self._whole_set(at, now):
                    self._start(wrapper, at)
        self._outfeed_until(now)

    def _outfeed_until(self, at: int) -> None:
        while self._outfeed_moves_by(at):
            pass

    def _outfeed_moves_by(self, at: int) -> bool:
        outfeed = self.outfeed
        if outfeed is None or not outfeed.busy or outfeed.stops:
            return False
        moves = outfeed.ends if outfeed.ends < outfeed.stops_at else outfeed.stops_at
        if moves > at:
            return False
        self._settled_at = moves
        self._outfeed_moves()
        return True

    def _next(self) -> tuple[int, int, Wrapper]:
        """What happens next of itself: when, what, and to which wrapper.

        At one moment the outfeed moves first, then reams are finished, then reams are begun.
        """
        best, what, who = NEVER, _FINISH, self.wrappers[0]
        outfeed = self.outfeed
        if outfeed is not None and outfeed.busy and not outfeed.stops:
            best, what = min(outfeed.ends, outfeed.stops_at), _OUTFEED
        idle = False
        for wrapper in self.wrappers:
            if wrapper.busy:
                if not wrapper.stops:
                    at = min(wrapper.ends, wrapper.stops_at)
                    if at < best:
                        best, what, who = at, _FINISH, wrapper
            else:
                idle = True
        if idle:
            ready = self.bridge.head_ready()
            if ready < best:
                ready = max(ready, self._settled_at)
                for wrapper in self._may_take():
                    at = max(ready, wrapper.idle_since)
                    if at < best:
                        best, what, who = at, _START, wrapper
        return best, what, who

    def _may_take(self) -> list[Wrapper]:
        """The wrappers to which the rule gives the next ream."""
        free = [w for w in self.wrappers if not (w.busy or w.stops or w.holding)]
        first = self.wrappers[0]
        match self._rule:
            case "in_turn":
                up = [w for w in self.wrappers if not w.stops]
                if not up:
                    return []
                whose = min(up, key=lambda w: (w.number - self._turn) % len(self.wrappers))
                return [whose] if whose in free else []
            case "second_above_level":
                if self.bridge.level < self._second_at and not first.stops:
                    return [w for w in free if w is first]
                return free
            case "hot_standby":
                return free if first.stops else [w for w in free if w is first]
            case _:
                return free

    def _start(self, wrapper: Wrapper, at: int) -> None:
        self._run_from(wrapper, at)
        wrapper.start(at, self.bridge.level)
        self.bridge.take()
        self._turn = (wrapper.number + 1) % len(self.wrappers)

    def _whole_set(self, at: int, now: int) -> bool:
        """An idle wrapper takes the reams of one set and is done with them by now."""
        wrapper, outfeed = self.wrappers[0], self.outfeed
        cycle = wrapper.shortest
        reams = self.bridge.head()[1]
        end = at + reams * cycle
        if cycle == 0 or end > now or reams >= wrapper.next_due - wrapper.done:
            return False
        if reams * cycle >= wrapper.running_due - wrapper.run_ns:
            return False
        first_end = at + cycle
        if outfeed is not None:
            self._outfeed_until(first_end)
            if wrapper.stops or outfeed.keeps_up_with(first_end, cycle) < reams:
                return False
            if not outfeed.busy:
                self._outfeed_runs(first_end)
            outfeed.go_through(first_end, reams, cycle)
        self._run_from(wrapper, at)
        self._good(first_end, reams, cycle)
        if self.floor.keep:
            self.start_rows.extend(range(at, end, cycle))
            self.end_rows.extend(range(first_end, end + cycle, cycle))
            self.wrapper_rows.extend([0] * reams)
        wrapper.do_set(at, reams, cycle)
        self.bridge.take_many(reams)
        self._turn = 0
        return True

    def _run_from(self, wrapper: Wrapper, at: int) -> None:
        ledger, station = self.floor.ledger, wrapper.station
        if ledger.now_in[station][1] != _RUNNING:
            ledger.enter(station, at, State.RUNNING)
        elif at > wrapper.idle_since:
            root = self._root_of_starved(wrapper)
            ledger.gap(station, wrapper.idle_since, at, _STARVED, root)

    def _many(self, now: int) -> bool:
        """One wrapper, every ream alike: reams that follow each other are one multiplication."""
        wrapper, bridge = self.wrappers[0], self.bridge
        if not wrapper.busy or wrapper.stops or wrapper.stops_at < NEVER or bridge.stops:
            return False
        cycle = wrapper.shortest
        if cycle == 0 or wrapper.ends > now:
            return False
        ready, reams = bridge.head()
        if ready > wrapper.ends:
            return False
        # The due ream itself, and the one in which a stop falls due, go the long way.
        count = min(
            reams,
            wrapper.next_due - wrapper.done - 1,
            (now - wrapper.ends) // cycle + 1,
            (wrapper.running_due - wrapper.run_ns) // cycle - 1,
        )
        first_end = wrapper.ends
        outfeed = self.outfeed
        if outfeed is not None and count > 0:
            count = min(count, outfeed.keeps_up_with(first_end, cycle))
        if count < 1:
            return False
        if outfeed is not None:
            if not outfeed.busy:
                self._outfeed_runs(first_end)
            outfeed.go_through(first_end, count, cycle)
        self._good(first_end, count, cycle)
        if self.floor.keep:
            self.start_rows.append(wrapper.first_began)
            self.start_rows.extend(range(first_end, first_end + (count - 1) * cycle, cycle))
            self.end_rows.extend(range(first_end, first_end + count * cycle, cycle))
            self.wrapper_rows.extend([0] * count)
        wrapper.go_through(count, cycle)
        bridge.take_many(count)
        return True

    def _good(self, at: int, count: int, cycle: int) -> None:
        self.floor.books.reams.wrapped += count
        if self.on_out is not None:
            for i in range(count):
                self.on_out(at + i * cycle, True)

    def _spoiled(self) -> None:
        self.rework.bring()
        if self.on_out is not None:
            self.on_out(self.floor.now, False)

    def _finish(self, wrapper: Wrapper) -> None:
        if wrapper.stops_at < wrapper.ends:
            self._at_this_moment(wrapper.stops_at)
            reading = wrapper.run_ns + wrapper.stops_at - wrapper.began
            wrapper.stops_at = NEVER
            for cause in wrapper.fall("every_running_h", reading):
                self._spoil(wrapper, cause.stop.spoils_reams)
            return
        wrapper.finish()
        at = wrapper.ends
        if self.floor.keep:
            self.start_rows.append(wrapper.first_began)
            self.end_rows.append(at)
            self.wrapper_rows.append(wrapper.number)
        if wrapper.done >= wrapper.next_due:
            self._at_this_moment(at)
            more = wrapper.spoils_beyond_this()
            if wrapper.spoilt():
                if self.floor.keep:
                    self.spoiled_rows.append(at)
                self._spoiled()
            else:
                self._deliver(wrapper, at)
            wrapper.fall_by_reams()
            self._spoil(wrapper, more)
        else:
            self._deliver(wrapper, at)

    def _deliver(self, wrapper: Wrapper, at: int) -> None:
        self._good(at, 1, 0)
        outfeed = self.outfeed
        if outfeed is None:
            return
        if outfeed.has_room:
            self._bring_out(at)
        else:
            wrapper.holding = True
            root = self._root_of_blocked()
            self.floor.ledger.enter(wrapper.station, at, State.BLOCKED, root[1], root)

    def _bring_out(self, at: int) -> None:
        outfeed = self.outfeed
        assert outfeed is not None
        if not outfeed.busy and not outfeed.stops:
            self._outfeed_runs(at)
        outfeed.bring(at)

    def _outfeed_runs(self, at: int) -> None:
        outfeed = self.outfeed
        assert outfeed is not None
        ledger, station = self.floor.ledger, outfeed.station
        if ledger.now_in[station][1] != _RUNNING:
            ledger.enter(station, at, State.RUNNING)
        elif at > outfeed.idle_since + self._pace:
            root = self._root_of_idle_outfeed()
            ledger.gap(station, outfeed.idle_since, at, _STARVED, root)

    def _outfeed_moves(self) -> None:
        outfeed = self.outfeed
        assert outfeed is not None
        if outfeed.stops_at < outfeed.ends:
            self._at_this_moment(outfeed.stops_at)
            reading = outfeed.running_at(outfeed.stops_at)
            outfeed.stops_at = NEVER
            outfeed.fall("every_running_h", reading)
            return
        at = outfeed.ends
        outfeed.finish()
        if outfeed.done >= outfeed.reams_due:
            self._at_this_moment(at)
            outfeed.fall("every_reams", outfeed.done)
        outfeed.take(at)
        self._room_on_outfeed(at)

    def _room_on_outfeed(self, at: int) -> None:
        outfeed = self.outfeed
        assert outfeed is not None
        for wrapper in self.wrappers:
            if wrapper.holding and outfeed.has_room:
                wrapper.holding = False
                wrapper.idle_since = at
                if not wrapper.stops:
                    root = self._root_of_starved(wrapper)
                    self.floor.ledger.enter(wrapper.station, at, State.STARVED, root[1], root)
                self._bring_out(at)

    def _at_this_moment(self, at: int) -> None:
        if at != self.floor.now:
            raise AssertionError("the packing end heard of a stop too late")
        self._note_idle(at)

    def _spoil(self, wrapper: Wrapper, reams: int) -> None:
        """A stop spoils reams: the one in hand, then the first on the bridge."""
        if reams > 0 and wrapper.busy:
            if self.floor.keep:
                self.off_rows.append(wrapper.first_began)
            wrapper.drop()
            self._spoiled()
            reams -= 1
        while reams > 0 and self.bridge.level > 0:
            self.bridge.take()
            if self.floor.keep:
                self.off_rows.append(self.floor.now)
            wrapper.done += 1
            self._spoiled()
            reams -= 1

    def in_hand_since(self) -> list[int]:
        """When the reams now being wrapped were taken off the bridge."""
        return [wrapper.first_began for wrapper in self.wrappers if wrapper.busy]

    # -- what the cruise needs ---------------------------------------------------------------

    def catch_up(self) -> None:
        """Bring the level up to this moment."""
        self._move_on()

    def undisturbed_until(self) -> int:
        """No stop falls due before this, however fast reams come; NEVER where an alarm is set."""
        if not self._was_idle:
            return NEVER
        self._move_on()
        now, at = self.floor.now, NEVER
        for w in self.wrappers:
            if not w.stops:
                base = max(now, w.ends) if w.busy else now
                left = max(0, w.next_due - w.done - (1 if w.busy else 0))
                at = min(at, w.stops_at, base + min(w.run_until_stop(), left * w.shortest))
        outfeed = self.outfeed
        if outfeed is not None and not outfeed.stops:
            at = min(at, outfeed.earliest_stop(now))
        return at

    def fed(self) -> None:
        """Sets have been put down without a word: look what is due."""
        if self._was_idle:
            self._move_on()
            self._plan()

    # -- being told ------------------------------------------------------------------------

    def _arrived(self) -> None:
        """A set was put down. Where all wrappers were busy, that changes nothing yet."""
        if self._was_idle or self.needs_level:
            self._move_on()
            self._plan()

    def _paused(self, wrapper: Wrapper) -> None:
        """It stands: the rule may give its reams to another."""
        wrapper.pause()
        if not self._settling:
            self._plan()

    def _resumed(self, wrapper: Wrapper) -> None:
        wrapper.go_on()
        self._plan()

    def _outfeed_resumed(self) -> None:
        outfeed = self.outfeed
        assert outfeed is not None
        outfeed.go_on()
        self._room_on_outfeed(self.floor.now)
        self._plan()

    def _rung(self) -> None:
        self._move_on()
        bridge = self.bridge
        if bridge.wait_level >= 0 and bridge.level <= bridge.wait_level:
            bridge.wait_level = -1
            self.level_fell()
        self._plan()

    # -- the alarm -------------------------------------------------------------------------

    def _plan(self) -> None:
        """Set the alarm to the earliest moment at which somebody might have to be told."""
        now, at = self.floor.now, NEVER
        self._was_idle = any(not w.busy for w in self.wrappers)
        upcoming = self._next()[0]
        for wrapper in self.wrappers:
            if wrapper.stops:
                continue
            if wrapper.busy:
                base, more = wrapper.ends, 1
                at = min(at, wrapper.stops_at)
            elif upcoming < NEVER:
                # Before something else happens, the rule keeps an idle wrapper idle.
                base, more = max(now, upcoming), 0
            else:
                continue
            at = min(
                at,
                base + wrapper.run_until_stop(),
                base + max(0, wrapper.next_due - wrapper.done - more) * wrapper.shortest,
            )
        outfeed = self.outfeed
        if outfeed is not None and not outfeed.stops and (outfeed.busy or upcoming < NEVER):
            at = min(at, outfeed.earliest_stop(max(now, upcoming)))
        if self.bridge.wait_level >= 0:
            above = self.bridge.level - self.bridge.wait_level
            shortest = min(wrapper.shortest for wrapper in self.wrappers)
            rounds = max(0, above - 1) // len(self.wrappers)
            first = now if above <= 0 else upcoming
            if first < NEVER:
                at = min(at, first + rounds * shortest)
        self._alarm.set(max(at, now) if at < NEVER else NEVER)

    # -- accounts --------------------------------------------------------------------------

    def _note_idle(self, now: int) -> None:
        """Enter who has run out of work since."""
        ledger = self.floor.ledger
        for w in self.wrappers:
            if w.busy or w.stops or w.holding or w.idle_since >= now:
                continue
            if ledger.now_in[w.station][1] == _RUNNING:
                root = self._root_of_starved(w)
                ledger.enter(w.station, w.idle_since, State.STARVED, root[1], root)
        outfeed = self.outfeed
        if outfeed is None or outfeed.busy or outfeed.stops:
            return
        if outfeed.idle_since + self._pace >= now:
            return
        if ledger.now_in[outfeed.station][1] == _RUNNING:
            root = self._root_of_idle_outfeed()
            ledger.enter(outfeed.station, outfeed.idle_since, State.STARVED, root[1], root)

    def root(self) -> Root:
        """Whom the bridge is waiting for when it does not empty fast enough."""
        if self.bridge.stops:
            return self.bridge.own_root()
        for wrapper in self.wrappers:
            if wrapper.stops:
                return wrapper.own_root()
        if any(wrapper.holding for wrapper in self.wrappers):
            return self._root_of_blocked()
        return (self.wrappers[0].station, 0)

    def _root_of_blocked(self) -> Root:
        outfeed = self.outfeed
        assert outfeed is not None
        return outfeed.own_root() if outfeed.stops else (outfeed.station, 0)

    def _root_of_starved(self, wrapper: Wrapper) -> Root:
        """Whom a wrapper without a ream is really waiting for."""
        bridge, ledger = self.bridge, self.floor.ledger
        if bridge.stops:
            return bridge.own_root()
        if wrapper.number > 0 and self._kept_by_rule(wrapper):
            return (self.wrappers[0].station, 0)
        if bridge.level > 0:
            # Reams are on their way: the trouble that emptied the bridge is still being felt.
            _, state, _, root_station, root_cause = ledger.now_in[wrapper.station]
            if state == State.STARVED and ledger.kinds[root_cause] != Kind.RATE:
                return (root_station, root_cause)
        return self.root_before()

    def _kept_by_rule(self, wrapper: Wrapper) -> bool:
        """Whether the first wrapper is to have the reams that are there."""
        first = self.wrappers[0]
        if first.stops:
            return False
        if self._rule == "second_above_level":
            return 0 < self.bridge.level < self._second_at
        return self._rule == "hot_standby"

    def _root_of_idle_outfeed(self) -> Root:
        """Whom an outfeed without a ream is really waiting for.

        Wrappers that run keep it busy: so they stand, or wait themselves.
        """
        for wrapper in self.wrappers:
            if wrapper.stops:
                return wrapper.own_root()
        return self.bridge.own_root() if self.bridge.stops else self.root_before()

    def show(self) -> None:
        """Enter the states of wrappers and outfeed."""
        now, enter = self.floor.now, self.floor.ledger.enter
        self._note_idle(now)
        for wrapper in self.wrappers:
            if wrapper.show_stop(now):
                continue
            if wrapper.holding:
                root = self._root_of_blocked()
                enter(wrapper.station, now, State.BLOCKED, root[1], root)
            elif wrapper.busy:
                enter(wrapper.station, now, State.RUNNING)
            elif self.floor.ledger.now_in[wrapper.station][1] != _RUNNING:
                root = self._root_of_starved(wrapper)
                enter(wrapper.station, now, State.STARVED, root[1], root)
        outfeed = self.outfeed
        if outfeed is None or outfeed.show_stop(now):
            return
        if outfeed.busy:
            enter(outfeed.station, now, State.RUNNING)
        elif self.floor.ledger.now_in[outfeed.station][1] != _RUNNING:
            root = self._root_of_idle_outfeed()
            enter(outfeed.station, now, State.STARVED, root[1], root)

    @property
    def empty(self) -> bool:
        """True where no ream is on the bridge or in a wrapper."""
        self.settle()
        busy = any(w.busy or w.holding for w in self.wrappers)
        return self.bridge.level == 0 and not busy

    def reams_here(self) -> int:
        """Reams on the bridge, in wrappers and on the rework table."""
        return self.bridge.level + sum(w.busy for w in self.wrappers) + self.rework.lying
