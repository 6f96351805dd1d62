"""The crew: a given number of people, jobs in order of priority, then of time asked."""

from __future__ import annotations

import heapq
from collections.abc import Callable


class Crew:
    """People at the line.

    A job that needs more people than are free waits, and nobody behind it overtakes: otherwise a
    job for two would wait for ever behind jobs for one. While the crew is away, jobs under way
    are finished and no new one is begun.
    """

    def __init__(self, size: int) -> None:
        self.size = size
        self.free = size
        self.away = False
        self._queue: list[tuple[int, int, int, Callable[[], None]]] = []
        self._asked = 0

    def ask(self, people: int, priority: int, granted: Callable[[], None]) -> None:
        """Call ``granted`` as soon as ``people`` can come: at once, or later."""
        if people == 0:
            granted()
            return
        heapq.heappush(self._queue, (priority, self._asked, people, granted))
        self._asked += 1
        self._send()

    def give_back(self, people: int) -> None:
        """A job is done; its people go to the next."""
        self.free += people
        self._send()

    def lend(self, people: int) -> None:
        """Planned work takes people: those who are free at once, others as they finish."""
        self.free -= people

    def take_back(self, people: int) -> None:
        """The planned work is done."""
        self.give_back(people)

    def leave(self) -> None:
        """A break begins: no new job is begun."""
        self.away = True

    def come_back(self) -> None:
        """The break is over."""
        self.away = False
        self._send()

    def _send(self) -> None:
        while self._queue and not self.away and self._queue[0][2] <= self.free:
            _, _, people, granted = heapq.heappop(self._queue)
            self.free -= people
            granted()
