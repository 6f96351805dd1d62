"""What the accounts are told of wrappers and outfeed: their states, and whom they wait for."""

from __future__ import annotations

from collections.abc import Callable

from linesim.line.bridge import Bridge
from linesim.line.divert import Divert
from linesim.line.floor import Floor
from linesim.line.outfeed import Outfeed
from linesim.line.wrapper import Wrapper
from linesim.record.states import Kind, State

Root = tuple[int, int]
_RUNNING, _SLOWED, _STARVED = int(State.RUNNING), int(State.SLOWED), int(State.STARVED)


class PackingStates:
    """Enters the states of all stations behind the bridge."""

    def __init__(
        self,
        floor: Floor,
        bridge: Bridge,
        wrappers: list[Wrapper],
        outfeed: Outfeed | None,
        divert: Divert,
    ) -> None:
        self._floor = floor
        self._bridge = bridge
        self._wrappers = wrappers
        self._outfeed = outfeed
        self._divert = divert
        self.pace = max(wrapper.longest for wrapper in wrappers)
        """An outfeed that waits no longer than this (ns) for a ream works at the wrappers' pace."""

    root_before: Callable[[], Root]
    """Set by the line: whom the bridge's start is waiting for."""

    # -- entries ---------------------------------------------------------------------------

    def wrapper_runs(self, wrapper: Wrapper, at: int) -> None:
        """It takes a ream; until now it may have waited."""
        ledger, station = self._floor.ledger, wrapper.station
        if ledger.now_in[station][1] != _RUNNING:
            ledger.enter(station, at, State.RUNNING)
        elif at > wrapper.idle_since:
            root = self._root_of_starved(wrapper)
            ledger.gap(station, wrapper.idle_since, at, _STARVED, root)

    def wrapper_starves(self, wrapper: Wrapper, at: int) -> None:
        """It has nothing to wrap."""
        root = self._root_of_starved(wrapper)
        self._floor.ledger.enter(wrapper.station, at, State.STARVED, root[1], root)

    def wrapper_is_blocked(self, wrapper: Wrapper, at: int) -> None:
        """Its wrapped ream finds no place on the outfeed."""
        root = self._root_of_blocked()
        self._floor.ledger.enter(wrapper.station, at, State.BLOCKED, root[1], root)

    def outfeed_runs(self, outfeed: Outfeed, at: int) -> None:
        """A ream comes to an idle outfeed."""
        ledger, station = self._floor.ledger, outfeed.station
        if ledger.now_in[station][1] > _SLOWED:
            ledger.enter(station, at, State.RUNNING)
        elif at > outfeed.idle_since + self.pace:
            self._outfeed_starves(outfeed, outfeed.idle_since)
            ledger.enter(station, at, State.RUNNING)
        else:
            self._outfeed_waits(outfeed, outfeed.idle_since, at - outfeed.idle_since)

    def outfeed_runs_through(self, outfeed: Outfeed, first: int, count: int, cycle: int) -> None:
        """``count`` reams come to an outfeed that is done with each before the next.

        The first comes at ``first``, the others every ``cycle`` after it, ns.
        """
        if outfeed.busy:
            self._outfeed_waits(outfeed, outfeed.ends, first - outfeed.ends)
        else:
            self.outfeed_runs(outfeed, first)
        waits = (count - 1) * (cycle - outfeed.cycle)
        self._outfeed_waits(outfeed, first + outfeed.cycle, waits)

    def _outfeed_waits(self, outfeed: Outfeed, start: int, waited: int) -> None:
        """It waits ``waited`` ns from ``start`` on for reams that wrappers have in hand."""
        if waited > 0:
            root = (self._wrappers[0].station, 0)
            self._floor.ledger.wait_at_pace(outfeed.station, start, waited, root)

    def outfeed_pauses(self, outfeed: Outfeed) -> None:
        """It stands from now on, or the run is over: a wait at the wrappers' pace ends."""
        producing = self._floor.ledger.now_in[outfeed.station][1] <= _SLOWED
        if producing and not outfeed.busy:
            self._outfeed_waits(outfeed, outfeed.idle_since, self._floor.now - outfeed.idle_since)

    def _outfeed_starves(self, outfeed: Outfeed, at: int) -> None:
        root = self._root_of_idle_outfeed()
        self._floor.ledger.enter(outfeed.station, at, State.STARVED, root[1], root)

    def note_idle(self, now: int) -> None:
        """Enter who has run out of work since."""
        now_in = self._floor.ledger.now_in
        for w in self._wrappers:
            if w.busy or w.stops or w.holding or w.idle_since >= now:
                continue
            if now_in[w.station][1] == _RUNNING:
                self.wrapper_starves(w, w.idle_since)
        outfeed = self._outfeed
        if outfeed is None or outfeed.busy or outfeed.stops:
            return
        if outfeed.idle_since + self.pace >= now:
            return
        if now_in[outfeed.station][1] <= _SLOWED:
            self._outfeed_starves(outfeed, outfeed.idle_since)

    def show(self) -> None:
        """Enter the states of wrappers and outfeed."""
        now, ledger = self._floor.now, self._floor.ledger
        self.note_idle(now)
        for wrapper in self._wrappers:
            if wrapper.show_stop(now):
                continue
            if wrapper.holding:
                self.wrapper_is_blocked(wrapper, now)
            elif wrapper.busy:
                ledger.enter(wrapper.station, now, State.RUNNING)
            elif ledger.now_in[wrapper.station][1] != _RUNNING:
                self.wrapper_starves(wrapper, now)
        outfeed = self._outfeed
        if outfeed is None or outfeed.show_stop(now):
            return
        producing = ledger.now_in[outfeed.station][1] <= _SLOWED
        if outfeed.busy and not producing:
            ledger.enter(outfeed.station, now, State.RUNNING)
        elif not outfeed.busy and not producing:
            self._outfeed_starves(outfeed, now)

    # -- roots -----------------------------------------------------------------------------

    def root(self) -> Root:
        """Whom the bridge is waiting for when it does not empty fast enough."""
        if self._bridge.stops:
            return self._bridge.own_root()
        for wrapper in self._wrappers:
            if wrapper.stops:
                return wrapper.own_root()
        if any(wrapper.holding for wrapper in self._wrappers):
            return self._root_of_blocked()
        return (self._wrappers[0].station, 0)

    def _root_of_blocked(self) -> Root:
        outfeed = self._outfeed
        assert outfeed is not None
        return outfeed.own_root() if outfeed.stops else (outfeed.station, 0)

    def _root_of_starved(self, wrapper: Wrapper) -> Root:
        """Whom a wrapper without a ream is really waiting for."""
        bridge, ledger = self._bridge, self._floor.ledger
        if bridge.stops:
            return bridge.own_root()
        if self._divert.keeps_from(wrapper):
            return (self._wrappers[0].station, 0)
        if bridge.level > 0:
            # Reams are on their way: the trouble that emptied the bridge is still being felt.
            _, state, _, root_station, root_cause = ledger.now_in[wrapper.station]
            if state == State.STARVED and ledger.kinds[root_cause] != Kind.RATE:
                return (root_station, root_cause)
        return self.root_before()

    def _root_of_idle_outfeed(self) -> Root:
        """Whom an outfeed without a ream is really waiting for.

        Wrappers that run keep it busy: so they stand, or wait themselves.
        """
        for wrapper in self._wrappers:
            if wrapper.stops:
                return wrapper.own_root()
        return self._bridge.own_root() if self._bridge.stops else self.root_before()
