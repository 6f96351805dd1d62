"""Who is at the line when, who can do which work, and how far they walk for it."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.scenario.scenario import Scenario
from linesim.scenario.units import DAY, HOUR, SECOND

KINDS_OF_WORK = (
    "reels",
    "prepare",
    "rethread",
    "rolls",
    "blanks",
    "pallets",
    "truck",
    "rework",
    "change-over",
)
"""Work that is no stop cause: changing and splicing reels, preparing stands, ..."""

ANYONE = -1
"""In place of who can do some work."""


def who_can(scenario: Scenario, *words: str) -> int:
    """Who can do work that goes by any of these words: its kind, its station, its cause.

    Bit 0 stands for the people of [crew], bit n for the n-th group.
    """
    found = 1
    for number, group in enumerate(scenario.crew_group, 1):
        if group.can is None or not set(words).isdisjoint(group.skills):
            found |= 1 << number
    return found


def who_can_mend(scenario: Scenario, cause: str, station: str) -> int:
    """Who can see to a stop cause at one station, by its kind, too: any wrapper, say."""
    return who_can(scenario, cause, station, *_kinds_of(scenario, station))


def _kinds_of(scenario: Scenario, station: str) -> list[str]:
    several = ("wrapper", "carton_packer")
    return [kind for kind in several if station in scenario.stations_called(kind)]


def way_to(scenario: Scenario, station: str) -> int:
    """How long people walk from the beginning of the line to where they work at a station, ns."""
    speed = scenario.crew.walk_m_per_s
    if speed is None:
        return 0
    at_m = {place.name: place.at_m for place in scenario.station_place}
    names = station, *_kinds_of(scenario, station)
    found = next((at_m[name] for name in names if name in at_m), 0.0)
    return round(found / speed * SECOND)


def people_in(scenario: Scenario, who: int) -> int:
    """How many people those are."""
    numbers = (scenario.crew.size, *(group.number for group in scenario.crew_group))
    return sum(number for bit, number in enumerate(numbers) if who >> bit & 1)


def crew_sizes(scenario: Scenario) -> tuple[int, int]:
    """How many people there are on a shift of the week: the fewest, and the most."""
    sizes = [people_in(scenario, there) for there in crews_of_the_week(scenario)]
    return min(sizes), max(sizes)


def on_shift(scenario: Scenario, start: int) -> int:
    """Who is there on the shift that starts then, ns from the start of the run; bit by bit."""
    length = round(scenario.line.shift_hours * HOUR)
    day, shift = start // DAY % 7 + 1, start % DAY // length + 1
    found = 1
    for number, group in enumerate(scenario.crew_group, 1):
        found |= group.is_there(day, shift) << number
    return found


def shifts_of_the_week(scenario: Scenario) -> Iterator[tuple[int, int]]:
    """Day of the week and number of every shift that is worked, both from 1."""
    calendar = scenario.calendar
    per_day = calendar.shifts_per_day or max(1, int(24 / scenario.line.shift_hours + 1e-9))
    for day in range(1, calendar.days_per_week + 1):
        for shift in range(1, per_day + 1):
            yield day, shift


def crews_of_the_week(scenario: Scenario) -> set[int]:
    """Who is there together on some shift of the week; bit by bit."""
    length = round(scenario.line.shift_hours * HOUR)
    return {
        on_shift(scenario, (day - 1) * DAY + (shift - 1) * length)
        for day, shift in shifts_of_the_week(scenario)
    }
