"""The tables of the scenario as a whole: people, time and money."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from linesim.scenario.currency import NAME
from linesim.scenario.fields import Figures, Name, quantity
from linesim.scenario.order_tables import MOMENT, moment


class LineTable(Figures):
    """What the scenario is called and whether its figures are invented."""

    name: Name = quantity("unnamed line")
    """name of the line or of this variant"""
    note: str = quantity("", label="what it is for")
    """what this scenario is for"""
    invented: bool = quantity(False, label="invented figures")
    """true for demo data that describes no real line"""
    shift_hours: float = quantity(8.0, "h", (0.01, 24), usual=(8, 12), label="length of a shift")
    """length of a shift; what a run covers unless told"""
    minor_stop_minutes: float = quantity(
        5.0, "min", (0, 120), usual=(2, 10), label="a minor stop is shorter than"
    )
    """a standstill shorter than this is a minor stop"""


class Start(Figures):
    """The state in which a run begins to count."""

    state: Literal["as_found", "new"] = quantity(
        "as_found", label="how the line is when a run starts"
    )
    """as_found: as the line is found on any day, everything part used, after a run-in that is not
    counted; new: as after an overhaul, every meter at zero, rolls and reels full, bridge empty"""
    run_in_h: float = quantity(
        4.0, "h", (0, 10000), usual=(2, 24), label="run-in before counting begins"
    )
    """hours that are run before counting begins, on shifts end to end; none before orders, which
    begin on an empty line"""


class Crew(Figures):
    """The people who run the line.

    A job for which something stands comes before one for which nothing stands. Within each kind
    jobs go by priority, then by time.
    """

    size: int = quantity(3, "people", (0, 100), usual=(2, 6), label="people at the line")
    """people at the line on every shift, who can do everything; groups come besides them"""
    priority_standing_line: int = quantity(
        1, legal=(1, 9), label="priority of work while webs stand"
    )
    """priority of a job for which the webs stand (1 is first)"""
    priority_standing_wrapper: int = quantity(
        2, legal=(1, 9), label="priority of work while wrapping stands"
    )
    """priority of a job for which transfer, bridge, a wrapper or a station behind them stands"""
    priority_prepare: int = quantity(5, legal=(1, 9), label="priority of preparing a stand")
    """priority of preparing a stand, of filling a magazine with blanks, of fetching a pallet"""
    priority_rework: int = quantity(8, legal=(1, 9), label="priority of rework")
    """priority of rework"""
    lay_work_down: bool = quantity(True, label="work is laid down for what stands")
    """preparing a stand, re-wrapping and the like are laid down when something stands and nobody
    else is free for it, and taken up again afterwards"""
    work_at_shift_end: Literal["handed_over", "finished"] = quantity(
        "handed_over", label="work in hand at the end of a shift"
    )
    """work in hand when a shift ends: handed over, and taken up when the next shift begins; or
    finished first by those who began it"""
    walk_m_per_s: float | None = quantity(
        None, "m/s", (0.05, 20), usual=(0.8, 1.4), label="how fast people walk"
    )
    """how fast people walk from one job to the next along the line, with the places of stations in
    [[station_place]]; 1 m/s is common practice, no source; unless given, no way takes time"""

    quiet = (*Figures.quiet, "walk_m_per_s")


class CrewGroup(Figures):
    """People who come besides the size of the crew: on some shifts, or for some kinds of work."""

    name: Name = quantity(...)
    """what they are called"""
    number: int = quantity(1, "people", (0, 100), usual=(1, 4), label="people in it")
    """people in the group"""
    can: str | None = quantity(None, pattern=r"^[^\x00-\x1f]+$", label="what they can do")
    """what they can do, with commas between: kinds of work (reels, prepare, rethread, rolls,
    blanks, pallets, truck, rework, change-over), stations and stop causes; unless given,
    everything"""
    first_shift: int | None = quantity(None, legal=(1, 24), label="from shift")
    """first shift of the day on which they are there; unless given, the first there is"""
    last_shift: int | None = quantity(None, legal=(1, 24), label="to shift")
    """last shift of the day on which they are there; unless given, the last there is"""
    first_day: int | None = quantity(None, legal=(1, 7), label="from day")
    """first day of the week on which they are there, 1 is the day on which a run starts; unless
    given, the first"""
    last_day: int | None = quantity(None, legal=(1, 7), label="to day")
    """last day of the week on which they are there; unless given, the last"""
    wage_per_h: float | None = quantity(
        None, "money/h", (0, 1e6), usual=(15, 60), label="wages for an hour"
    )
    """wages of one of them for an hour on shift, what is added at night or at weekends in it;
    unless given, as [money] says"""

    quiet = (*Figures.quiet, "wage_per_h")

    @property
    def skills(self) -> tuple[str, ...]:
        """What they can do, word by word; nothing for everything."""
        return () if self.can is None else tuple(word.strip() for word in self.can.split(","))

    def is_there(self, day: int, shift: int) -> bool:
        """Whether they are, on the so-manieth shift of a day of the week; both count from 1."""
        days = (self.first_day or 1) <= day <= (self.last_day or 7)
        return days and (self.first_shift or 1) <= shift <= (self.last_shift or 24)


class StationPlace(Figures):
    """Where a station stands, for the ways people walk. One that has none stands at 0 m."""

    name: Name = quantity(..., label="station")
    """the station, or rework for the table of spoiled reams"""
    at_m: float = quantity(..., "m", (0, 2000), usual=(0, 80), label="place along the line")
    """way along the line to where people work at it, from the beginning of the line"""


class Break(Figures):
    """A pause of the crew."""

    start_h: float = quantity(..., "h", (0, 24), label="begins, into the shift")
    """start, hours into the shift"""
    minutes: float = quantity(..., "min", (0.01, 720), usual=(10, 45), label="length")
    """length"""
    line: Literal["stands", "relieved"] = quantity("stands", label="the line meanwhile")
    """whether the line stands or is relieved meanwhile"""


class PlannedWork(Figures):
    """Planned maintenance or cleaning, on the calendar."""

    name: Name = quantity(..., label="what is done")
    """what is done"""
    start_h: float = quantity(..., "h", (0, 100000), label="first start")
    """first start, hours after the run starts"""
    every_h: float | None = quantity(None, "h", (0.01, 100000), usual=(8, 168), label="again after")
    """repeated after so many hours"""
    minutes: float = quantity(..., "min", (0.01, 20000), label="length")
    """length"""
    people: int = quantity(0, "people", (0, 20), label="people it takes")
    """people it takes while it lasts"""


class Holiday(Figures):
    """Days on which no shift begins; one that began the day before is finished."""

    name: Name = quantity(...)
    """what the day is"""
    day: int = quantity(..., legal=(1, 4000), label="number of the day")
    """number of the day; 1 is the day that begins as the run does"""
    days: int = quantity(1, "days", (1, 60), label="how many days")
    """days on end"""


class Calendar(Figures):
    """Shifts, breaks and planned work. Without it the line is manned all the time."""

    starts: str | None = quantity(
        None,
        pattern=MOMENT,
        example="2026-03-02 06:00",
        label="date and time of the start",
    )
    """date and time at which a run starts, such as 2026-03-02 06:00; for dates
    in reports, dates of orders, and to find the place of the plant's counts"""

    shifts_per_day: int | None = quantity(None, "shifts/day", (1, 24), label="shifts a day")
    """shifts worked each day; unless given, as many as fit in 24 h"""
    days_per_week: int = quantity(7, "days/week", (1, 7), label="days a week")
    """days worked each week, from the first"""

    @property
    def start(self) -> dt.datetime | None:
        """When a run starts, None where that is not said. ``ValueError`` for no such day."""
        return moment(self.starts)


class Money(Figures):
    """What paper, time and machines cost; all in one currency."""

    currency: str | None = quantity(None, pattern=NAME, example="EUR", label="currency")
    """what all money is in: an ISO 4217 code, or another short word without digits"""
    contribution_per_ream: float = quantity(
        0.0, "money/ream", (0, 1e6), label="contribution of a ream"
    )
    """price less everything that rises with each ream: its paper with the trim, its wrapping"""
    ream_place_cost: float = quantity(
        0.0, "money/place", (0, 1e9), label="cost of a place on the bridge"
    )
    """cost of one more place on the bridge"""
    conveyor_place_cost: float | None = quantity(
        None, "money/place", (0, 1e9), label="cost of a place behind the wrappers"
    )
    """cost of one more place for a ream before outfeed or carton packer"""
    carton_place_cost: float | None = quantity(
        None, "money/place", (0, 1e9), label="cost of a place for a carton"
    )
    """cost of one more place on the belt before the palletiser"""
    buffer_fixed_cost: float | None = quantity(
        None, "money", (0, 1e12), label="cost of making a buffer longer at all"
    )
    """what it costs to make a buffer longer at all, by however many places: plans, moving what
    stands in the way; unless given, nothing"""
    demand_reams_per_year: float | None = quantity(
        None, "reams/year", (0, 1e12), label="what the market takes"
    )
    """what the market takes; unless given, everything is sold"""
    hours_per_year: float = quantity(
        6000.0, "h/year", (1, 8784), usual=(3500, 8400), label="manned hours"
    )
    """hours the line is manned in a year"""
    paper_cost_per_t: float = quantity(0.0, "money/t", (0, 1e6), label="cost of paper")
    """paper"""
    repulp_value_per_t: float = quantity(0.0, "money/t", (0, 1e6), label="worth of waste paper")
    """what waste paper brings"""
    discount_rate: float = quantity(
        0.08, "1/year", (0, 1), usual=(0.04, 0.15), label="discount rate"
    )
    """discount rate a year, real and before tax: what is asked for money, less inflation"""
    person_cost_per_year: float = quantity(
        0.0, "money/year", (0, 1e9), label="wages of one more person"
    )
    """wages of one more person at the line, all shifts of the year"""
    wage_per_h: float | None = quantity(
        None, "money/h", (0, 1e6), usual=(15, 60), label="wages for an hour"
    )
    """wages of a person for an hour on shift, whether the line runs or not; one more person costs
    them for all manned hours; in place of person_cost_per_year"""
    wrapper_price: float = quantity(0.0, "money", (0, 1e12), label="price of one more wrapper")
    """one more wrapper, installed"""
    wrapper_cost_per_year: float = quantity(
        0.0, "money/year", (0, 1e12), label="running cost of one more wrapper"
    )
    """running cost of one more wrapper, its energy in it"""
    carton_packer_price: float | None = quantity(
        None, "money", (0, 1e12), label="price of one more carton packer"
    )
    """one more carton packer, installed"""
    carton_packer_cost_per_year: float | None = quantity(
        None, "money/year", (0, 1e12), label="running cost of one more carton packer"
    )
    """running cost of one more carton packer, its energy in it; unless given, nothing"""
    energy_price_per_kwh: float | None = quantity(
        None, "money/kWh", (0, 1e6), usual=(0.05, 0.4), label="price of energy"
    )
    """price of energy, for the report; not taken off the contribution of a ream"""

    quiet = (
        *Figures.quiet,
        "currency",
        "wage_per_h",
        "energy_price_per_kwh",
        "conveyor_place_cost",
        "carton_place_cost",
        "buffer_fixed_cost",
        "carton_packer_price",
        "carton_packer_cost_per_year",
    )
