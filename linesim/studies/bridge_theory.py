"""The two-station estimate beside a bridge study, and whether the line is within its limits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from linesim.record.capacity import (
    BRIDGE,
    PALLET_CHANGE,
    SHEETER,
    TRANSFER,
    WRAPPERS,
    StationRate,
    line_rates,
)
from linesim.record.states import station_words
from linesim.scenario import Scenario
from linesim.scenario.laws import Exponential
from linesim.scenario.stops import BY_PLAN
from linesim.studies.two_station_fluid import UnreliableStation, two_station_fluid

_MIN_PER_WEEK = 168 * 60
_NEVER_MIN = 1e6
"""As good as no stop."""


@dataclass(frozen=True)
class TwoStationModel:
    """What is before and what behind the bridge as two stations.

    ``reservations`` are where the line is not that. ``fit`` is False where no such estimate can be
    made at all.
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


def two_station_estimate(scenario: Scenario) -> TwoStationModel:
    """Rates and mean times before and behind the bridge, from the scenario alone (minutes, reams).

    Each station's causes are taken as one with the same share of time lost; the mean time to
    restore is the mean over its stops. The transfer stops with the sheeter. Wrappers and what is
    behind them are the second station: what the buffer of each station lets through to those
    before it is added to their stops, by the same formula, from the end of the line on (Gershwin
    1994; aggregation of a line's end).
    """
    rates = {rate.station: rate for rate in line_rates(scenario)}
    sheeter, transfer, wrappers = rates[SHEETER], rates[TRANSFER], rates[WRAPPERS]
    if not (math.isfinite(sheeter.rated) and math.isfinite(wrappers.rated)):
        return TwoStationModel(None, None, 0.0, ("a station without a pace of its own",))
    front = [_load(scenario, sheeter)]
    if math.isfinite(transfer.rated):
        share, restore = _load(scenario, transfer)
        front.append((share * sheeter.rated / transfer.rated, restore))
    first = _station(min(sheeter.rated, transfer.rated), front)
    behind = [rates[name] for name in scenario.end_places]
    second = from_station_on(scenario, [wrappers, *behind])
    if first is None or second is None:
        which = (
            "the sheeter never stops" if first is None else "nothing behind the bridge ever stops"
        )
        return TwoStationModel(None, None, 0.0, (f"{which}: there are no two unreliable stations",))
    return TwoStationModel(
        first, second, scenario.set_reams / 2 + 1, _reservations(scenario, rates)
    )


_Load = tuple[float, float]
"""Time lost to stops by time at work, and the mean time to restore in minutes."""


def _load(scenario: Scenario, rate: StationRate) -> _Load:
    lost = 1 / rate.availability - 1 if rate.availability > 0 else math.inf
    return lost, _mean_restore_min(scenario, rate)


def _station(speed: float, loads: list[_Load]) -> UnreliableStation | None:
    """One station with all these stops; None where it never stops, or never works."""
    there = [(lost, restore) for lost, restore in loads if lost > 0 and restore > 0]
    lost = sum(each for each, _ in there)
    if not 0 < lost < math.inf:
        return None
    restore = lost / sum(each / mean for each, mean in there)
    return UnreliableStation(speed, restore / lost, restore)


def from_station_on(scenario: Scenario, rates: Sequence[StationRate]) -> UnreliableStation | None:
    """A station and those that block it as one: what they deliver together, it delivers alone.

    What they cost it lasts as long as their own stops do: theirs have no memory.
    """
    first, behind = rates[0], rates[1:]
    lost, restore = _load(scenario, first)
    alone = _station(first.rated, [(lost, restore)])
    if not behind:
        return alone
    speed = min(rate.rated for rate in (first, *behind))
    own = (lost * speed / first.rated, restore)
    last = from_station_on(scenario, behind)
    if last is None:
        return _station(speed, [own])
    before = alone or UnreliableStation(first.rated, _NEVER_MIN, last.mean_time_to_repair)
    here = scenario.end_places[behind[0].station]
    pieces = scenario.end_of_line[here[0]]
    # What is in the next station's hands and what this one holds are room, too.
    room = pieces.reams_waiting + len(here) * pieces.reams + pieces.reams // pieces.takes
    through = two_station_fluid(before, last, room).throughput
    more = max(0.0, speed / through - 1 - own[0])
    return _station(speed, [own, (more, last.mean_time_to_repair)])


def _mean_restore_min(scenario: Scenario, rate: StationRate) -> float:
    """Mean over the station's stops, each weighted by how often it comes."""
    path, unwind = scenario.web_path, scenario.unwind
    held = path.clamp_holds_chance
    each = {stop.cause: stop.restore_min.average() for stop in scenario.stop}
    each |= {
        stop.cause + BY_PLAN: stop.change_min.average()
        for stop in scenario.stop
        if stop.change_min is not None
    }
    each["web break"] = (
        held * path.rethread_held_min.average() + (1 - held) * path.rethread_lost_min.average()
    )
    each["reel change"] = (
        unwind.change_min if unwind.change == "standing_change" else unwind.splice_min
    ).average()
    each["wrapping roll"] = scenario.wrapper[0].roll_change_min.average()
    if scenario.palletiser is not None:
        each[PALLET_CHANGE] = scenario.palletiser.change_s.average() / 60
    minutes = count = 0.0
    for cause, lost in rate.minutes_per_running_h.items():
        if each.get(cause, 0) > 0:
            minutes += lost
            count += lost / each[cause]
    return minutes / count if count else 0.0


def _tells(rate: StationRate, rates: dict[str, StationRate]) -> bool:
    """A station behind the wrappers stops them, or is slower."""
    return rate.availability < 1 or rate.rated < rates[WRAPPERS].rated


def _reservations(scenario: Scenario, rates: dict[str, StationRate]) -> tuple[str, ...]:
    found = []
    if not all(
        isinstance(law, Exponential)
        for stop in scenario.stop
        for law in (stop.interval, stop.restore_min)
    ) or any(stop.changed_every is not None for stop in scenario.stop):
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
    if rates[TRANSFER].availability < 1:
        found.append("sheeter and transfer count as one that stops as a whole")
    if any(len(names) > 1 for names in scenario.end_places.values()):
        found.append("several carton packers count as one that stops as a whole")
    for name in scenario.end_places:
        if _tells(rates[name], rates):
            said = station_words(name)
            found.append(
                f"wrappers and {said} count as one, which the {said}'s buffer makes stop less"
            )
    palletiser = scenario.palletiser
    if palletiser is not None and (palletiser.truck_every_min or palletiser.fetch_min):
        found.append("full pallets never wait in it")
    if any(packer.magazine_blanks is not None for packer in scenario.carton_packer):
        found.append("blanks never run out in it")
    if any(stop.station == BRIDGE for stop in scenario.stop):
        found.append("the bridge never stops in it")
    if any(stop.people for stop in scenario.stop):
        found.append("nobody waits for people in it")
    if bridge.belt_speed_m_per_min > 0:
        found.append("travel over the bridge takes no time in it")
    return tuple(found)
