"""The outfeed (boxing or pallets): a small buffer and a station that empties it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.line.clock import MINUTE, NEVER, Rank
from linesim.line.machine import Machine

if TYPE_CHECKING:
    from linesim.line.floor import Floor


class Outfeed(Machine):
    """One station with ``waiting`` reams before it; the packing end moves it on.

    Fed by a wrapper that is slower than itself it waits a moment before every ream. That is work at
    the wrapper's pace, one span; the accounts tell its work and its waits apart.
    """

    def __init__(self, floor: Floor, station: int) -> None:
        super().__init__(floor, station, Rank.WRAPPING)
        table = floor.scenario.outfeed
        assert table is not None
        self.waiting = 0
        self.busy = False
        self.ends = 0
        self.idle_since = 0
        self.done = 0
        self.buffer_reams = table.buffer_reams
        self.cycle = round(MINUTE / table.rate_reams_per_min)
        self._run_ns = 0
        self._began = 0
        self.stops_at = NEVER

    @property
    def has_room(self) -> bool:
        """True where one more ream may wait, or be taken at once."""
        return self.waiting < self.buffer_reams or (not self.busy and not self.stops)

    def bring(self, at: int) -> None:
        """A ream arrives."""
        self.waiting += 1
        self.take(at)

    def take(self, at: int) -> None:
        """Begin the next ream, if one waits and nothing stands."""
        if self.busy or self.stops or self.waiting == 0:
            return
        self.waiting -= 1
        self.busy = True
        self._go(at, self.cycle)

    def _go(self, at: int, length: int) -> None:
        self._began = at
        self.ends = at + length
        into = max(0, self.running_due - self._run_ns)
        self.stops_at = at + into if into < length else NEVER

    def finish(self) -> None:
        """A ream leaves the line."""
        self._run_ns += self.ends - self._began
        self.busy = False
        self.done += 1
        self.idle_since = self.ends

    def run_so_far(self) -> int:
        """What the meter of running time reads while it stands, ns."""
        return self._run_ns

    def reams_so_far(self) -> int:
        """What the meter of reams reads."""
        return self.done

    def running_at(self, at: int) -> int:
        """Running time by ``at``, which lies in the ream in hand."""
        return self._run_ns + at - self._began

    def earliest_stop(self, now: int) -> int:
        """A moment before which no stop falls due."""
        at = self.stops_at if self.busy else NEVER
        if self.running_due == NEVER and self.reams_due == NEVER:
            return at
        base = self.ends if self.busy else now
        after = self._run_ns + (self.ends - self._began if self.busy else 0)
        left = self.reams_due - self.done - (1 if self.busy else 0)
        return min(at, base + max(0, self.running_due - after), base + max(0, left) * self.cycle)

    def keeps_up_with(self, first: int, cycle: int) -> int:
        """How many reams that arrive every ``cycle`` from ``first`` on it takes one by one.

        0 where one would have to wait or something is due.
        """
        if self.stops or self.waiting or self.stops_at < NEVER or cycle < self.cycle:
            return 0
        if self.busy and self.ends > first:
            return 0
        done = self.done + (1 if self.busy else 0)
        run = self._run_ns + (self.ends - self._began if self.busy else 0)
        return min(self.reams_due - done - 2, (self.running_due - run) // self.cycle - 2)

    def go_through(self, first: int, count: int, cycle: int) -> None:
        """Take ``count`` reams that arrive every ``cycle`` from ``first`` on; the last is begun."""
        if self.busy:
            self._run_ns += self.ends - self._began
            self.done += 1
        self.done += count - 1
        self._run_ns += (count - 1) * self.cycle
        self.busy = True
        self._began = first + (count - 1) * cycle
        self.ends = self._began + self.cycle

    def pause(self) -> None:
        """It stands."""
        if self.busy:
            self._run_ns += self.floor.now - self._began
            self._rest = self.ends - self.floor.now

    def go_on(self) -> None:
        """It may move again."""
        if self.busy:
            self._go(self.floor.now, self._rest)
        else:
            self.idle_since = self.floor.now
            self.take(self.floor.now)

    _rest = 0
