"""How the webs of the reference line move: one change of speed at a time, evenly."""

from __future__ import annotations

import math
from typing import Any

CLOSE_M = 1e-6


class Motion:
    """Where the webs are (m), how fast (m/s), and the speed they head for."""

    def __init__(self, scenario: Any) -> None:
        cutter, path = scenario.cutter, scenario.web_path
        self.gain = cutter.run_up_m_per_min_per_s / 60 or math.inf
        self.loss = cutter.run_down_m_per_min_per_s / 60 or math.inf
        self._reference = path.speed_reference_m_per_min / 60
        self._power = path.speed_exponent
        self.x = self.v = self.target = 0.0
        self.worn_m = 0.0
        """Metres run, each weighted by its speed: what breaks fall due on."""

    def _ramp(self) -> tuple[float, float]:
        """How long speed still changes, and how fast."""
        if self.v == self.target:
            return 0.0, 0.0
        rate = self.gain if self.target > self.v else -self.loss
        return (self.target - self.v) / rate, rate

    def _seconds_to(self, metres: float) -> float:
        if metres <= CLOSE_M:
            return 0.0
        ramp, rate = self._ramp()
        in_ramp = (self.v + self.target) / 2 * ramp
        if metres < in_ramp:
            root = math.sqrt(max(0.0, self.v**2 + 2 * rate * metres))
            return (root - self.v) / rate
        return ramp + (metres - in_ramp) / self.target if self.target else math.inf

    def _move(self, seconds: float) -> None:
        ramp, rate = self._ramp()
        self.worn_m += self._wear(seconds)
        done = min(seconds, ramp)
        self.x += self.v * done + rate * done**2 / 2 if ramp else 0.0
        self.x += self.target * max(0.0, seconds - ramp)
        self.v = self.target if seconds >= ramp - 1e-9 else max(0.0, self.v + rate * done)

    def _wear(self, seconds: float) -> float:
        """Metres by which breaks come nearer: metres run, by the power of speed."""
        k = self._power
        ramp, rate = self._ramp()
        done = min(seconds, ramp)
        end = max(0.0, self.v + rate * done)
        worn = 0.0
        if ramp and rate:
            worn = (end ** (k + 2) - self.v ** (k + 2)) / (rate * (k + 2))
        worn += self.target ** (k + 1) * max(0.0, seconds - ramp)
        return worn / self._reference**k

    def _seconds_to_worn(self, metres: float) -> float:
        if metres <= CLOSE_M:
            return 0.0
        ramp, _ = self._ramp()
        in_ramp = self._wear(ramp) if ramp else 0.0
        if metres <= in_ramp:
            low, high = 0.0, ramp
            for _ in range(60):
                middle = (low + high) / 2
                low, high = (middle, high) if self._wear(middle) < metres else (low, middle)
            return high
        if not self.target:
            return math.inf
        per_s = self._wear(ramp + 1) - in_ramp
        return ramp + (metres - in_ramp) / per_s
