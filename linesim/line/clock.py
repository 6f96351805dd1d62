"""Simulated time: SimPy's event queue, in whole nanoseconds, and alarms that can be moved.

Whole numbers make the accounts exact. Events of one moment ring in the order of their ranks, the
part of the line furthest downstream first, so that what happens at a tie is a rule of the line
and not an accident of who set an alarm earlier.
"""

from __future__ import annotations

from collections.abc import Callable

import simpy

NEVER = 1 << 62
SECOND = 1_000_000_000
MINUTE = 60 * SECOND
HOUR = 3600 * SECOND

_FIRST_RANK = 2  # SimPy keeps 0 and 1 for its own urgent and normal events.


class Rank:
    """Order in which things of one moment happen."""

    CALENDAR = _FIRST_RANK
    FORCED = _FIRST_RANK + 1
    JOB = _FIRST_RANK + 2
    """People finish a job."""
    WRAPPING = _FIRST_RANK + 3
    BRIDGE = _FIRST_RANK + 4
    TRANSFER = _FIRST_RANK + 5
    WEB = _FIRST_RANK + 6
    PEOPLE = _FIRST_RANK + 7
    """People are sent to jobs, when all of the moment have been asked for."""


class Clock(simpy.Environment):
    """SimPy's environment in whole nanoseconds; ``moment`` is its time, quick to read."""

    def __init__(self) -> None:
        super().__init__(initial_time=0)
        self.moment = 0

    def run_to(self, until: int) -> None:
        """Let everything happen that happens before ``until``."""
        if until > self.moment:
            self.run(until=until)
        self.moment = until

    def next_event(self) -> int:
        """When the next event of any kind is due, one that was called off included."""
        return min(int(min(self.peek(), NEVER)), NEVER)


class _Ring(simpy.Event):
    """An event that is bound to happen after ``delay``, like SimPy's own Timeout but ranked."""

    def __init__(
        self,
        env: Clock,
        rank: int,
        delay: int,
        rung: Callable[[simpy.Event], None],
    ) -> None:
        self.env = env
        self.callbacks = [rung]
        self._value = None
        self._ok = True
        env.schedule(self, rank, delay)  # type: ignore[arg-type]  # any whole number will do


class Alarm:
    """Calls ``action`` at the moment it is set to. Setting it again moves it."""

    __slots__ = ("_action", "_env", "_rank", "_ring", "at")

    def __init__(self, env: Clock, rank: int, action: Callable[[], None]) -> None:
        self._env = env
        self._rank = rank
        self._action = action
        self._ring: _Ring | None = None
        self.at = NEVER

    def set(self, at: int) -> None:
        """Ring at ``at`` (ns, not in the past); ``NEVER`` calls it off."""
        if at == self.at:
            return
        self.at = at
        if at >= NEVER:
            self._ring = None
        else:
            self._ring = _Ring(self._env, self._rank, at - int(self._env.now), self._rung)

    def _rung(self, ring: simpy.Event) -> None:
        if ring is not self._ring:
            return  # it was moved since
        self._ring = None
        self._env.moment = self.at
        self.at = NEVER
        self._action()
