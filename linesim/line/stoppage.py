"""A standstill under way: from the moment it falls due until the station may move again."""

from __future__ import annotations

from collections.abc import Callable

from linesim.line.clock import NEVER, Alarm, Rank
from linesim.line.floor import Floor
from linesim.record.states import State


class Stoppage:
    """One standstill of one station, with the job that ends it.

    ``begin_job`` is called when people may go in; from then on the station waits for people, then
    is worked on for ``restore_ns``, then ``ended`` is called.
    """

    def __init__(
        self,
        floor: Floor,
        station: int,
        cause: int,
        *,
        working: State,
        people: int,
        priority: int,
        restore_ns: int,
        ended: Callable[[Stoppage], None],
    ) -> None:
        self.station = station
        self.cause = cause
        self.state = working
        self.working = working
        self._floor = floor
        self._people = people
        self._priority = priority
        self._restore_ns = restore_ns
        self._ended = ended
        self._alarm = Alarm(floor.env, Rank.JOB, self._restored)

    def begin_job(self) -> None:
        """People may go in now."""
        if self._people:
            self.state = State.WAITING_PEOPLE
        self._floor.crew.ask(self._people, self._priority, self._granted)

    def _granted(self) -> None:
        floor = self._floor
        floor.settle()
        self.state = self.working
        if self._restore_ns < NEVER:
            self._alarm.set(floor.now + self._restore_ns)
        floor.show()

    def _restored(self) -> None:
        self._ended(self)
        self._floor.crew.give_back(self._people)
