"""The V of a line as text: rated and net rate of each station, the slowest marked."""

from __future__ import annotations

import math

from rich.console import Console

from linesim.record.capacity import (
    WRAPPERS,
    StationRate,
    line_rates,
    reference,
    slowest_net,
    station_rates,
)
from linesim.report.plain import INVENTED, counting_notice, plain_table
from linesim.scenario import Scenario
from linesim.statistics import rough

_BAR = 30
_CAUSES = 3
_ANY = "any speed"


def print_rates(scenario: Scenario, console: Console) -> None:
    """Print the rates of every station and which of them is the slowest."""
    singles = station_rates(scenario)
    shown = list(singles)
    if len(scenario.wrapper) > 1:
        together = next(rate for rate in line_rates(scenario) if rate.station == WRAPPERS)
        last = max(n for n, r in enumerate(shown) if r.station == scenario.wrapper[-1].name)
        shown.insert(last + 1, together)
    slow, net = reference(scenario), slowest_net(scenario)
    if slow.station == net.station:
        console.print(
            f"{scenario.line.name}: the {slow.station} is the slowest station, rated at"
            f" {rough(slow.rated)} reams a minute; its own stops alone leave"
            f" {rough(net.net)}."
        )
    else:
        console.print(
            f"{scenario.line.name}: by nameplate the {slow.station} is the slowest station"
            f" ({rough(slow.rated)} reams a minute); after each station's own stops it is"
            f" the {net.station} ({rough(net.net)})."
        )
    widest = max(rate.rated for rate in shown if math.isfinite(rate.rated))
    table = plain_table("station", ["rated", "net", "own stops leave"])
    table.add_column("net # of rated #=", no_wrap=True)
    for rate in shown:
        if math.isfinite(rate.rated):
            left = f"{100 * rate.availability:.1f} %"
            table.add_row(
                rate.station,
                rough(rate.rated),
                rough(rate.net),
                left,
                _bar(rate, widest),
            )
        else:
            table.add_row(rate.station, _ANY, _ANY, "-", "")
    console.print()
    console.print(table)
    console.print("\nReams a minute. What the stops take, in minutes per hour of running:")
    for rate in singles:
        causes = list(rate.minutes_per_running_h.items())[:_CAUSES]
        if causes:
            named = ", ".join(f"{cause} {rough(minutes)}" for cause, minutes in causes)
            console.print(f"  {rate.station}: {named}")
    for rate in shown:
        if math.isinf(rate.rated):
            console.print(
                f"The {rate.station} takes no time for what it does: it keeps up with any speed."
            )
        elif rate.catch_up > 1:
            console.print(
                f"The {rate.station} makes up to {rough(rate.fastest)} reams a minute when catching"
                " up; effectiveness is measured against that."
            )
    console.print(
        "\nWaiting for people or reels, run-up, rejects and neighbours are not in this: a run"
        " (linesim run) adds them. The bridge sets no pace of its own."
    )
    notice = counting_notice(scenario)
    if notice:
        console.print(f"Note: {notice}")
    if scenario.line.invented:
        console.print(f"Note: {INVENTED}")


def _bar(rate: StationRate, widest: float) -> str:
    whole = round(_BAR * rate.rated / widest)
    net = round(_BAR * rate.net / widest)
    return "#" * net + "=" * (whole - net)
