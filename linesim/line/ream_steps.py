"""The steps of a ream behind the bridge: taken, wrapped, brought to the outfeed, or spoiled.

Each step happens at a moment that is known; when it is due is the affair of ``packing``.
"""

from __future__ import annotations

from array import array
from collections.abc import Callable

from linesim.line.bridge import Bridge
from linesim.line.clock import NEVER
from linesim.line.divert import Divert
from linesim.line.floor import Floor
from linesim.line.outfeed import Outfeed
from linesim.line.packing_states import PackingStates
from linesim.line.rework import Rework
from linesim.line.wrapper import Wrapper


class ReamSteps:
    """Does what happens to reams, one by one, and keeps the rows of it."""

    def __init__(
        self,
        floor: Floor,
        bridge: Bridge,
        wrappers: list[Wrapper],
        outfeed: Outfeed | None,
        divert: Divert,
        states: PackingStates,
    ) -> None:
        self._floor = floor
        self._bridge = bridge
        self._wrappers = wrappers
        self._outfeed = outfeed
        self._divert = divert
        self._states = states
        self.rework = Rework(floor)
        self.settled_at = 0
        """Everything up to this moment is worked out, ns."""
        self.start_rows = array("q")
        self.end_rows = array("q")
        self.wrapper_rows = array("b")
        self.off_rows = array("q")
        """When reams left the bridge that were spoiled before they were wrapped."""
        self.spoiled_rows = array("q")
        """When reams left a wrapper wrapped, but spoiled."""

    on_out: Callable[[int, bool], None] | None = None
    """Told of each ream that leaves a wrapper: moment, and whether it is good."""

    # -- at a wrapper ----------------------------------------------------------------------

    def start(self, wrapper: Wrapper, at: int) -> None:
        """The wrapper takes the first ream on the bridge."""
        self._states.wrapper_runs(wrapper, at)
        wrapper.start(at, self._bridge.level)
        self._bridge.take()
        self._divert.taken_by(wrapper)

    def wrapper_moves(self, wrapper: Wrapper) -> None:
        """The ream in hand is wrapped, or a stop falls due before that."""
        if wrapper.stops_at < wrapper.ends:
            self._at_this_moment(wrapper.stops_at)
            reading = wrapper.run_ns + wrapper.stops_at - wrapper.began
            wrapper.stops_at = NEVER
            for cause in wrapper.fall("every_running_h", reading):
                self._spoil(wrapper, cause.stop.spoils_reams)
            return
        wrapper.finish()
        at = wrapper.ends
        if self._floor.keep:
            self.start_rows.append(wrapper.first_began)
            self.end_rows.append(at)
            self.wrapper_rows.append(wrapper.number)
        if wrapper.done >= wrapper.next_due:
            self._at_this_moment(at)
            more = wrapper.spoils_beyond_this()
            if wrapper.spoilt():
                if self._floor.keep:
                    self.spoiled_rows.append(at)
                self._spoiled()
            else:
                self._deliver(wrapper, at)
            wrapper.fall_by_reams()
            self._spoil(wrapper, more)
        else:
            self._deliver(wrapper, at)

    def _deliver(self, wrapper: Wrapper, at: int) -> None:
        self.good(at, 1, 0)
        outfeed = self._outfeed
        if outfeed is None:
            return
        if outfeed.has_room:
            self._bring_out(outfeed, at)
        else:
            wrapper.holding = True
            self._states.wrapper_is_blocked(wrapper, at)

    def good(self, at: int, count: int, cycle: int) -> None:
        """``count`` good reams leave a wrapper, the first at ``at``, then every ``cycle``."""
        self._floor.books.reams.wrapped += count
        if self.on_out is not None:
            for i in range(count):
                self.on_out(at + i * cycle, True)

    def _spoiled(self) -> None:
        self.rework.bring()
        if self.on_out is not None:
            self.on_out(self._floor.now, False)

    def _spoil(self, wrapper: Wrapper, reams: int) -> None:
        """A stop spoils reams: the one in hand, then those waiting before it on the bridge."""
        if reams > 0 and wrapper.busy:
            if self._floor.keep:
                self.off_rows.append(wrapper.first_began)
            wrapper.drop()
            self._spoiled()
            reams -= 1
        while reams > 0 and self._bridge.head_ready() <= self._floor.now:
            self._bridge.take()
            if self._floor.keep:
                self.off_rows.append(self._floor.now)
            wrapper.throw_away()
            self._spoiled()
            reams -= 1

    def in_hand_since(self) -> list[int]:
        """When the reams now being wrapped were taken off the bridge."""
        return [wrapper.first_began for wrapper in self._wrappers if wrapper.busy]

    # -- at the outfeed --------------------------------------------------------------------

    def _bring_out(self, outfeed: Outfeed, at: int) -> None:
        if not outfeed.busy and not outfeed.stops:
            self._states.outfeed_runs(outfeed, at)
        outfeed.bring(at)

    def outfeed_moves(self, outfeed: Outfeed) -> None:
        """A ream leaves the line, or a stop falls due before that."""
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
        self.room_on_outfeed(outfeed, at)

    def room_on_outfeed(self, outfeed: Outfeed, at: int) -> None:
        """Wrappers that held a wrapped ream let go of it, as far as there is room."""
        for wrapper in self._wrappers:
            if wrapper.holding and outfeed.has_room:
                wrapper.holding = False
                wrapper.idle_since = at
                if not wrapper.stops:
                    self._states.wrapper_starves(wrapper, at)
                self._bring_out(outfeed, at)

    def _at_this_moment(self, at: int) -> None:
        if at != self._floor.now:
            raise AssertionError("the packing end heard of a stop too late")
        self._states.note_idle(at)
