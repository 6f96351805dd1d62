"""Holds the line against the reference line on lines drawn at random, set by set.

    python tests/trust/judge.py --lines 100 --hours 4 --first 1 [--packed ...]

Both meet the same luck. All begins new: drawing the state that a line is met in is the program's
own affair. Lines with orders, which the reference has not, are passed over. Speeds are changed a
little, so that no two have a common measure: who goes first where two things fall into one moment
is no rule. Flags name parts that all lines have: ``tests/line/parts.py`` says which. Prints each
line that differs, and where; ends with 1 if any does.
"""

from __future__ import annotations

import argparse
import sys
from typing import Any

import tests_of_this_clone  # noqa: F401

from linesim.scenario import Scenario, Stop
from linesim.scenario.laws import Constant
from tests.line.parts import add_parts
from tests.reference.compared import compared


def untied(scenario: Scenario) -> Scenario:
    """The same line with speeds that have no common measure."""
    wrappers = []
    for number, table in enumerate(scenario.wrapper, 1):
        off = 1 + 0.00137 * number**0.5
        changed = table.model_dump(exclude_unset=True)
        changed["rate_reams_per_min"] = table.rate_reams_per_min * off
        if isinstance(table.wrap_s, Constant):
            changed["wrap_s"] = table.wrap_s.mean * off
        wrappers.append(changed)
    changes: dict[str, Any] = {"wrapper": wrappers, "start": {"state": "new"}}
    cutter = scenario.cutter
    changes["cutter"] = {
        "web_speed_m_per_min": cutter.web_speed_m_per_min * 0.99917,
        "max_cuts_per_min": cutter.max_cuts_per_min * 0.99831,
    }
    if scenario.outfeed is not None:
        rate = scenario.outfeed.rate_reams_per_min * 1.00231
        changes["outfeed"] = {"rate_reams_per_min": rate}
    if scenario.palletiser is not None:
        rate = scenario.palletiser.rate_cartons_per_min * (1 + 0.00171 * 2**0.5)
        changes["palletiser"] = {"rate_cartons_per_min": rate}
    changes["carton_packer"] = [
        table.model_dump(exclude_unset=True)
        | {"rate_cartons_per_min": table.rate_cartons_per_min * (1 + 0.00171 * (1 + 7 * n) ** 0.5)}
        for n, table in enumerate(scenario.carton_packer)
    ]
    changes["stop"] = [each for stop in scenario.stop for each in _one_by_one(scenario, stop)]
    return scenario.varied(**changes)


def _one_by_one(scenario: Scenario, stop: Stop) -> list[dict[str, Any]]:
    """What falls on several stations by the clock falls on each at a moment of its own."""
    table, stations = stop.model_dump(exclude_unset=True), scenario.stations_called(stop.station)
    if stop.meter != "every_clock_h" or len(stations) == 1:
        return [table]
    found = []
    for number, station in enumerate(stations, 1):
        off, mine = 1 + 0.00119 * number**0.5, table | {"station": station}
        if isinstance(stop.interval, Constant):
            mine["every_clock_h"] = stop.interval.mean * off
        if stop.changed_every is not None:
            mine["changed_every"] = stop.changed_every * off
        found.append(mine)
    return found


def main() -> int:
    """Compare; 1 where a line differs."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--lines", type=int, default=100)
    parser.add_argument("--hours", type=float, default=4.0)
    parser.add_argument("--first", type=int, default=1)
    add_parts(parser)
    given = parser.parse_args()
    done = different = 0
    seed = given.first
    while done < given.lines:
        scenario = untied(given.part(seed))
        if not scenario.order:
            found = compared(scenario, given.hours, seed)
            done += 1
            if found.first_different:
                different += 1
                print(f"line {seed}: {found.first_different}; good {found.good}", flush=True)
        seed += 1
    print(f"{done} lines (numbers {given.first} to {seed - 1}), {different} differ")
    return int(different > 0)


if __name__ == "__main__":
    sys.exit(main())
