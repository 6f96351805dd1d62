"""How often a cause stopped its stations in a run, by failure and by plan, and what parts cost."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from linesim.scenario import Scenario, Stop
from linesim.scenario.stops import BY_PLAN


class Stood(Protocol):
    """A stop cause at a station over a run."""

    @property
    def station(self) -> str: ...
    @property
    def cause(self) -> str: ...
    @property
    def count(self) -> int: ...
    @property
    def ns(self) -> int: ...


@dataclass(frozen=True)
class PartStops:
    """Stops of one cause in one run, all its stations and webs together."""

    failures: int
    changes: int
    lost_ns: int


def part_stops(scenario: Scenario, stop: Stop, stood: Iterable[Stood]) -> PartStops:
    """What a cause of the scenario did among all that stood in a run of it."""
    stations = scenario.stations_called(stop.station)
    counts, lost_ns = {False: 0, True: 0}, 0
    for each in stood:
        cause = each.cause.partition(" (web ")[0]
        if each.station in stations and cause in (stop.cause, stop.cause + BY_PLAN):
            counts[cause != stop.cause] += each.count
            lost_ns += each.ns
    return PartStops(counts[False], counts[True], lost_ns)


def parts_used(scenario: Scenario, stood: Iterable[Stood]) -> float:
    """Money for the parts that failed or were changed by plan in a run."""
    every, total = tuple(stood), 0.0
    for stop in scenario.stop:
        if stop.change_price or stop.failure_price:
            found = part_stops(scenario, stop, every)
            total += found.changes * (stop.change_price or 0.0)
            total += found.failures * (stop.failure_price or 0.0)
    return total
