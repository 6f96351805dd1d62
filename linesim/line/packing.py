"""The packing end: bridge, wrappers, outfeed and rework table, moved on together.

Between two events nothing here depends on anything else, so reams are not events: whoever needs
to know calls ``settle``, and what happened since is worked out ream by ream, or many at once.
Only what others must hear of at its very moment (a stop, a level) is set as an alarm; the alarm
never comes too late, and where it comes too early it is set again. This module knows when what is
due; ``ream_steps`` does it, ``many_reams`` does many at once, ``divert`` says whose ream it is,
``packing_states`` what the accounts are told.
"""

from __future__ import annotations

from collections.abc import Callable

from linesim.line.bridge import Bridge
from linesim.line.clock import NEVER, Alarm, Rank
from linesim.line.divert import Divert
from linesim.line.floor import Floor
from linesim.line.many_reams import ManyReams, can_do_many
from linesim.line.outfeed import Outfeed
from linesim.line.packing_states import PackingStates
from linesim.line.ream_steps import ReamSteps
from linesim.line.wrapper import Wrapper

_WRAPPER, _START, _OUTFEED = range(3)
"""What can happen next of itself."""


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
        self.divert = divert = Divert(floor.scenario, bridge, wrappers)
        self.states = PackingStates(floor, bridge, wrappers, outfeed, divert)
        self.steps = ReamSteps(floor, bridge, wrappers, outfeed, divert, self.states)
        self.many: ManyReams | None = None
        """The short cut, where it may be taken."""
        if can_do_many(wrappers):
            self.many = ManyReams(floor, bridge, wrappers[0], outfeed, self.states, self.steps)
        table = floor.scenario.bridge
        self.needs_level = divert.heeds_level or (
            table.catch_up_at_reams is not None and table.catch_up_factor > 1
        )
        """Every ream needs to know the level at its own moment."""
        self._settling = False
        self.was_idle = True
        """A wrapper had no ream when the alarm was last set."""
        self.alarm = Alarm(floor.env, Rank.WRAPPING, self._rung)
        bridge.arrived = self._arrived
        bridge.waited_for = self._plan
        bridge.look = self.catch_up
        for wrapper in wrappers:
            wrapper.paused = lambda w=wrapper: self._paused(w)  # type: ignore[misc]
            wrapper.resumed = lambda w=wrapper: self._resumed(w)  # type: ignore[misc]
        if outfeed is not None:
            outfeed.paused = lambda: self._outfeed_paused(outfeed)
            outfeed.resumed = lambda: self._outfeed_resumed(outfeed)
        floor.join(self.settle, self.states.show)

    level_fell: Callable[[], None]
    """Told when the level has fallen to what somebody waits for."""

    # -- moving on -------------------------------------------------------------------------

    def settle(self) -> None:
        """Work out everything up to now, and note who has run out of work."""
        if not self._settling:
            self.catch_up()
            self.states.note_idle(self.floor.now)

    def catch_up(self) -> None:
        """Work out everything up to now."""
        if self._settling:
            return
        self._settling = True
        now = self._clock.moment
        try:
            if self.many is None:
                self._settle_one_by_one(now)
            else:
                self.many.settle(now)
        finally:
            self._settling = False
        self.steps.settled_at = now

    def _settle_one_by_one(self, now: int) -> None:
        steps = self.steps
        while True:
            at, move, wrapper = self._next()
            if at > now:
                break
            steps.settled_at = at
            if move is _WRAPPER:
                steps.wrapper_moves(wrapper)
            elif move is _START:
                steps.start(wrapper, at)
            else:
                assert self.outfeed is not None
                steps.outfeed_moves(self.outfeed)

    def _next(self) -> tuple[int, int, Wrapper]:
        """What happens next of itself: when, what, and to which wrapper.

        At one moment the outfeed moves first, then reams are finished, then reams are begun.
        """
        best, what, who = NEVER, _WRAPPER, self.wrappers[0]
        outfeed = self.outfeed
        if outfeed is not None and outfeed.busy and not outfeed.stops:
            best, what = min(outfeed.ends, outfeed.stops_at), _OUTFEED
        idle = False
        for wrapper in self.wrappers:
            if wrapper.busy:
                if not wrapper.stops:
                    at = min(wrapper.ends, wrapper.stops_at)
                    if at < best:
                        best, what, who = at, _WRAPPER, wrapper
            else:
                idle = True
        if idle:
            ready = self.bridge.head_ready()
            if ready < best:
                ready = max(ready, self.steps.settled_at)
                for wrapper in self.divert.may_take():
                    at = max(ready, wrapper.idle_since)
                    if at < best:
                        best, what, who = at, _START, wrapper
        return best, what, who

    # -- what others ask -------------------------------------------------------------------

    def undisturbed_until(self) -> int:
        """No stop falls due before this, however fast reams come; NEVER where an alarm is set."""
        if not self.was_idle:
            return NEVER
        self.catch_up()
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

    @property
    def empty(self) -> bool:
        """True where no ream is on the bridge or in a wrapper."""
        self.settle()
        busy = any(w.busy or w.holding for w in self.wrappers)
        return self.bridge.level == 0 and not busy

    def reams_here(self) -> int:
        """Reams on the bridge, in wrappers and on the rework table."""
        return self.bridge.level + sum(w.busy for w in self.wrappers) + self.steps.rework.lying

    # -- being told ------------------------------------------------------------------------

    def fed(self) -> None:
        """Sets have been put down without a word: look what is due."""
        if self.was_idle:
            self.catch_up()
            self._plan()

    def _arrived(self) -> None:
        """A set was put down. Where all wrappers were busy, that changes nothing yet."""
        if self.was_idle or self.needs_level:
            self.catch_up()
            self._plan()

    def _paused(self, wrapper: Wrapper) -> None:
        """It stands: the rule may give its reams to another."""
        wrapper.pause()
        if not self._settling:
            self._plan()

    def _resumed(self, wrapper: Wrapper) -> None:
        wrapper.go_on()
        self._plan()

    def _outfeed_paused(self, outfeed: Outfeed) -> None:
        self.states.outfeed_pauses(outfeed)
        outfeed.pause()

    def _outfeed_resumed(self, outfeed: Outfeed) -> None:
        outfeed.go_on()
        self.steps.room_on_outfeed(outfeed, self.floor.now)
        self._plan()

    def _rung(self) -> None:
        self.catch_up()
        bridge = self.bridge
        if bridge.wait_level >= 0 and bridge.level <= bridge.wait_level:
            bridge.wait_level = -1
            self.level_fell()
        self._plan()

    # -- the alarm -------------------------------------------------------------------------

    def _plan(self) -> None:
        """Set the alarm to the earliest moment at which somebody might have to be told."""
        now, at = self.floor.now, NEVER
        self.was_idle = any(not w.busy for w in self.wrappers)
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
        self.alarm.set(max(at, now) if at < NEVER else NEVER)
