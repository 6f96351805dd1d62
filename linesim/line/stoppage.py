"""A standstill under way: from the moment it falls due until the station may move again."""

from __future__ import annotations

from collections.abc import Callable

from linesim.line.crew import Job
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
        self._job = Job(
            people,
            priority,
            restore_ns,
            stands=True,
            begun=lambda: self._enter(working),
            waits=lambda: self._enter(State.WAITING_PEOPLE),
            done=lambda: ended(self),
        )

    def begin_job(self) -> None:
        """People may go in now."""
        if self._job.people:
            self.state = State.WAITING_PEOPLE
        self._floor.crew.ask(self._job)

    def _enter(self, state: State) -> None:
        self._floor.settle()
        self.state = state
        self._floor.show()
