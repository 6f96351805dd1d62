"""Where the webs are at a moment, from the moments at which their motion changed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from linesim.record.record import History

_UM_PER_NS = 1 / 60_000  # one m/min


class WebMotion:
    """Web through the knives (um) and its speed at any moment (ns) of a run."""

    def __init__(self, history: History) -> None:
        self.at_ns = history.speed_ns
        self.at_um = history.speed_um
        self._speed = history.speed_um_per_ns
        self._change = history.speed_change_um_per_ns2

    def _row(self, t_ns: int) -> int:
        return int(np.searchsorted(self.at_ns, t_ns, "right")) - 1

    def place_um(self, t_ns: int) -> int:
        """Web through the knives by ``t_ns``; 0 before the webs first moved."""
        row = self._row(t_ns)
        if row < 0:
            return 0
        dt = t_ns - int(self.at_ns[row])
        run = (float(self._speed[row]) + 0.5 * float(self._change[row]) * dt) * dt
        place = int(self.at_um[row]) + round(run)
        if row + 1 < len(self.at_um):
            place = min(place, int(self.at_um[row + 1]))
        return place

    def speed_m_per_min(self, t_ns: int) -> float:
        row = self._row(t_ns)
        if row < 0:
            return 0.0
        dt = t_ns - int(self.at_ns[row])
        return max(0.0, float(self._speed[row]) + float(self._change[row]) * dt) / _UM_PER_NS

    def moment_ns(self, place_um: int, end_ns: int) -> int:
        """The first moment by which the webs have run to ``place_um``; at most ``end_ns``."""
        row = max(0, int(np.searchsorted(self.at_um, place_um, "left")) - 1)
        low = int(self.at_ns[row]) if len(self.at_ns) else 0
        high = int(self.at_ns[row + 1]) if row + 1 < len(self.at_ns) else end_ns
        while low < high:
            middle = (low + high) // 2
            if self.place_um(middle) >= place_um:
                high = middle
            else:
                low = middle + 1
        return low

    def starts_um(self) -> NDArray[np.int64]:
        """Where the webs stood and started again, rising."""
        standing = (self._speed == 0.0) & (self._change == 0.0)
        places = self.at_um[standing]
        return np.unique(places[places > 0])
