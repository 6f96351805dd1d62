"""What only a palletiser has: the pallet it fills, full ones that wait, and who takes them away."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import told
from linesim.line.accounts import CHANGEOVER, NO_CAUSE, count_stop
from linesim.line.chance import Stream, draw, first_draw, first_of_luck
from linesim.line.clock import FETCHED, NEVER, RANK_JOB, TRUCK, Alarm, set_alarm
from linesim.line.crew import Job, ask, hurry, new_job
from linesim.line.end_station import EndStation
from linesim.line.line import Line, Site
from linesim.line.machine import begin_stop, begin_stoppage
from linesim.record.states import Kind
from linesim.scenario.people import way_to, who_can
from linesim.scenario.residual_life import residual_life
from linesim.scenario.units import MINUTE, SECOND


@dataclass(slots=True)
class Pallets:
    """Those of the one palletiser there may be."""

    cartons: int
    """On a full one; NEVER: there is no palletiser."""
    reams: int
    """In a carton."""
    places: int
    """For full ones; NEVER: they are gone at once."""
    change_times: Stream
    change_people: int
    change_cause: int
    waits_cause: int
    """Of a palletiser whose full pallet finds no place."""
    truck: Alarm
    truck_times: Stream
    truck_due: int
    """When the first comes."""
    truck_takes: int
    fetch: Job
    fetch_times: Stream
    fetch_people: int
    """0: nobody fetches them."""
    fetching: bool = False
    """It has been asked for."""
    on_it: int = 0
    """Cartons on the pallet that is being filled."""
    full: int = 0
    """Full ones that wait."""


def new_pallets(site: Site) -> Pallets:
    scenario, chance, none = site.scenario, site.chance, site.chance.none()
    table, name = scenario.palletiser, "palletiser"
    pallets = Pallets(
        cartons=NEVER,
        reams=1,
        places=NEVER,
        change_times=none,
        change_people=0,
        change_cause=NO_CAUSE,
        waits_cause=NO_CAUSE,
        truck=Alarm(RANK_JOB, TRUCK),
        truck_times=none,
        truck_due=NEVER,
        truck_takes=0,
        fetch=new_job(FETCHED, 0, who_can(scenario, "truck"), way_to(scenario, "palletiser")),
        fetch_times=none,
        fetch_people=0,
    )
    if table is None:
        return pallets
    pallets.cartons = table.cartons_per_pallet
    pallets.reams = scenario.end_of_line[name].reams
    pallets.change_times = chance.stream(table.change_s, SECOND, name, "change")
    pallets.change_people = table.change_people
    pallets.change_cause = site.causes.number("pallet change", Kind.SET_UP)
    if table.truck_every_min is not None:
        law = table.truck_every_min
        pallets.truck_times = chance.stream(law, MINUTE, name, "truck")
        if scenario.start.state == "new":
            pallets.truck_due = first_draw(pallets.truck_times)
        else:
            pallets.truck_due = first_of_luck(
                pallets.truck_times, MINUTE, lambda luck: residual_life(law, luck)
            )
        pallets.truck_takes = table.truck_takes_pallets
    if table.fetch_min is not None:
        pallets.fetch_times = chance.stream(table.fetch_min, MINUTE, name, "fetch")
        pallets.fetch_people = table.fetch_people
    if table.truck_every_min is not None or table.fetch_min is not None:
        pallets.places = table.full_pallet_places
        pallets.waits_cause = site.causes.number("full pallets wait", Kind.RATE)
    return pallets


def await_truck(line: Line) -> None:
    set_alarm(line, line.pallets.truck, line.pallets.truck_due)


def cartons_left(line: Line) -> int:
    """Cartons until the pallet is full; NEVER where it is, and stands in the way."""
    left = line.pallets.cartons - line.pallets.on_it
    return left if left > 0 else NEVER


def carton_laid(line: Line, palletiser: EndStation, at_ns: int) -> None:
    pallets = line.pallets
    pallets.on_it += 1
    if pallets.on_it < pallets.cartons:
        return
    told.at_this_moment(line, at_ns)
    if pallets.full < pallets.places:
        _set_off(line, palletiser)
        return
    palletiser.holding = True
    count_stop(line, palletiser.station, pallets.waits_cause)
    told.is_blocked(line, palletiser, palletiser.behind, at_ns)
    if pallets.fetching:
        hurry(line, pallets.fetch, line.crew.priority_standing_wrapper)


def _set_off(line: Line, palletiser: EndStation) -> None:
    """The full pallet finds a place: an empty one comes."""
    pallets = line.pallets
    pallets.on_it = 0
    line.book.pallets += 1
    if pallets.places < NEVER:
        pallets.full += 1
        _have_fetched(line)
    restore_ns, cause = draw(line, pallets.change_times), pallets.change_cause
    if restore_ns > 0 or pallets.change_people > 0:
        count_stop(line, palletiser.station, cause)
        stop = begin_stoppage(line, palletiser.station, cause, CHANGEOVER, restore_ns)
        stop.people = pallets.change_people
        stop.who = line.crew.who_changes_pallets
        stop.priority = line.crew.priority_standing_wrapper
        begin_stop(line, palletiser, stop)


def _have_fetched(line: Line) -> None:
    """Somebody is to fetch a full pallet, if people do and nobody has been asked."""
    pallets = line.pallets
    if pallets.fetch_people > 0 and pallets.full > 0 and not pallets.fetching:
        pallets.fetching = True
        time_ns = draw(line, pallets.fetch_times)
        ask(line, pallets.fetch, pallets.fetch_people, line.crew.priority_prepare, time_ns, False)


def pallet_fetched(line: Line) -> None:
    line.pallets.fetching = False
    _take(line, 1)
    _have_fetched(line)


def truck_comes(line: Line) -> None:
    """It takes what waits, as far as it can."""
    pallets = line.pallets
    _take(line, pallets.truck_takes)
    set_alarm(line, pallets.truck, line.now_ns + max(1, draw(line, pallets.truck_times)))


def _take(line: Line, most: int) -> None:
    told.settle(line)
    line.pallets.full -= min(line.pallets.full, most)
    palletiser = line.end_of_line[len(line.end_of_line) - 1]
    if palletiser.holding:
        _set_off(line, palletiser)
        told.go_on_behind(line, palletiser, line.now_ns)
        told.end_takes(line, palletiser, line.now_ns)
        told.room_before(line, palletiser.first, line.now_ns)
        told.plan_packing(line)
    told.show(line)
