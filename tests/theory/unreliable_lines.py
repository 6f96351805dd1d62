"""Stations that break down: no buffer between them, one without limit, or two of one speed.

Sources: J. A. Buzacott, *Automatic transfer lines with buffer stocks*, International Journal
of Production Research 5 (1967); S. B. Gershwin, *Manufacturing Systems Engineering* (1994).
"""

import math
from collections.abc import Sequence

from linesim.studies.two_station_fluid import UnreliableStation, _integral


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


def equal_speed_fluid_throughput(
    first: UnreliableStation, second: UnreliableStation, buffer: float
) -> float:
    """Throughput of two stations of one speed, in closed form; *buffer* in material.

    Raises ``ValueError`` where the speeds differ: use :func:`two_station_fluid` there.

    >>> first, second = UnreliableStation(1, 900, 180), UnreliableStation(1, 1200, 120)
    >>> round(equal_speed_fluid_throughput(first, second, buffer=180), 5)
    0.8037
    """
    _check_buffer(buffer)
    if first.speed != second.speed:
        raise ValueError(
            f"the speeds are {first.speed} and {second.speed}; they must be equal "
            "(two_station_fluid takes unequal ones)"
        )
    if math.isinf(buffer):
        return unlimited_buffer_throughput((first, second))
    speed = first.speed
    p1, p2 = 1 / first.mean_time_to_failure, 1 / second.mean_time_to_failure
    r1, r2 = 1 / first.mean_time_to_repair, 1 / second.mean_time_to_repair
    a, b = p1 + p2, r1 + r2
    growth = (p2 * r1 - p1 * r2) * (1 / a + 1 / b) / speed
    # Whatever grows is scaled down by e^(growth C), so that a large buffer cannot overflow.
    at_empty = math.exp(-max(growth, 0) * buffer)
    at_full = math.exp(min(growth, 0) * buffer)
    inside = _integral(abs(growth), buffer)
    starved_side, blocked_side = at_empty * speed / p2, at_full * speed / p1
    total = inside * (2 + b / a + a / b) + starved_side * (1 + a / r1) + blocked_side * (1 + a / r2)
    return speed * (inside * (1 + b / a) + starved_side + blocked_side) / total


def _check_buffer(buffer: float) -> None:
    if math.isnan(buffer) or buffer < 0:
        raise ValueError(f"buffer is {buffer}; it must be 0 or more (infinity is allowed)")
