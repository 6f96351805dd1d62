"""What each station could make: its rated speed, and what its own stops alone leave of it.

Both follow from the scenario without a run. Drawn side by side they form a V around the slowest
station, which is the first thing to look at on a line. The net rate of a station is

    rated x (1 - sum of y) / (1 + sum of x)

with x = mean time to restore / mean running time between stops for everything that happens only
to a station that moves (Buzacott 1967, on one station), and y = mean time to restore / mean
interval for what comes by the clock. Meters in kilometres, cuts and reams are turned into time at
rated speed. Waiting for people, waiting for a reel (but where every one is waited for: single
stands and a truck), run-up and rejects are not in it: they are what a run adds. No net rate is
above what trucks bring reels for, or take pallets away.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

from linesim import paper
from linesim.record.last_scenario import kept_for_the_last
from linesim.record.products import Product, products
from linesim.record.web_stops import (
    Load,
    reel_loads,
    reels_brought_m_per_min,
    with_breaks_at_restart,
)
from linesim.scenario import WEB_STATIONS, Scenario, Stop
from linesim.scenario.stops import BY_PLAN

SHEETER = "sheeter"
TRANSFER = "transfer"
BRIDGE = "bridge"
WRAPPERS = "wrappers"
CARTON_PACKER, PALLETISER = "carton_packer", "palletiser"
PALLET_CHANGE = "pallet change"


@dataclass(frozen=True)
class StationRate:
    """Rates of one station, and the share of time each cause takes.

    ``rated`` is its speed by nameplate, ``net`` what its own stops leave of it, in reams a minute.
    ``minutes_per_running_h`` is by cause, largest first. ``catch_up`` is how many times its rated
    speed it is driven at to catch up; 1: never more.
    """

    station: str
    rated: float
    net: float
    minutes_per_running_h: dict[str, float] = field(default_factory=dict)
    catch_up: float = 1.0

    @property
    def fastest(self) -> float:
        """What it is measured against: no speed that it is driven at is higher."""
        return self.rated * self.catch_up

    @property
    def availability(self) -> float:
        """What its own stops leave of its time, 0 to 1."""
        return self.net / self.rated if math.isfinite(self.rated) else 1.0


def web_m_per_ream(scenario: Scenario) -> float:
    """Web in m, all webs together, of which one ream is cut; the mean over the orders' reams."""
    webs = scenario.unwind.webs
    return sum(product.share * product.web_m_per_ream(webs) for product in products(scenario))


def planned_speeds(scenario: Scenario, product: Product) -> dict[str, float]:
    """What each station is measured against for one product, reams a minute.

    Rated speeds; of a wrapper that may catch up, the speed it then has. Wrappers stand by their
    names and, together, as "wrappers": those that stand by for the first add nothing, but the
    fastest of them is what the first is not to be ahead of. Carton packers stand by their names
    and, together, as "carton_packer". Infinite for what sets no pace.
    """
    found = {
        SHEETER: _sheeter_speed(product),
        TRANSFER: _transfer_speed(scenario, product),
    }
    single = {
        table.name: _wrapper_speed(scenario, number, product) * _catch_up(scenario)
        for number, table in enumerate(scenario.wrapper)
    }
    together = max if scenario.divert.rule == "hot_standby" else sum
    found |= {WRAPPERS: together(single.values())} | single
    ends = {name: _end_speed(scenario, name, product) for name in scenario.end_of_line}
    places = scenario.end_places.items()
    return found | ends | {place: sum(ends[name] for name in names) for place, names in places}


def slowest(scenario: Scenario, product: Product) -> tuple[str, float]:
    """The station that sets the pace of the line for one product, and its planned speed."""
    speeds = planned_speeds(scenario, product)
    line = (SHEETER, TRANSFER, WRAPPERS, *scenario.end_places)
    station = min(line, key=speeds.__getitem__)
    return station, speeds[station]


def several(scenario: Scenario) -> dict[str, tuple[str, ...]]:
    """Stations of which there are several -> their names, as the paper moves."""
    there = {WRAPPERS: tuple(wrapper.name for wrapper in scenario.wrapper), **scenario.end_places}
    return {name: names for name, names in there.items() if len(names) > 1}


@kept_for_the_last
def station_rates(scenario: Scenario) -> tuple[StationRate, ...]:
    """Rates of the sheeter, the transfer, each wrapper and the end of the line, as paper moves.

    The bridge is not among them: it takes whatever is put on it. With orders, a rate is the one
    at which the whole sequence would be made (the mean of the time per ream).
    """
    found = [_sheeter(scenario), _transfer(scenario)]
    found += [_wrapper(scenario, number) for number in range(len(scenario.wrapper))]
    found += [_end_station(scenario, name) for name in scenario.end_of_line]
    return tuple(found)


def line_rates(scenario: Scenario) -> tuple[StationRate, ...]:
    """As :func:`station_rates`, with the wrappers taken together as the station "wrappers".

    So are carton packers, as "carton_packer". Wrappers that only stand by for the first one add
    nothing to the rated speed.
    """
    single = station_rates(scenario)
    names = {wrapper.name for wrapper in scenario.wrapper}
    wrappers = [rate for rate in single if rate.station in names]
    if scenario.divert.rule == "hot_standby":
        rated = wrappers[0].rated
        idle, net = 1.0, 0.0
        for rate in wrappers:
            net += idle * rate.net
            idle *= 1 - rate.availability
        net, fastest = min(net, rated), max(r.fastest for r in wrappers)
    else:
        rated, net = sum(r.rated for r in wrappers), sum(r.net for r in wrappers)
        fastest = sum(r.fastest for r in wrappers)
    catch_up = fastest / rated if math.isfinite(fastest) else 1.0
    together = StationRate(WRAPPERS, rated, net, wrappers[0].minutes_per_running_h, catch_up)
    before = [rate for rate in single if rate.station in (SHEETER, TRANSFER)]
    rates = {rate.station: rate for rate in single}
    after = [
        _together(place, [rates[name] for name in here])
        for place, here in scenario.end_places.items()
    ]
    return (*before, together, *after)


def _together(place: str, rates: list[StationRate]) -> StationRate:
    """Stations of one place, which work side by side, as one of its name."""
    if len(rates) == 1:
        return replace(rates[0], station=place)
    rated, net = sum(rate.rated for rate in rates), sum(rate.net for rate in rates)
    minutes: dict[str, float] = {}
    for rate in rates:
        for cause, each in rate.minutes_per_running_h.items():
            minutes[cause] = minutes.get(cause, 0.0) + each * rate.rated / rated
    return StationRate(place, rated, net, minutes)


def bridge_rate(scenario: Scenario) -> StationRate:
    """What its own stops leave of the bridge, if it took reams at the pace of the line."""
    pace = reference(scenario).fastest
    return _station(BRIDGE, pace, _stop_loads(scenario, {BRIDGE}, pace))


def reference(scenario: Scenario) -> StationRate:
    """The station with the lowest speed at its best; of equals, the first the paper meets."""
    return min(line_rates(scenario), key=lambda rate: rate.fastest)


def slowest_net(scenario: Scenario) -> StationRate:
    """The station with the lowest net rate; of equals, the first the paper meets."""
    return min(line_rates(scenario), key=lambda rate: rate.net)


def _station(name: str, rated: float, loads: list[Load], catch_up: float = 1.0) -> StationRate:
    if math.isinf(rated):
        return StationRate(name, rated, rated)
    running = sum(load.per_running_min for load in loads)
    clock = min(1.0, sum(load.per_clock_min for load in loads))
    net = rated * (1 - clock) / (1 + running)
    minutes: dict[str, float] = {}
    for load in loads:
        share = load.per_running_min
        if load.per_clock_min and net > 0:
            share += load.per_clock_min * rated / net
        if share > 0:
            minutes[load.cause] = minutes.get(load.cause, 0.0) + 60 * share
    ordered = dict(sorted(minutes.items(), key=lambda item: (-item[1], item[0])))
    return StationRate(name, rated, net, ordered, catch_up)


def _harmonic(scenario: Scenario, rate_of: Callable[[Product], float]) -> float:
    made = [(product.share, rate_of(product)) for product in products(scenario)]
    if len({rate for _, rate in made}) == 1:
        return made[0][1]
    minutes = sum(share / rate for share, rate in made)
    return 1 / minutes if minutes > 0 else math.inf


def _sheeter_speed(product: Product) -> float:
    cuts_per_min = product.web_speed_m_per_min * 1000 / product.sheet_length_mm
    return paper.rated_reams_per_min(cuts_per_min, product.cuts_per_ream, product.lanes)


def _transfer_speed(scenario: Scenario, product: Product) -> float:
    hand = scenario.transfer
    moves = (hand.pick_s, hand.carry_s, hand.place_s, hand.return_s)
    cycle_s = sum(move.average() for move in moves)
    return product.lanes * 60 / cycle_s if cycle_s > 0 else math.inf


def _wrapper_speed(scenario: Scenario, number: int, product: Product) -> float:
    wrapper = scenario.wrapper[number]
    if wrapper.wrap_s is None:
        return min(wrapper.rate_reams_per_min, product.wrapper_limit_per_min)
    mean_s = wrapper.wrap_s.average()
    return 60 / mean_s if mean_s > 0 else math.inf


def _end_speed(scenario: Scenario, name: str, product: Product) -> float:
    pieces = scenario.end_of_line[name]
    if pieces.place == CARTON_PACKER:
        rate = min(pieces.rate_per_min, product.packer_limit_per_min)
        pieces = replace(pieces, rate_per_min=rate)
    return pieces.pace_reams_per_min


def _catch_up(scenario: Scenario) -> float:
    bridge = scenario.bridge
    return bridge.catch_up_factor if bridge.catch_up_at_reams is not None else 1.0


def _transfer(scenario: Scenario) -> StationRate:
    rated = _harmonic(scenario, lambda product: _transfer_speed(scenario, product))
    return _station(TRANSFER, rated, _stop_loads(scenario, {TRANSFER}, rated))


def _wrapper(scenario: Scenario, number: int) -> StationRate:
    wrapper = scenario.wrapper[number]
    rated = _harmonic(scenario, lambda product: _wrapper_speed(scenario, number, product))
    loads = _stop_loads(scenario, {"wrapper", wrapper.name}, rated)
    if wrapper.roll_length_m is not None:
        length_mm = wrapper.wrap_length_mm
        if length_mm is None:
            sheets = scenario.product.sheets_per_ream
            length_mm = 0.0
            for product in products(scenario):
                height_mm = paper.ream_height_mm(sheets, product.thickness_um)
                length_mm += product.share * paper.wrap_length_mm(
                    product.sheet_width_mm, height_mm, wrapper.wrap_overlap_mm
                )
        reams = max(1, paper.reams_per_roll(wrapper.roll_length_m, length_mm))
        chance = 1.0 if wrapper.roll_change == "stop" else wrapper.roll_splice_fail_chance
        changes = chance * rated / reams
        loads.append(Load("wrapping roll", changes * wrapper.roll_change_min.average()))
    return _station(wrapper.name, rated, loads, _catch_up(scenario))


def _end_station(scenario: Scenario, name: str) -> StationRate:
    """A spoiled carton takes the time of a good one; pallets leave as fast as they are fetched."""
    pieces = scenario.end_of_line[name]
    rated = _harmonic(scenario, lambda product: _end_speed(scenario, name, product))
    loads = _stop_loads(scenario, {name, pieces.place}, rated)
    table = scenario.palletiser
    for packer in scenario.carton_packer:
        if packer.name == name and packer.spoiled_per_10000:
            spoiled = packer.spoiled_per_10000 / 10_000
            loads.append(Load("spoiled cartons", spoiled / (1 - spoiled)))
    if name != PALLETISER or table is None:
        return _station(name, rated, loads)
    pallet = table.cartons_per_pallet * pieces.reams
    loads.append(Load(PALLET_CHANGE, rated / pallet * table.change_s.average() / 60))
    found, leave = _station(name, rated, loads), math.inf
    if table.truck_every_min is not None:
        leave = table.truck_takes_pallets * pallet / table.truck_every_min.average()
    elif table.fetch_min is not None and table.fetch_min.average() > 0:
        leave = pallet / table.fetch_min.average()
    return replace(found, net=min(found.net, leave))


def _sheeter(scenario: Scenario) -> StationRate:
    rated = _harmonic(scenario, _sheeter_speed)
    # All webs run through the knives together: so much of each web passes in a minute.
    speed = rated * web_m_per_ream(scenario) / scenario.unwind.webs
    loads = _stop_loads(scenario, set(WEB_STATIONS), rated, speed)
    loads += reel_loads(scenario, speed)
    found = _station(SHEETER, rated, with_breaks_at_restart(scenario, loads))
    brought = reels_brought_m_per_min(scenario) / web_m_per_ream(scenario)
    return replace(found, net=min(found.net, brought))


def _stop_loads(
    scenario: Scenario, stations: set[str], rated: float, speed_m_per_min: float = 0.0
) -> list[Load]:
    found = []
    for stop in scenario.stop:
        if stop.station not in stations:
            continue
        copies = scenario.unwind.webs if stop.per_web else 1
        for cause, share, minutes in _stops_of(stop):
            if stop.meter == "every_clock_h":
                interval = stop.mean_between * 60
                clock = copies * share * minutes / interval if interval > 0 else 0.0
                found.append(Load(cause, per_clock_min=clock))
                continue
            rate = copies * share * stops_per_min(scenario, stop, rated, speed_m_per_min)
            found.append(Load(cause, rate * minutes, stops_per_running_min=rate))
    return found


def _stops_of(stop: Stop) -> Iterator[tuple[str, float, float]]:
    """What stops a station for a cause: its name, its share in the stops, and its mean minutes."""
    fails = stop.chance_to_fail
    yield stop.cause, fails, stop.restore_min.average()
    if stop.change_min is not None and fails < 1:
        yield stop.cause + BY_PLAN, 1 - fails, stop.change_min.average()


def stops_per_min(scenario: Scenario, stop: Stop, rated: float, speed: float) -> float:
    """Stops of a cause in a minute in which its station makes ``rated`` reams.

    Changes by plan are among them. ``speed`` is the m/min at which each web then runs. For causes
    that fall due by the clock there is no such rate.
    """
    interval = stop.mean_between
    if interval <= 0:
        return 0.0
    cuts_per_ream = sum(
        product.share * product.cuts_per_ream / product.lanes for product in products(scenario)
    )
    per_min = {
        "every_running_h": 1 / 60,
        "every_web_km": speed / 1000,
        "every_cuts": rated * cuts_per_ream,
        "every_reams": rated,
    }[stop.meter]
    return per_min / interval
