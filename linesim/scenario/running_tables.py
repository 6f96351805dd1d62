"""The tables of the scenario as a whole: people, time, orders and money."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from linesim.scenario.fields import Name, Table, quantity
from linesim.scenario.laws import Law, Lognormal


class LineTable(Table):
    """What the scenario is called and whether its figures are invented."""

    name: Name = quantity("unnamed line", "name of the line or of this variant")
    note: str = quantity("", "what this scenario is for")
    invented: bool = quantity(False, "true for demo data that describes no real line")
    shift_hours: float = quantity(
        8.0,
        "length of a shift; what a run covers unless told",
        unit="h",
        low=0.01,
        high=24,
        typical=(8, 12),
    )
    minor_stop_minutes: float = quantity(
        5.0,
        "a standstill shorter than this is a minor stop",
        unit="min",
        low=0,
        high=120,
        typical=(2, 10),
    )


class Start(Table):
    """The state in which a run begins to count."""

    state: Literal["as_found", "new"] = quantity(
        "as_found",
        "as_found: as the line is found on any day, everything part used, after a run-in that is"
        " not counted; new: as after an overhaul, every meter at zero, rolls and reels full,"
        " bridge empty",
    )
    run_in_h: float = quantity(
        4.0,
        "hours that are run before counting begins, on shifts end to end; none before orders,"
        " which begin on an empty line",
        unit="h",
        low=0,
        high=10000,
        typical=(2, 24),
    )


class Crew(Table):
    """The people who run the line.

    A job for which something stands comes before one for which nothing stands. Within each kind
    jobs go by priority, then by time.
    """

    size: int = quantity(3, "people at the line", unit="people", low=0, high=100, typical=(2, 6))
    priority_standing_line: int = quantity(
        1, "priority of a job for which the webs stand (1 is first)", low=1, high=9
    )
    priority_standing_wrapper: int = quantity(
        2,
        "priority of a job for which transfer, bridge, a wrapper or the outfeed stands",
        low=1,
        high=9,
    )
    priority_prepare: int = quantity(5, "priority of preparing a stand", low=1, high=9)
    priority_rework: int = quantity(8, "priority of rework", low=1, high=9)
    lay_work_down: bool = quantity(
        True,
        "preparing a stand and re-wrapping are laid down when something stands and nobody else is"
        " free for it, and taken up again afterwards",
    )
    work_at_shift_end: Literal["handed_over", "finished"] = quantity(
        "handed_over",
        "work in hand when a shift ends: handed over, and taken up when the next shift begins; or"
        " finished first by those who began it",
    )


class Break(Table):
    """A pause of the crew."""

    start_h: float = quantity(..., "start, hours into the shift", unit="h", low=0, high=24)
    minutes: float = quantity(..., "length", unit="min", low=0.01, high=720, typical=(10, 45))
    line: Literal["stands", "relieved"] = quantity(
        "stands", "whether the line stands or is relieved meanwhile"
    )


class PlannedWork(Table):
    """Planned maintenance or cleaning, on the calendar."""

    name: Name = quantity(..., "what is done")
    start_h: float = quantity(
        ..., "first start, hours after the run starts", unit="h", low=0, high=100000
    )
    every_h: float | None = quantity(
        None, "repeated after so many hours", unit="h", low=0.01, high=100000, typical=(8, 168)
    )
    minutes: float = quantity(..., "length", unit="min", low=0.01, high=20000)
    people: int = quantity(0, "people it takes while it lasts", unit="people", low=0, high=20)


class Holiday(Table):
    """Days on which no shift begins; one that began the day before is finished."""

    name: Name = quantity(..., "what the day is")
    day: int = quantity(
        ..., "number of the day; 1 is the day that begins as the run does", low=1, high=4000
    )
    days: int = quantity(1, "days on end", unit="days", low=1, high=60)


class Calendar(Table):
    """Shifts, breaks and planned work. Without it the line is manned all the time."""

    starts: str | None = quantity(
        None,
        "date and time at which a run starts, such as 2026-03-02 06:00; only for dates in reports"
        " and to find the place of the plant's counts",
        pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}[ T][0-9]{2}:[0-9]{2}$",
    )

    shifts_per_day: int | None = quantity(
        None,
        "shifts worked each day; unless given, as many as fit in 24 h",
        unit="shifts/day",
        low=1,
        high=24,
    )
    days_per_week: int = quantity(
        7, "days worked each week, from the first", unit="days/week", low=1, high=7
    )

    @property
    def start(self) -> dt.datetime | None:
        """When a run starts, None where that is not said. ``ValueError`` for no such day."""
        return None if self.starts is None else dt.datetime.fromisoformat(self.starts)


class Changeover(Table):
    """Times between orders, by what changes."""

    grade_min: Law = quantity(
        Lognormal(law="lognormal", mean=15, sd=4),
        "another grade: new reels on every stand",
        unit="min",
        typical=(8, 40),
    )
    size_min: Law = quantity(
        Lognormal(law="lognormal", mean=40, sd=10),
        "another sheet size",
        unit="min",
        typical=(20, 90),
    )
    lanes_min: Law | None = quantity(
        None,
        "other lanes or sheet width, the sheet length as before; unless given, as size_min",
        unit="min",
        typical=(15, 60),
    )
    grade_with_size: Literal["meanwhile", "afterwards"] = quantity(
        "meanwhile", "where grade and size change together: when the reels are changed"
    )
    people: int = quantity(2, "people for a change-over", unit="people", low=0, high=20)


class Order(Table):
    """One order of the sequence; what is left out stays as in [product] and [slitter]."""

    name: Name = quantity(..., "name of the order")
    reams: int = quantity(..., "good reams to make", unit="reams", low=1, high=100_000_000)
    due_h: float | None = quantity(
        None, "due, hours after the run starts", unit="h", above=0, high=100000
    )
    grammage_g_per_m2: float | None = quantity(None, "grammage", unit="g/m2", low=20, high=600)
    thickness_um: float | None = quantity(None, "thickness", unit="um", low=20, high=1000)
    sheet_width_mm: float | None = quantity(None, "sheet width", unit="mm", low=50, high=1500)
    sheet_length_mm: float | None = quantity(None, "sheet length", unit="mm", low=50, high=2000)
    lanes: int | None = quantity(None, "lanes", unit="lanes", low=1, high=20)


class Money(Table):
    """What paper, time and machines cost; all in one currency of the user's."""

    contribution_per_ream: float = quantity(
        0.0,
        "price less everything that rises with each ream: its paper with the trim, its wrapping",
        unit="money/ream",
        low=0,
        high=1e6,
    )
    ream_place_cost: float = quantity(
        0.0, "cost of one more place on the bridge", unit="money/place", low=0, high=1e9
    )
    demand_reams_per_year: float | None = quantity(
        None,
        "what the market takes; unless given, everything is sold",
        unit="reams/year",
        low=0,
        high=1e12,
    )
    hours_per_year: float = quantity(
        6000.0,
        "hours the line is manned in a year",
        unit="h/year",
        low=1,
        high=8784,
        typical=(3500, 8400),
    )
    paper_cost_per_t: float = quantity(0.0, "paper", unit="money/t", low=0, high=1e6)
    repulp_value_per_t: float = quantity(
        0.0, "what waste paper brings", unit="money/t", low=0, high=1e6
    )
    discount_rate: float = quantity(
        0.08, "discount rate a year", unit="1/year", low=0, high=1, typical=(0.04, 0.15)
    )
    person_cost_per_year: float = quantity(
        0.0,
        "wages of one more person at the line, all shifts of the year",
        unit="money/year",
        low=0,
        high=1e9,
    )
    wrapper_price: float = quantity(
        0.0, "one more wrapper, installed", unit="money", low=0, high=1e12
    )
    wrapper_cost_per_year: float = quantity(
        0.0, "running cost of one more wrapper", unit="money/year", low=0, high=1e12
    )
