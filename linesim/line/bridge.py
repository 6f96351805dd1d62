"""The bridge: a belt that carries reams to the wrappers and holds them when those stand."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from typing import TYPE_CHECKING

from linesim.line.clock import NEVER, Alarm, Rank
from linesim.line.machine import Machine
from linesim.record.states import State

if TYPE_CHECKING:
    from linesim.line.floor import Floor


class Bridge(Machine):
    """First in, first out. The level counts reams on the belt, travelling ones too.

    The belt's own clock stands while the belt stands; a ream is at the wrappers when that clock
    has moved on by the travel time.
    """

    def __init__(self, floor: Floor, station: int) -> None:
        super().__init__(floor, station, Rank.BRIDGE)
        table = floor.scenario.bridge
        self.places = floor.scenario.bridge_places
        self.level = 0
        self.reams_carried = 0
        self.sets_aside = table.when_full == "set_aside"
        """What finds no place is set aside; nobody waits."""
        travel = 0.0
        if table.belt_speed_m_per_min > 0:
            travel = floor.scenario.bridge_length_m / table.belt_speed_m_per_min * 60e9
        self.travel_ns = round(travel)
        self._queue: deque[list[int]] = deque()
        """[belt clock at which they are at the wrappers, reams] of each set."""
        self._lost_ns = 0
        """How far the belt's clock is behind."""
        self._stands_since = 0
        self.alarm = Alarm(floor.env, Rank.BRIDGE, self._rung)
        self.heed_level = 0
        """A level from which on every set matters at its moment: what lies below can wait."""
        self.wait_level = -1
        """Somebody wants to know when the level has fallen to this; -1: nobody."""
        self.placed_rows: list[tuple[int, int, int]] = []
        self.paused = self._paused
        self.resumed = self._resumed
        self._watch_running()
        floor.join(None, self.show)

    arrived: Callable[[], None]
    """Told when reams are set down or the belt moves again."""
    waited_for: Callable[[], None]
    """Told when somebody begins to wait for a level."""
    level_rose: Callable[[], None]

    put_aside: Callable[[int], None] = staticmethod(lambda reams: None)
    """Told of reams that found no place."""

    def room_for(self, reams: int) -> bool:
        """True where the belt moves and has places enough, or what does not fit is set aside."""
        if self.stops:
            return False
        if self.level + reams > self.places:
            self.look()  # the level known so far can only have fallen since
        return self.sets_aside or self.level + reams <= self.places

    look: Callable[[], None]
    """Brings the level up to this moment."""

    def tell_when_room(self, reams: int) -> None:
        """The transfer waits until ``reams`` fit; while the belt stands, until it moves."""
        if not self.stops:
            self.wait_for(self.places - reams)

    def wait_for(self, level: int) -> None:
        """Somebody waits for the level to fall to ``level``."""
        self.wait_level = max(self.wait_level, level)
        self.waited_for()

    def place(self, reams: int, full_at: int) -> None:
        """A set is put down."""
        now = self.floor.now
        if self.level + reams >= self.heed_level:
            self.look()
        if self.sets_aside:
            fit = max(0, min(reams, self.places - self.level))
            self.floor.books.reams.set_aside += reams - fit
            self.put_aside(reams - fit)
            reams = fit
        if self.floor.keep:
            self.placed_rows.append((full_at, now, reams))
        if reams:
            self.level += reams
            self.reams_carried += reams
            self._queue.append([now - self._lost_ns + self.travel_ns, reams])
            self.arrived()
        self.level_rose()
        if self.reams_carried >= self.reams_due:
            self.fall("every_reams", self.reams_carried)

    def sets_before_stop(self, reams: int) -> int:
        """Sets that can be put down before a stop that counts reams falls due."""
        return (self.reams_due - self.reams_carried - 1) // reams

    def put_down(self, full_at: int, at: int, reams: int) -> None:
        """A set is put down at ``at``, with room and nobody to be told."""
        if self.floor.keep:
            self.placed_rows.append((full_at, at, reams))
        self.level += reams
        self.reams_carried += reams
        self._queue.append([at - self._lost_ns + self.travel_ns, reams])

    def head_ready(self) -> int:
        """When the first ream is at the wrappers, ns; NEVER where none comes or the belt stands."""
        if not self._queue or self.stops:
            return NEVER
        return self._queue[0][0] + self._lost_ns

    def take(self) -> None:
        """A wrapper takes the first ream."""
        head = self._queue[0]
        self.level -= 1
        if head[1] == 1:
            self._queue.popleft()
        else:
            head[1] -= 1

    def head(self) -> tuple[int, int]:
        """When the first set is at the wrappers, and how many reams of it are left."""
        if not self._queue or self.stops:
            return NEVER, 0
        return self._queue[0][0] + self._lost_ns, self._queue[0][1]

    def take_many(self, reams: int) -> None:
        """``reams`` of the first set are taken."""
        self.level -= reams
        self._queue[0][1] -= reams
        if self._queue[0][1] == 0:
            self._queue.popleft()

    def run_so_far(self) -> int:
        """What the belt's clock reads while the belt stands, ns."""
        return self._stands_since - self._lost_ns

    def reams_so_far(self) -> int:
        """What the meter of reams reads."""
        return self.reams_carried

    def _watch_running(self) -> None:
        due = self.running_due
        self.alarm.set(NEVER if due == NEVER else due + self._lost_ns)

    def _rung(self) -> None:
        self.fall("every_running_h", self.floor.now - self._lost_ns)

    def _paused(self) -> None:
        self._stands_since = self.floor.now
        self.alarm.set(NEVER)

    def _resumed(self) -> None:
        self._lost_ns += self.floor.now - self._stands_since
        self._watch_running()
        self.arrived()
        self.floor.show()
        self.belt_moves()

    belt_moves: Callable[[], None]
    """Told when the belt moves again."""

    def show(self) -> None:
        """Enter its state."""
        if not self.show_stop(self.floor.now):
            self.floor.ledger.enter(self.station, self.floor.now, State.RUNNING)
