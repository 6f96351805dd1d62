"""Two stations with exponential work times and a few places between them.

Source: G. C. Hunt, *Sequential arrays of waiting lines*, Operations Research 4 (1956). The
first station is never starved, the last never blocked, and the first stops with its finished
piece in hand when no place is free (blocking after the work). Counting the pieces beyond the
first station, the piece it cannot put down included, gives an M/M/1/K of K = places + 2.
"""

from dataclasses import dataclass

from linesim.limits import above_zero, whole_from
from tests.theory.queues import mm1k


@dataclass(frozen=True)
class TwoStationLine:
    """Throughput in pieces per unit of time, and the shares of time lost to waiting.

    ``blocked`` is the share for which the first station waits for a place, ``starved`` that
    for which the second waits for a piece. ``mean_in_buffer`` counts pieces on the places.
    """

    throughput: float
    blocked: float
    starved: float
    mean_in_buffer: float


def two_exponential_stations(first_rate: float, second_rate: float, places: int) -> TwoStationLine:
    """Throughput of two exponential stations with *places* between; (B+2)/(B+3) at rates 1.

    >>> round(two_exponential_stations(1, 1, places=0).throughput, 6)
    0.666667
    """
    above_zero("first_rate", first_rate)
    above_zero("second_rate", second_rate)
    whole_from("places", places, 0)
    beyond = mm1k(first_rate, second_rate, places + 2)
    return TwoStationLine(
        throughput=beyond.arrival_rate,
        blocked=beyond.probability_lost,
        starved=beyond.probability(0),
        # Of those beyond the first station one is in the second; a blocked one is not placed.
        mean_in_buffer=beyond.waiting - beyond.probability_lost,
    )
