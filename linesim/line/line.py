"""The whole line, in the order in which the paper moves: its state in one record."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from linesim.line.typed import Aside, Ref, Row
from linesim.scenario import WEB_STATIONS, Scenario
from linesim.scenario.goods import Goods

if TYPE_CHECKING:
    from linesim.line.accounts import Accounts, CauseNames
    from linesim.line.books import Page
    from linesim.line.bridge import Bridge, Levels
    from linesim.line.calendar import Calendar
    from linesim.line.cartons import Cartons
    from linesim.line.causes import Cause
    from linesim.line.chance import Chance
    from linesim.line.clock import Alarm, Alarms
    from linesim.line.crew import Crew
    from linesim.line.end_station import EndStation
    from linesim.line.history import History
    from linesim.line.machine import Machine, Stoppages
    from linesim.line.orders import Orders
    from linesim.line.packing import Packing
    from linesim.line.pallets import Pallets
    from linesim.line.rework import Rework
    from linesim.line.transfer import Transfer
    from linesim.line.webs import Webs
    from linesim.line.wrapper import Wrapper
    from linesim.scenario.state_tables import LineState


@dataclass(slots=True)
class Forced:
    """A stop that somebody asked for."""

    alarm: Alarm
    at_ns: int
    station: int
    cause: int
    length_ns: int


@dataclass(slots=True)
class Line:
    """One line in one run. Times in ns since the run-in began, lengths in um."""

    now_ns: int
    given_up: int
    """Code of the rows that would have had to be longer; 0: all is well."""
    fault: int
    """A mistake of the rules; 0: none was found."""
    helper_at: int
    """For compiled code: the address of ``helper``."""
    helper: Aside[Callable[[int, int], None]]
    """Asked for what only Python has; see ``outside``."""
    keeps: bool
    """A history is kept."""
    has_orders: bool
    products: Row[Goods]
    """Of every order; without orders there is one."""
    product: int
    goods: Ref[Goods]
    """What is made now."""
    alarms: Alarms
    crew: Crew
    stoppages: Stoppages
    webs: Webs
    transfer: Transfer
    bridge: Bridge
    levels: Levels
    packing: Packing
    wrappers: Row[Wrapper]
    end_of_line: Row[EndStation]
    cartons: Row[Cartons]
    pallets: Pallets
    rework: Rework
    orders: Orders
    calendar: Calendar
    forced: Row[Forced]
    causes: Row[Ref[Cause]]
    """All stop causes, by their places."""
    machines: Row[Ref[Machine]]
    accounts: Accounts
    history: History
    pages: Row[Page]
    """The books: a page for what was before the run, then one for each product made."""
    first_page: int
    """The first that counts; the one before it has what was on the line when counting began."""
    page: int
    book: Ref[Page]
    """The page of what is made now."""
    buckets: Row[int]
    """Good reams in equal parts of the counted time, ..."""
    buckets_from_ns: int
    """... which begin here, ..."""
    bucket_ns: int
    """... and are so long."""


@dataclass
class Site:
    """Where a line is put up."""

    scenario: Scenario
    chance: Chance
    causes: CauseNames
    goods: list[Goods]
    """Of every order in turn; without orders of the scenario's own product."""
    stations: tuple[str, ...]
    run_in_ns: int
    state: LineState | None = None
    """The state it starts from; None: as its scenario says."""
    zero_ns: int = 0
    """Of the line's own time: the moment that is 0 for the scenario and the record."""
    stop_causes: list[Cause] = field(default_factory=list)
    """Those of all stations put up so far."""
    more_stops: int = 0
    """Stops that there may be at once besides one for each cause."""


def station_names(scenario: Scenario) -> tuple[str, ...]:
    """All stations in the order in which the paper moves."""
    wrappers = tuple(wrapper.name for wrapper in scenario.wrapper)
    return (*WEB_STATIONS, "transfer", "bridge", *wrappers, *scenario.end_of_line)
