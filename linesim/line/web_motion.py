"""Where the webs are, how fast they run, how far they have worn: arithmetic between two moments.

A stretch of even speed, or of an even change of it, has a beginning; all in it is worked out from
there, so that looking often and looking once give the same.
"""

from __future__ import annotations

import math

from linesim.line.clock import NEVER
from linesim.line.floor import Floor
from linesim.line.motion import (
    UM_PER_NS,
    run_down_length,
    time_to_run,
    time_to_wear,
    travelled,
    wear,
)
from linesim.line.web_breaks import WebBreaks

SAME_UM = 2
"""Places no further apart are one place: rounding may part them."""


class WebMotion:
    """All webs of a run; they move as one."""

    def __init__(self, floor: Floor, breaks: WebBreaks) -> None:
        self._floor = floor
        self._breaks = breaks
        cutter = floor.scenario.cutter
        self.gain = cutter.run_up_m_per_min_per_s * UM_PER_NS / 1e9
        self.loss = cutter.run_down_m_per_min_per_s * UM_PER_NS / 1e9
        self.x = 0
        """Length that has passed the knives, um."""
        self.speed = 0.0
        self.change = 0.0
        """Change of speed, um/ns2."""
        self.target = 0.0
        """Speed they head for, um/ns."""
        self.until = NEVER
        """When they will have it; NEVER where they have it."""
        self.run_ns = 0
        self.worn = 0.0
        """Length run, weighted with speed: the meter of breaks, um."""
        self.seen_at = 0
        """The moment at which all this holds."""
        self.goal_x, self.goal_at = NEVER, NEVER
        """A place at which something is due, and when: then they are there to the micrometre."""
        self.at, self.from_x, self.from_worn, self.from_speed = 0, 0, 0.0, 0.0
        """Moment, place, worn length and speed at the beginning of this stretch."""
        self.rows: list[tuple[int, int, float, float]] = []
        """Moment, place, speed and change of speed at the beginning of every stretch."""

    @property
    def standing(self) -> bool:
        """True where they do not move and are not about to."""
        return self.speed == 0.0 and self.change == 0.0

    def run_on(self, now: int) -> bool:
        """Work out where they are now; False where they have not moved."""
        if self.change == 0.0 and self.from_speed <= 0.0:
            self.seen_at = now
            return False
        dt = now - self.at
        x = max(self.x, self.from_x + travelled(self.from_speed, self.change, dt))
        if now >= self.goal_at and x + SAME_UM >= self.goal_x:
            x = max(x, self.goal_x)
        if now >= self.until:
            self.speed = self.target
        elif self.change != 0.0:
            self.speed = self.from_speed + self.change * dt
        self.run_ns += now - self.seen_at
        self.seen_at = now
        self.x = x
        return True

    def reach(self, x: int, before: int) -> bool:
        """At even speed above 0: run on to ``x``, unless it is not reached ``before`` then, ns."""
        at = self.at + math.ceil((x - self.from_x) / self.from_speed)
        if at >= before:
            return False
        self.run_ns += at - self.seen_at
        self.seen_at = at
        self.x = x
        return True

    def head_for(self, target: float) -> None:
        """From now on they gain or lose speed until they have ``target``."""
        self.target = target
        rate = self.gain if target > self.speed else self.loss
        if target != self.speed and rate > 0:
            self._begin(self.speed, rate if target > self.speed else -rate)
            self.until = self._floor.now + max(1, round(abs(target - self.speed) / rate))
        else:
            self._begin(target, 0.0)

    def have_arrived(self) -> None:
        """They have the speed they headed for, and keep it."""
        self._begin(self.target, 0.0)

    def stop_dead(self) -> None:
        """They stand at once."""
        self.target = 0.0
        self._begin(0.0, 0.0)

    def _begin(self, speed: float, change: float) -> None:
        self.wear()
        self.speed = speed
        self.at, self.from_x, self.from_worn = self._floor.now, self.x, self.worn
        self.from_speed, self.change, self.until = speed, change, NEVER
        if self._floor.keep:
            self.rows.append((self.at, self.x, speed, change))

    def wear(self) -> None:
        """Bring the meter of worn length up to this moment."""
        path = self._breaks
        if path.due:
            dt = self._floor.now - self.at
            self.worn = self.from_worn + wear(
                self.from_speed, self.change, dt, path.reference, path.power
            )

    def time_at(self, x: int) -> int:
        """When they will be at ``x``; NEVER where they stand before."""
        return self.at + time_to_run(self.from_speed, self.change, x - self.from_x)

    def time_when_worn(self, due: float) -> int:
        """When the worn length will have come to ``due``."""
        path = self._breaks
        return self.at + time_to_wear(
            self.from_speed, self.change, due - self.from_worn, path.reference, path.power
        )

    def stopping_um(self) -> int | None:
        """Length run from this speed to a stand; None where they can stand at once."""
        return run_down_length(self.speed, 0.0, self.loss) if self.loss != 0.0 else None

    def coast_ns(self) -> int:
        """Time from this speed to a stand."""
        return round(self.speed / self.loss) if self.loss > 0 else 0
