"""Two unreliable stations and a finite buffer, the material taken as a fluid.

Sources: B. Zimmern, *Etudes de la propagation des arrets aleatoires dans les chaines de
production* (1956); B. A. Sevast'yanov, *Influence of storage bin capacity on the average
standstill time of a production line* (1962); S. B. Gershwin, *Manufacturing Systems
Engineering* (1994), continuous-material two-machine line.

Up and down times are exponential and failures operation-dependent. A station held to its
neighbour's speed by a full or empty buffer fails in proportion to the material it passes.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linesim.limits import above_zero, zero_or_more

_Array = NDArray[np.float64]

# The states (first up?, second up?) in the order of every row and column below.
_BOTH_UP, _SECOND_DOWN, _FIRST_DOWN, _BOTH_DOWN = range(4)


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


@dataclass(frozen=True)
class FluidLine:
    """Steady state of the two-station line.

    ``throughput`` in material per time; ``mean_level`` in material; ``blocked`` and
    ``starved`` are the shares of time the first stands for want of room and the second for
    want of material, each up but at standstill; ``both_down`` the share with both down.
    """

    throughput: float
    mean_level: float
    blocked: float
    starved: float
    both_down: float


def two_station_fluid(
    first: UnreliableStation, second: UnreliableStation, buffer: float
) -> FluidLine:
    """Solve the line for any two speeds and a finite *buffer* (material, 0 or more).

    Between empty and full the densities f of the level obey f' D = f Q, with D the drifts
    and Q the rates of failure and repair; at either end a lump of probability balances the
    flow into it. The solution is a sum of exponentials whose weights one small linear
    system fixes: exact up to rounding. At *buffer* 0 it is the line without a buffer.

    >>> line = two_station_fluid(UnreliableStation(1.2, 900, 180),
    ...                          UnreliableStation(1.0, 1200, 120), buffer=180)
    >>> round(line.throughput, 4)
    0.8504
    """
    zero_or_more("buffer", buffer)
    # In units of the fastest rate and the larger speed every number below is of order one.
    rates = np.array(
        [
            1 / first.mean_time_to_failure,
            1 / second.mean_time_to_failure,
            1 / first.mean_time_to_repair,
            1 / second.mean_time_to_repair,
        ]
    )
    rate_unit, speed_unit = float(rates.max()), max(first.speed, second.speed)
    p1, p2, r1, r2 = (float(rate) for rate in rates / rate_unit)
    v1, v2 = first.speed / speed_unit, second.speed / speed_unit
    if abs(v1 - v2) < 1e-8:  # so slow a drift would drown in rounding
        v1 = v2 = 1.0
    size = buffer * rate_unit / speed_unit

    inside = _generator(p1, p2, r1, r2)
    # A starved second station and a blocked first one do not fail; a throttled one fails less.
    empty = _generator(p1, p2 * min(1, v1 / v2), r1, r2, starved=True)
    full = _generator(p1 * min(1, v2 / v1), p2, r1, r2, blocked=True)
    drift = np.array([v1 - v2, v1, -v2, 0.0])
    at_empty = [_FIRST_DOWN] + ([_BOTH_UP] if v1 <= v2 else [])
    at_full = [_SECOND_DOWN] + ([_BOTH_UP] if v1 >= v2 else [])

    modes, exponents = _modes(inside, drift)
    count = len(exponents)
    low = modes * np.exp(-np.maximum(exponents, 0) * size)[:, None]
    high = modes * np.exp(np.minimum(exponents, 0) * size)[:, None]
    areas = np.array([_integral(abs(e), size) for e in exponents])
    mass = modes * areas[:, None]

    # Unknowns: weight of each mode, lumps at empty, lumps at full. Columns: the four balances
    # at empty, the four at full, and that all probability is one.
    balances = np.zeros((count + len(at_empty) + len(at_full), 9))
    balances[:count, 0:4] = -low * drift
    balances[:count, 4:8] = high * drift
    balances[:count, 8] = mass.sum(axis=1)
    lumps_empty = slice(count, count + len(at_empty))
    lumps_full = slice(count + len(at_empty), None)
    balances[lumps_empty, 0:4] = empty[at_empty]
    balances[lumps_full, 4:8] = full[at_full]
    balances[count:, 8] = 1
    wanted = np.zeros(9)
    wanted[8] = 1
    weights = np.linalg.lstsq(balances.T, wanted, rcond=None)[0]

    share = weights[:count] @ mass
    lump_empty = dict(zip(at_empty, weights[lumps_empty], strict=True))
    lump_full = dict(zip(at_full, weights[lumps_full], strict=True))
    throttled = float(lump_empty.get(_BOTH_UP, 0) + lump_full.get(_BOTH_UP, 0))
    passed = v2 * float(share[_BOTH_UP] + share[_FIRST_DOWN]) + min(v1, v2) * throttled
    moments = np.array([_moment(float(e), size) for e in exponents])
    level = float(weights[:count] * moments @ modes.sum(axis=1)) + size * sum(lump_full.values())
    return FluidLine(
        throughput=passed * speed_unit,
        mean_level=float(level) * speed_unit / rate_unit,
        blocked=float(lump_full[_SECOND_DOWN]),
        starved=float(lump_empty[_FIRST_DOWN]),
        both_down=float(share[_BOTH_DOWN]),
    )


def _generator(
    p1: float, p2: float, r1: float, r2: float, *, starved: bool = False, blocked: bool = False
) -> _Array:
    """Rates between the four states; the starved second or blocked first does not fail."""
    rates = np.zeros((4, 4))
    rates[_BOTH_UP, _SECOND_DOWN] = p2
    rates[_BOTH_UP, _FIRST_DOWN] = p1
    rates[_SECOND_DOWN, _BOTH_UP] = r2
    rates[_SECOND_DOWN, _BOTH_DOWN] = 0 if blocked else p1
    rates[_FIRST_DOWN, _BOTH_UP] = r1
    rates[_FIRST_DOWN, _BOTH_DOWN] = 0 if starved else p2
    rates[_BOTH_DOWN, _SECOND_DOWN] = r1
    rates[_BOTH_DOWN, _FIRST_DOWN] = r2
    np.fill_diagonal(rates, -rates.sum(axis=1))
    return rates


def _modes(rates: _Array, drift: _Array) -> tuple[_Array, _Array]:
    """Densities over the four states (rows) that change with the level as exp(exponent x).

    As much probability flows up through any level as flows down, so only densities without
    net drift count. That leaves one mode at equal speeds and two at unequal ones, and drops
    the exponent 0 that would make the system singular where the line is balanced.
    """
    moving, still = np.flatnonzero(drift), np.flatnonzero(drift == 0)
    # A state in which the level rests holds what flows in from the states that move it.
    rest = -rates[np.ix_(moving, still)] @ np.linalg.inv(rates[np.ix_(still, still)])
    reduced = rates[np.ix_(moving, moving)] + rest @ rates[np.ix_(still, moving)]
    slopes = reduced / drift[moving]
    no_net_drift = np.linalg.svd(drift[moving][None, :])[2][1:]
    within = no_net_drift @ slopes @ no_net_drift.T
    exponents, left = np.linalg.eig(within.T)
    densities = np.real(left.T) @ no_net_drift
    modes = np.zeros((len(exponents), 4))
    modes[:, moving] = densities
    modes[:, still] = densities @ rest
    return modes, np.real(exponents)


def _integral(decay: float, size: float) -> float:
    """Integral of exp(-decay x) over 0..size."""
    return size if decay * size < 1e-14 else -math.expm1(-decay * size) / decay


def _moment(exponent: float, size: float) -> float:
    """Integral of x times a mode that is 1 at the end where it is largest."""
    decay = abs(exponent)
    reach = decay * size
    if reach < 1e-3:  # the closed form would subtract nearly equal numbers
        falling = size**2 * (1 / 2 - reach / 3 + reach**2 / 8 - reach**3 / 30)
    else:
        falling = (1 - (1 + reach) * math.exp(-reach)) / decay**2
    return falling if exponent <= 0 else size * _integral(decay, size) - falling
