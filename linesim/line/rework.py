"""The rework table: spoiled wraps are opened and wrapped again by hand, when people have time."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import told
from linesim.line.chance import Stream, draw, falls
from linesim.line.clock import REWRAPPED
from linesim.line.crew import Job, ask, new_job
from linesim.line.history import note
from linesim.line.line import Line, Site
from linesim.line.typed import Row, add, shorten
from linesim.scenario.people import way_to, who_can
from linesim.scenario.units import MINUTE


@dataclass(slots=True)
class Place:
    """One on the table, with the ream that lies there."""

    job: Job
    saved: bool = False
    """It will be good."""
    product: int = 0
    """Of the so-manieth product made."""


@dataclass(slots=True)
class Rework:
    """So many places; a ream that finds none is repulped."""

    people: int
    places: Row[Place]
    free: Row[int]
    """Places without a ream."""
    times: Stream
    saves: Stream
    lying: int = 0
    product: int = 0
    """How many products were made before this one."""


def new_rework(site: Site) -> Rework:
    table = site.scenario.rework
    who = who_can(site.scenario, "rework")
    place_ns = way_to(site.scenario, "rework")
    places = [Place(new_job(REWRAPPED, i, who, place_ns)) for i in range(table.places)]
    return Rework(
        people=table.people,
        places=Row("reams on the rework table", table.places, places),
        free=Row("reams on the rework table", table.places, range(table.places)),
        times=site.chance.stream(table.rewrap_min, MINUTE, "rework", "time"),
        saves=site.chance.coin(table.good_chance, "rework", "saved"),
    )


def bring(line: Line) -> None:
    rework = line.rework
    last = len(rework.free) - 1
    if last < 0:
        line.book.repulped += 1
        return
    rework.lying += 1
    place = rework.places[rework.free[last]]
    shorten(rework.free, last)
    length_ns = draw(line, rework.times)
    place.saved = falls(line, rework.saves)
    place.product = rework.product
    ask(line, place.job, rework.people, line.crew.priority_rework, length_ns, False)


def rewrapped(line: Line, number: int) -> None:
    """The ream on this place has been wrapped again, or is not worth it."""
    rework = line.rework
    place = rework.places[number]
    rework.lying -= 1
    add(line, rework.free, number)
    if place.saved:
        line.book.reworked += 1
        if line.keeps:
            note(line, line.history.saved, line.now_ns)
        told.saved(line, place.product)
    else:
        line.book.repulped += 1
