"""What only a carton packer has: blanks in a magazine, and cartons that come out spoiled.

A person fills the magazine while the packer runs on; where the last blank is used before that is
done, it stands. A spoiled carton is packed again: its reams are in their wraps, and whole.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesim.line import told
from linesim.line.accounts import CHANGEOVER, WAITING_PEOPLE, count_stop
from linesim.line.chance import Stream, draw, first_draw
from linesim.line.clock import NEVER, REFILLED
from linesim.line.crew import ask, hurry
from linesim.line.end_station import EndStation
from linesim.line.line import Line, Site
from linesim.line.machine import (
    ON_WEBS,
    Stoppage,
    end_stop,
    new_stoppage,
    show_stoppage,
    stand_for,
)
from linesim.record.states import Kind
from linesim.scenario.people import way_to, who_can
from linesim.scenario.units import MINUTE


@dataclass(slots=True)
class Cartons:
    """Those of one packer. What falls due is counted in cartons closed."""

    spoils: Stream
    """Cartons from one spoiled to the next."""
    spoil_due: int
    magazine: int
    """Blanks in a full one."""
    refill_from: int
    """Blanks left when it is to be filled."""
    refill_times: Stream
    people: int
    refill_due: int
    """When it is to be filled; NEVER: it has been asked for."""
    empty_due: int
    """When the last blank is used; NEVER: there are always enough."""
    stop: Stoppage
    """For want of blanks; its job is to fill the magazine."""
    closed: int = 0
    """Spoiled ones, too."""
    stands: bool = False
    """The packer does, for want of blanks."""


def new_cartons(site: Site, which: int) -> Cartons:
    """Those of the so-manieth packer."""
    table, chance = site.scenario.carton_packer[which], site.chance
    name = table.name
    stop = new_stoppage(which, station=site.stations.index(name))
    stop.job.alarm.what = REFILLED
    stop.job.who = who_can(site.scenario, "blanks", "carton_packer", name)
    stop.job.place_ns = way_to(site.scenario, name)
    cartons = Cartons(chance.none(), NEVER, NEVER, 0, chance.none(), 0, NEVER, NEVER, stop)
    spoiled = table.spoiled_per_10000 / 10_000
    if spoiled > 0:
        cartons.spoils = chance.gaps(spoiled, name, "spoiled")
        cartons.spoil_due = first_draw(cartons.spoils)
    if table.magazine_blanks is not None:
        there = cartons.magazine = table.magazine_blanks
        if site.scenario.start.state != "new":
            # A magazine is met with anything from one blank to all of them.
            there = max(1, math.ceil(chance.uniform(name, "blanks", "at start") * there))
        cartons.refill_from = table.refill_at_blanks
        cartons.refill_times = chance.stream(table.refill_min, MINUTE, name, "refill")
        cartons.people = table.refill_people
        cartons.empty_due = there
        cartons.refill_due = there - table.refill_at_blanks
        stop.cause = site.causes.number("no blanks", Kind.SET_UP)
        stop.working = CHANGEOVER
        stop.state = WAITING_PEOPLE
    return cartons


def carton_closed(line: Line, cartons: Cartons) -> bool:
    """One more is closed; whether it is spoiled."""
    cartons.closed += 1
    if cartons.closed < cartons.spoil_due:
        return False
    cartons.spoil_due = cartons.closed + max(1, draw(line, cartons.spoils))
    line.book.cartons_spoiled += 1
    return True


def blanks_left(cartons: Cartons) -> int:
    """Cartons until somebody is asked for blanks, or there are none."""
    return min(cartons.refill_due, cartons.empty_due) - cartons.closed


def use_blank(line: Line, cartons: Cartons, packer: EndStation, at_ns: int) -> None:
    """A carton is closed: there is one blank less."""
    if blanks_left(cartons) > 0:
        return
    told.at_this_moment(line, at_ns)
    if cartons.closed >= cartons.refill_due:
        cartons.refill_due = NEVER
        time_ns = draw(line, cartons.refill_times)
        ask(line, cartons.stop.job, cartons.people, line.crew.priority_prepare, time_ns, False)
    if cartons.closed >= cartons.empty_due:
        cartons.stands = True
        count_stop(line, packer.station, cartons.stop.cause)
        stand_for(line, packer, cartons.stop)
        hurry(line, cartons.stop.job, line.crew.priority_standing_wrapper)
        told.show(line)


def show_refill(line: Line, cartons: Cartons, waits: bool) -> None:
    """People fill the magazine, or have left that for something else."""
    if cartons.stands:
        show_stoppage(line, cartons.stop, waits)
    else:
        cartons.stop.state = WAITING_PEOPLE if waits else CHANGEOVER


def refilled(line: Line, cartons: Cartons) -> None:
    """The magazine is full."""
    told.settle(line)
    cartons.empty_due = cartons.closed + cartons.magazine
    cartons.refill_due = cartons.empty_due - cartons.refill_from
    cartons.stop.state = WAITING_PEOPLE
    if cartons.stands:
        cartons.stands = False
        end_stop(line, line.machines[cartons.stop.station - ON_WEBS], cartons.stop)
    else:
        told.plan_packing(line)
