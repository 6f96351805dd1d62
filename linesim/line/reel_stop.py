"""The standstill in which reels are replaced: one job for each, people and reels waited for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.line.crew import Job
from linesim.line.stand import Stand
from linesim.record.states import State

if TYPE_CHECKING:
    from linesim.line.unwind import Unwind


class ReelStop:
    """The standstill in which reels are replaced; ends when every one in it is."""

    def __init__(self, unwind: Unwind) -> None:
        self.station = 0
        self.cause = unwind.cause
        self.begun = False
        self.stands: list[Stand] = []
        self._unwind = unwind
        self._waiting_people: set[int] = set()
        self._waiting_reel: set[int] = set()
        self._left: set[int] = set()

    @property
    def state(self) -> State:
        """Worked on, or else waiting: for people, or for a reel to be prepared."""
        if not self.begun or len(self._left) > len(self._waiting_people | self._waiting_reel):
            return State.CHANGEOVER
        return State.WAITING_PEOPLE if self._waiting_people else State.WAITING_REEL

    def add(self, stand: Stand) -> None:
        """One more reel to replace in this stop."""
        if stand in self.stands:
            return
        self.stands.append(stand)
        if self.begun:
            self._begin(stand)

    def stood(self) -> None:
        """The webs stand: people may go in."""
        self.begun = True
        self.stands += self._unwind.changed_together(self.stands)
        for stand in list(self.stands):
            self._begin(stand)

    def partner_ready(self, stand: Stand) -> None:
        """A stand that this stop waits for has been prepared."""
        if stand.web in self._waiting_reel:
            self._waiting_reel.discard(stand.web)
            self._ask(stand)

    def _begin(self, stand: Stand) -> None:
        self._left.add(stand.web)
        if self._unwind.paired and stand.partner is None:
            self._waiting_reel.add(stand.web)
            self._unwind.hurry(stand)
        else:
            self._ask(stand)

    def _ask(self, stand: Stand) -> None:
        floor, table = self._unwind.floor, self._unwind.floor.scenario.unwind
        paired = self._unwind.paired
        people = table.splice_people if paired else table.change_people
        length = stand.splice_ns() if paired else stand.change_ns()
        self._waiting_people.add(stand.web)

        def begun() -> None:
            floor.settle()
            self._waiting_people.discard(stand.web)
            floor.show()

        def waits() -> None:
            floor.settle()
            self._waiting_people.add(stand.web)
            floor.show()

        def done() -> None:
            floor.settle()
            self._left.discard(stand.web)
            self._unwind.replaced(stand)
            if not self._left:
                self._unwind.stop_over(self)
            floor.show()

        priority = floor.scenario.crew.priority_standing_line
        floor.crew.ask(
            Job(people, priority, length, stands=True, begun=begun, waits=waits, done=done)
        )
