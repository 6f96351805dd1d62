"""How the webs of the reference line move: one change of speed at a time, evenly."""

from __future__ import annotations

import math
from typing import Any

CLOSE_M = 1e-6
CLOSE_S = 1e-9


class Motion:
    """Where the webs are (m), how fast (m/s), and the speed they head for."""

    def __init__(self, scenario: Any) -> None:
        cutter, path = scenario.cutter, scenario.web_path
        self.gain = cutter.run_up_m_per_min_per_s / 60 or math.inf
        self.loss = cutter.run_down_m_per_min_per_s / 60 or math.inf
        self._reference = path.speed_reference_m_per_min / 60
        self._power = path.speed_exponent
        self.x = self.v = self.target = 0.0
        self.run_s = 0.0
        self.worn_m = 0.0
        """Metres run, each weighted by its speed: what breaks fall due on."""

    @property
    def standing(self) -> bool:
        """They do not move and are not about to."""
        return self.v == 0.0 and self.target == 0.0

    def head_for(self, speed: float) -> None:
        """Gain or lose speed until it is this one."""
        self.target = speed
        if (self.gain if speed > self.v else self.loss) == math.inf:
            self.v = speed

    def stop_dead(self) -> None:
        """Stand at once."""
        self.v = self.target = 0.0

    def ramp_s(self) -> float:
        """How long speed still changes."""
        return 0.0 if self.v == self.target else (self.target - self.v) / self._rate()

    def coast_s(self) -> float:
        """How long they take to a standstill."""
        return self.v / self.loss

    def run_down_m(self, speed: float, to_speed: float = 0.0) -> float:
        """Length run while speed falls so far."""
        return max(0.0, speed**2 - to_speed**2) / (2 * self.loss)

    def move(self, seconds: float) -> None:
        """Run on for so long."""
        ramp = self.ramp_s()
        in_ramp = min(seconds, ramp)
        self.run_s += seconds
        self.worn_m += self._wear(seconds)
        if ramp:
            rate = self._rate()
            self.x += self.v * in_ramp + rate * in_ramp**2 / 2
            self.v = self.target if seconds >= ramp - CLOSE_S else self.v + rate * in_ramp
        self.x += self.target * max(0.0, seconds - ramp)

    def seconds_to(self, x: float) -> float:
        """How long until they are at ``x``; infinite where they stand before."""
        metres, ramp = max(CLOSE_M, x - self.x), self.ramp_s()
        in_ramp = (self.v + self.target) / 2 * ramp
        if metres < in_ramp:
            rate = self._rate()
            return (math.sqrt(max(0.0, self.v**2 + 2 * rate * metres)) - self.v) / rate
        return ramp + (metres - in_ramp) / self.target if self.target else math.inf

    def seconds_to_worn(self, worn_m: float) -> float:
        """How long until they are worn so far; infinite where they stand before."""
        if worn_m == math.inf:
            return math.inf
        metres, ramp, k = max(CLOSE_M, worn_m - self.worn_m), self.ramp_s(), self._power
        in_ramp = self._wear(ramp)
        if metres < in_ramp:
            grown = metres * self._rate() * (k + 2) * self._reference**k
            return ((self.v ** (k + 2) + grown) ** (1 / (k + 2)) - self.v) / self._rate()
        if not self.target:
            return math.inf
        return ramp + (metres - in_ramp) / (self.target ** (k + 1) / self._reference**k)

    def _rate(self) -> float:
        return self.gain if self.target > self.v else -self.loss

    def _wear(self, seconds: float) -> float:
        """The integral of speed x (speed / reference)^k over the next seconds."""
        k, ramp = self._power, self.ramp_s()
        worn = self.target ** (k + 1) * max(0.0, seconds - ramp)
        if ramp:
            end = max(0.0, self.v + self._rate() * min(seconds, ramp))
            worn += (end ** (k + 2) - self.v ** (k + 2)) / (self._rate() * (k + 2))
        return worn / self._reference**k
