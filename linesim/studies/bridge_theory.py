"""The two-station estimate beside a bridge study, and whether the line is within its limits."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesim.record.capacity import (
    OUTFEED,
    SHEETER,
    TRANSFER,
    WRAPPERS,
    StationRate,
    line_rates,
    slowest_net,
)
from linesim.scenario import Scenario
from linesim.scenario.laws import Exponential
from linesim.theory import UnreliableStation, two_station_fluid

_MIN_PER_WEEK = 168 * 60


@dataclass(frozen=True)
class Estimate:
    """Sheeter and wrappers as two stations; ``reservations`` are where the line is not that.

    ``fit`` is False where no such estimate can be made at all.
    """

    first: UnreliableStation | None
    second: UnreliableStation | None
    beside: float
    """Reams that find room beside the places: at the transfer and in the wrapper."""
    reservations: tuple[str, ...]

    @property
    def fit(self) -> bool:
        """Whether there is an estimate."""
        return self.first is not None and self.second is not None

    def reams_per_week(self, places: int) -> float | None:
        """Throughput of the two-station fluid line with so many places between them.

        The set that the transfer holds and the ream in the wrapper count as buffer, too; that the
        level rises by whole sets takes half a set away again.
        """
        if self.first is None or self.second is None:
            return None
        buffer = places + self.beside
        return two_station_fluid(self.first, self.second, buffer).throughput * _MIN_PER_WEEK


def two_station_estimate(scenario: Scenario) -> Estimate:
    """Rates and mean times of sheeter and wrappers, from the scenario alone (minutes, reams).

    Each station's causes are taken as one with the same share of time lost; the mean time to
    restore is the mean over its stops.
    """
    rates = {rate.station: rate for rate in line_rates(scenario)}
    sheeter, wrappers = rates[SHEETER], rates[WRAPPERS]
    if not (math.isfinite(sheeter.rated) and math.isfinite(wrappers.rated)):
        return Estimate(None, None, 0.0, ("a station without a pace of its own",))
    first, second = _station(scenario, sheeter), _station(scenario, wrappers)
    if first is None or second is None:
        which = "sheeter" if first is None else "wrappers"
        return Estimate(
            None, None, 0.0, (f"the {which} never stops: there are no two unreliable stations",)
        )
    return Estimate(first, second, scenario.set_reams / 2 + 1, _reservations(scenario))


def _station(scenario: Scenario, rate: StationRate) -> UnreliableStation | None:
    lost = 1 / rate.availability - 1 if rate.availability > 0 else math.inf
    if not 0 < lost < math.inf:
        return None
    restore = _mean_restore_min(scenario, rate)
    if restore <= 0:
        return None
    return UnreliableStation(rate.rated, restore / lost, restore)


def _mean_restore_min(scenario: Scenario, rate: StationRate) -> float:
    """Mean over the station's stops, each weighted by how often it comes."""
    path, unwind = scenario.web_path, scenario.unwind
    held = path.clamp_holds_chance
    each = {stop.cause: stop.restore_min.average() for stop in scenario.stop}
    each["web break"] = (
        held * path.rethread_held_min.average() + (1 - held) * path.rethread_lost_min.average()
    )
    each["reel change"] = (
        unwind.change_min if unwind.change == "standing_change" else unwind.splice_min
    ).average()
    each["roll change"] = scenario.wrapper[0].roll_change_min.average()
    minutes = count = 0.0
    for cause, lost in rate.minutes_per_running_h.items():
        if each.get(cause, 0) > 0:
            minutes += lost
            count += lost / each[cause]
    return minutes / count if count else 0.0


def _reservations(scenario: Scenario) -> tuple[str, ...]:
    found = []
    if not all(
        isinstance(law, Exponential)
        for stop in scenario.stop
        for law in (stop.interval, stop.restore_min)
    ):
        found.append(
            "times between and to restore are not all exponential, as the formula takes them"
        )
    bridge = scenario.bridge
    if bridge.stop_at_reams is not None or bridge.slow_at_reams is not None:
        found.append(
            "the sheeter is slowed, stopped or restarted by level before the bridge is full"
        )
    if scenario.gate.cuts_after_stop:
        found.append("every restart costs rejects")
    if len(scenario.wrapper) > 1:
        found.append("several wrappers count as one that stops as a whole")
    if scenario.order or scenario.rest or scenario.planned_work:
        found.append("orders, breaks and planned work are not in it")
    net = slowest_net(scenario)
    if net.station in (TRANSFER, OUTFEED):
        found.append(f"the {net.station} is slower than both")
    if any(stop.people for stop in scenario.stop):
        found.append("nobody waits for people in it")
    if bridge.belt_speed_m_per_min > 0:
        found.append("travel over the bridge takes no time in it")
    return tuple(found)
