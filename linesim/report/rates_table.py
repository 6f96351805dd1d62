"""The V of a line as text: rated and net rate of each station, the slowest marked."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from linesim.record.capacity import StationRate, reference, slowest_net, station_rates
from linesim.record.web_stops import REEL_TRUCK
from linesim.report.answers.cells import Column
from linesim.report.answers.grid import columns_of, grid
from linesim.report.plain import (
    Terminal,
    capital,
    notes_of,
    shown_rates,
    station_name,
    the_station,
)
from linesim.scenario import Scenario
from linesim.statistics import counted, rough

if TYPE_CHECKING:
    from rich.table import Table

_BAR = 30
_CAUSES = 3
_NO_LIMIT = "no limit"


def rates_parts(scenario: Scenario, terminal: Terminal) -> Iterator[Table | str]:
    """The rates of every station and which of them is the slowest."""
    shown = shown_rates(scenario)
    slow, net = reference(scenario), slowest_net(scenario)
    if slow.station == net.station:
        said = (
            f"slowest, by nameplate and after its own stops: {the_station(scenario, slow.station)}"
            f" ({rough(slow.rated)} and {rough(net.net)} reams a minute)."
        )
    else:
        said = (
            f"slowest by nameplate: {the_station(scenario, slow.station)} ({rough(slow.rated)}"
            f" reams a minute); slowest after its own stops: {the_station(scenario, net.station)}"
            f" ({rough(net.net)})."
        )
    yield f"“{scenario.line.name}”: {said}\n"
    widest = max(rate.rated for rate in shown if math.isfinite(rate.rated))
    rows = []
    for rate in shown:
        if math.isfinite(rate.rated):
            left = f"{100 * rate.availability:.1f} %"
            name = station_name(scenario, rate.station)
            rows.append((name, rough(rate.rated), rough(rate.net), left, _bar(rate, widest)))
        else:
            rows.append((rate.station, _NO_LIMIT, _NO_LIMIT, "-", ""))
    bar = Column("net (#) of rated (#=)", left=True, rank=1)
    yield from grid((*columns_of("station", "rated", "net", "net of rated"), bar), rows, terminal)
    yield "\nReams a minute. What the stops take, in minutes per hour of running:"
    for rate in station_rates(scenario):
        causes = list(rate.minutes_per_running_h.items())
        named = [f"{cause} {rough(minutes)}" for cause, minutes in causes[:_CAUSES]]
        if others := [minutes for _, minutes in causes[_CAUSES:]]:
            named.append(f"{counted(len(others), 'other')} {rough(sum(others))}")
        if named:
            yield f"  {station_name(scenario, rate.station)}: {', '.join(named)}"
    for rate in shown:
        if math.isinf(rate.rated):
            yield (
                f"{capital(the_station(scenario, rate.station))} takes no time for its work, so it"
                " never limits the line."
            )
        elif rate.catch_up > 1:
            yield (
                f"{capital(the_station(scenario, rate.station))} makes up to {rough(rate.fastest)}"
                " reams a minute when catching up; effectiveness is measured against that."
            )
    trucks = any(REEL_TRUCK in rate.minutes_per_running_h for rate in shown)
    reels = "" if trucks else ", reels"
    yield (
        f"\nNot in these rates: waiting for people{reels} or other stations, run-ups and rejects. A"
        " run adds them. The bridge has no rate of its own."
    )
    yield from notes_of(scenario)


def _bar(rate: StationRate, widest: float) -> str:
    whole = round(_BAR * rate.rated / widest)
    net = round(_BAR * rate.net / widest)
    return "#" * net + "=" * (whole - net)
