"""The tables of what is made: grades and sizes by name, orders, and the work between them."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from linesim.scenario.fields import Figures, Name, quantity
from linesim.scenario.laws import Law, lognormal

OF_PAPER = ("grammage_g_per_m2", "thickness_um")
MOMENT = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}[ T][0-9]{2}:[0-9]{2}$"
"""What a date and time look like."""
MOMENT_WANTED = 'year, month, day, hour and minute, such as "2026-03-05 14:00"'
"""The same for people."""
OF_SHEET = ("sheet_width_mm", "sheet_length_mm")
"""Figures that a grade and a size say."""


class Limits(Figures):
    """How fast what a grade or a size is made of may be run; nothing said: as fast as rated."""

    web_speed_m_per_min: float | None = quantity(
        None, "m/min", (0.01, 100000), usual=(100, 350), label="highest web speed"
    )
    """highest web speed; unless given, or where [cutter] is slower, that of [cutter]"""
    wrapper_rate_reams_per_min: float | None = quantity(
        None, "reams/min", (0.001, 1e7), usual=(10, 70), label="highest speed of a wrapper"
    )
    """highest speed of each wrapper that has a rated speed; a wrapper that catches up is faster by
    the same factor as ever"""
    packer_rate_cartons_per_min: float | None = quantity(
        None, "cartons/min", (0.001, 1e7), usual=(5, 20), label="highest speed of the carton packer"
    )
    """highest speed of the carton packer"""

    quiet = (
        *Figures.quiet,
        "web_speed_m_per_min",
        "wrapper_rate_reams_per_min",
        "packer_rate_cartons_per_min",
    )


class Grade(Limits):
    """A paper by name: what [product] and orders that name it are of."""

    name: Name = quantity(...)
    """name of the grade"""
    grammage_g_per_m2: float | None = quantity(None, "g/m2", (20, 600), usual=(60, 160))
    """grammage; unless given, as [product] says"""
    thickness_um: float | None = quantity(None, "um", (20, 1000), usual=(75, 200))
    """thickness; unless given, as [product] says"""
    breaks_per_100_reels: float | None = quantity(
        None, "1/100 reels", (0, 2000), usual=(1, 10), label="web breaks"
    )
    """web breaks per 100 fresh reels of this grade, of nominal diameter, at the reference speed;
    unless given, as many a kilometre as [web_path] says of the thickness of [product]"""


class Size(Limits):
    """A sheet size by name, with the lanes it is made in."""

    name: Name = quantity(...)
    """name of the size"""
    sheet_width_mm: float | None = quantity(None, "mm", (50, 1500), usual=(210, 305))
    """sheet width; unless given, as [product] says"""
    sheet_length_mm: float | None = quantity(None, "mm", (50, 2000), usual=(210, 432))
    """sheet length; unless given, as [product] says"""
    lanes: int | None = quantity(None, "lanes", (1, 20), usual=(2, 8))
    """lanes; unless given, as [slitter] says"""


class Changeover(Figures):
    """Times between orders, by what changes."""

    grade_min: Law = quantity(
        lognormal(15, 4), "min", usual=(8, 40), label="time for another grade"
    )
    """another grade: new reels on every stand"""
    size_min: Law = quantity(
        lognormal(40, 10), "min", usual=(20, 90), label="time for another sheet size"
    )
    """another sheet size"""
    lanes_min: Law | None = quantity(None, "min", usual=(15, 60), label="time for other lanes")
    """other lanes or sheet width, the sheet length as before; unless given, as size_min"""
    wrapping_min: Law | None = quantity(
        None, "min", usual=(5, 30), label="time for other wrapping alone"
    )
    """another size by name, of the same sheet and lanes: the wrappers alone are set; unless given,
    as size_min"""
    grade_with_size: Literal["meanwhile", "afterwards"] = quantity(
        "meanwhile", label="grade and size together: reels"
    )
    """where grade and size change together: when the reels are changed"""
    people: int = quantity(2, "people", (0, 20), label="people for a change-over")
    """people for a change-over"""
    part_reels: Literal["left", "taken_again"] = quantity("left", label="part reels in the store")
    """part reels that went back to the store at a change of grade: left there, or taken again,
    before fresh ones, when their web runs that grade again; what is too short to run is left"""

    quiet = (*Figures.quiet, "wrapping_min", "part_reels")


class ChangeoverPair(Figures):
    """What it takes from one grade to another, or from one size to another: in that direction."""

    before: Name = quantity(..., label="from")
    """grade or size that was made before"""
    after: Name = quantity(..., label="to")
    """grade or size that is made afterwards"""
    time_min: Law = quantity(..., "min", usual=(5, 120), label="time it takes")
    """time it takes, in place of the time that [changeover] says"""
    people: int | None = quantity(None, "people", (0, 20), label="people it takes")
    """people it takes; unless given, as [changeover] says"""

    @property
    def name(self) -> str:
        """What it goes by in all variants of a line."""
        return f"{self.before} to {self.after}"


class Order(Figures):
    """One order of the sequence; what is left out stays as in [product] and [slitter]."""

    name: Name = quantity(...)
    """name of the order"""
    reams: int = quantity(..., "reams", (1, 100_000_000), label="reams to make")
    """good reams to make"""
    grade: Name | None = quantity(None)
    """name of a grade; unless given, that of [product], if the order says no figures of a paper"""
    size: Name | None = quantity(None)
    """name of a size; unless given, that of [product], if the order says no figures of a sheet"""
    due_h: float | None = quantity(None, "h", (None, 100000), above=0)
    """due, hours after the run starts"""
    due: str | None = quantity(None, pattern=MOMENT, example="2026-03-05 14:00", label="due on")
    """due date and time, such as 2026-03-05 14:00; [calendar] says when a run starts"""
    released_h: float | None = quantity(None, "h", (0, 100000), label="released")
    """released, hours after the run starts: it is not begun before; unless given, at once"""
    released: str | None = quantity(
        None, pattern=MOMENT, example="2026-03-03 06:00", label="released on"
    )
    """date and time of release, such as 2026-03-03 06:00; before the run starts: at once"""
    grammage_g_per_m2: float | None = quantity(None, "g/m2", (20, 600))
    """grammage"""
    thickness_um: float | None = quantity(None, "um", (20, 1000))
    """thickness"""
    sheet_width_mm: float | None = quantity(None, "mm", (50, 1500))
    """sheet width"""
    sheet_length_mm: float | None = quantity(None, "mm", (50, 2000))
    """sheet length"""
    lanes: int | None = quantity(None, "lanes", (1, 20))
    """lanes"""
    reel_width_mm: float | None = quantity(None, "mm", (50, 6000))
    """width of the web as bought; trim is what the lanes leave of it, whatever [slitter] says"""

    quiet = (
        *Figures.quiet,
        "reel_width_mm",
        "grade",
        "size",
        "due",
        "released_h",
        "released",
    )


def moment(text: str | None) -> dt.datetime | None:
    """A date and time as a file says it; None for none. ``ValueError`` for no such day."""
    return None if text is None else dt.datetime.fromisoformat(text)
