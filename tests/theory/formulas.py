"""Closed forms for queues, repair crews and lines with buffers.

They serve as a yardstick: configured so that only the textbook case is left, a simulated
line must agree with them. Times and rates may be in any unit, as long as one call keeps to
one. Every function raises ``ValueError`` where an argument lies outside its limits, and
``UnstableQueueError`` (a ``ValueError``) where no steady state exists.

>>> from tests.theory import formulas as theory
>>> theory.mm1(arrival_rate=2, service_rate=3).in_system
2.0
>>> round(theory.erlang_b(offered_load=10, servers=10), 5)
0.21458
"""

from linesim.studies.two_station_fluid import FluidLine, UnreliableStation, two_station_fluid
from tests.theory.exponential_line import TwoStationLine, two_exponential_stations
from tests.theory.interference import Interference, machine_interference
from tests.theory.queues import (
    FiniteQueue,
    MarkovQueue,
    Queue,
    UnstableQueueError,
    batches_m1,
    batches_mc,
    erlang_b,
    little_number,
    little_time,
    md1,
    mg1,
    mm1,
    mm1k,
    mmc,
)
from tests.theory.unreliable_lines import (
    bufferless_throughput,
    equal_speed_fluid_throughput,
    unlimited_buffer_throughput,
)

__all__ = [
    "FiniteQueue",
    "FluidLine",
    "Interference",
    "MarkovQueue",
    "Queue",
    "TwoStationLine",
    "UnreliableStation",
    "UnstableQueueError",
    "batches_m1",
    "batches_mc",
    "bufferless_throughput",
    "equal_speed_fluid_throughput",
    "erlang_b",
    "little_number",
    "little_time",
    "machine_interference",
    "md1",
    "mg1",
    "mm1",
    "mm1k",
    "mmc",
    "two_exponential_stations",
    "two_station_fluid",
    "unlimited_buffer_throughput",
]
