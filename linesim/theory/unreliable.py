"""Stations that break down, with no buffer between them or one without limit.

Sources: J. A. Buzacott, *Automatic transfer lines with buffer stocks*, International Journal
of Production Research 5 (1967); S. B. Gershwin, *Manufacturing Systems Engineering* (1994).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from linesim.limits import above_zero


@dataclass(frozen=True)
class UnreliableStation:
    """A station that works at ``speed`` (material per time) until it fails.

    ``mean_time_to_failure`` counts working time only: a station that stands still for want
    of work or of room does not fail (operation-dependent failures).
    """

    speed: float
    mean_time_to_failure: float
    mean_time_to_repair: float

    def __post_init__(self) -> None:
        above_zero("speed", self.speed)
        above_zero("mean_time_to_failure", self.mean_time_to_failure)
        above_zero("mean_time_to_repair", self.mean_time_to_repair)

    @property
    def availability(self) -> float:
        """Share of time up when nothing else stops the station: MTTF / (MTTF + MTTR)."""
        return self.mean_time_to_failure / (self.mean_time_to_failure + self.mean_time_to_repair)

    @property
    def throughput_alone(self) -> float:
        """Material per unit of time when the station is never starved and never blocked."""
        return self.speed * self.availability


def bufferless_throughput(stations: Sequence[UnreliableStation]) -> float:
    """Throughput of stations in a row, all of which stand still while one is down.

    At equal speeds v / (1 + sum MTTR_i / MTTF_i), Buzacott (1967). A faster station works
    only v / v_i of the time that the line runs, v being the slowest speed, and so fails that
    much less often. Exact for any distributions with these means; wrong where failures also
    befall a station that stands.

    >>> row = [UnreliableStation(1, 200, 10.5)] * 20
    >>> round(bufferless_throughput(row), 4)
    0.4878
    """
    if not stations:
        raise ValueError("stations is empty; a line needs one station or more")
    speed = min(station.speed for station in stations)
    down_per_running_time = math.fsum(
        speed / station.speed * station.mean_time_to_repair / station.mean_time_to_failure
        for station in stations
    )
    return speed / (1 + down_per_running_time)


def unlimited_buffer_throughput(stations: Sequence[UnreliableStation]) -> float:
    """Throughput with room without limit between stations: that of the slowest one alone.

    No finite buffer can beat it, and none can do worse than :func:`bufferless_throughput`.
    """
    if not stations:
        raise ValueError("stations is empty; a line needs one station or more")
    return min(station.throughput_alone for station in stations)
