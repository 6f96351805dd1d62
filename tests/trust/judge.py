"""Holds the line against the reference line on lines drawn at random, set by set.

    python tests/trust/judge.py --lines 100 --hours 4 --first 1

Both meet the same luck. Lines with what the reference does not have (orders, shifts, planned work,
people who finish after the shift, webs paced to the transfer) are passed over. Prints each line
that differs, and where; ends with 1 if any does.
"""

from __future__ import annotations

import argparse
import sys

import tests_of_this_clone  # noqa: F401

from linesim.scenario import Scenario
from tests.line.any_line import any_scenario
from tests.reference.compared import compared


def is_covered(scenario: Scenario) -> bool:
    """Whether the reference has all that this line has."""
    calendar = scenario.calendar
    shifts = calendar.shifts_per_day is not None or calendar.days_per_week < 7
    return not (
        scenario.order or shifts or scenario.holiday or scenario.planned_work or scenario.rest
    )


def main() -> int:
    """Compare; 1 where a line differs."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--lines", type=int, default=100)
    parser.add_argument("--hours", type=float, default=4.0)
    parser.add_argument("--first", type=int, default=1)
    given = parser.parse_args()
    done = different = 0
    seed = given.first
    while done < given.lines:
        scenario = any_scenario(seed).varied(start={"state": "new"})
        if is_covered(scenario):
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
