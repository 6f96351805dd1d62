"""The whole scenario: every table of the file, checked field by field."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Any, Literal, Self

from pydantic import (
    BeforeValidator,
    Field,
    SerializerFunctionWrapHandler,
    model_serializer,
    model_validator,
)

from linesim.scenario import end_of_line as ends
from linesim.scenario import handling_tables as handling
from linesim.scenario import order_tables as orders
from linesim.scenario import running_tables as running
from linesim.scenario import sheeting_tables as sheeting
from linesim.scenario import wrapping_tables as wrapping
from linesim.scenario.fields import Table
from linesim.scenario.levers_table import Levers
from linesim.scenario.stops import Stop
from linesim.scenario.units import MINUTE

USUAL_LENGTH_M = 6.0
USUAL_LONGEST_M = 60.0
"""Common practice, no source: a line with its stands is 40 to 80 m long."""


MAY_STAND_ALONE = ("carton_packer",)
"""Lists of tables of which one alone may be given as a plain table."""


def as_list(value: Any) -> Any:
    """A plain table as the list of it alone; anything else as it is.

    >>> as_list({"name": "A"}), as_list([])
    (({'name': 'A'},), [])
    """
    return (value,) if isinstance(value, dict) else value


def _table(cls: type[Table], help_text: str, title: str | None = None) -> Any:
    return Field(default_factory=cls, description=help_text, title=title)


def _tables(help_text: str, title: str, most: int) -> Any:
    return Field((), description=help_text, title=title, max_length=most)


class Scenario(Table):
    """A line as its file describes it. Immutable; ``varied`` gives a changed copy."""

    format: Literal[1] = Field(1, description="version of the file format")
    line: running.LineTable = _table(running.LineTable, "name, shift, notes")
    start: running.Start = _table(running.Start, "the state a run starts in")
    product: sheeting.Product = _table(sheeting.Product, "sheet and ream")
    reels: sheeting.Reels = _table(sheeting.Reels, "the reels of paper")
    unwind: sheeting.Unwind = _table(sheeting.Unwind, "stands and reel changes")
    reel_truck: handling.ReelTruck | None = Field(
        None, description="trucks or cranes that bring reels", title="reel truck"
    )
    web_path: sheeting.WebPath = _table(sheeting.WebPath, "guiding, decurling, tension, web breaks")
    slitter: sheeting.Slitter = _table(sheeting.Slitter, "lanes and trim")
    cutter: sheeting.Cutter = _table(sheeting.Cutter, "cross-cutter, speed")
    gate: sheeting.Gate = _table(sheeting.Gate, "reject gate")
    overlap_belt: wrapping.OverlapBelt = _table(wrapping.OverlapBelt, "overlapped sheets")
    pockets: wrapping.Pockets = _table(wrapping.Pockets, "pockets")
    transfer: wrapping.Transfer = _table(wrapping.Transfer, "lifts full pockets to the bridge")
    bridge: wrapping.Bridge = _table(wrapping.Bridge, "buffer conveyor")
    wrapper: tuple[wrapping.Wrapper, ...] = Field(
        (wrapping.Wrapper(),), description="wrappers", title="wrappers", min_length=1, max_length=20
    )
    divert: wrapping.Divert = _table(wrapping.Divert, "which wrapper takes the next ream")
    rework: wrapping.Rework = _table(wrapping.Rework, "table for spoiled wraps")
    outfeed: ends.Outfeed | None = Field(None, description="boxing or pallets after the wrappers")
    carton_packer: Annotated[tuple[ends.CartonPacker, ...], BeforeValidator(as_list)] = Field(
        (), description="reams into cartons", title="carton packers", max_length=20
    )
    palletiser: ends.Palletiser | None = Field(None, description="cartons onto pallets")
    crew: running.Crew = _table(running.Crew, "people")
    crew_group: tuple[running.CrewGroup, ...] = _tables(
        "people on some shifts, or for some work", "groups of the crew", 30
    )
    station_place: tuple[running.StationPlace, ...] = _tables(
        "where stations stand, for the ways people walk", "places of stations", 60
    )
    calendar: running.Calendar = _table(running.Calendar, "shifts")
    rest: tuple[running.Break, ...] = Field(
        (), alias="break", description="breaks of the crew", title="breaks", max_length=50
    )
    holiday: tuple[running.Holiday, ...] = _tables("days without a shift", "holidays", 200)
    planned_work: tuple[running.PlannedWork, ...] = _tables(
        "maintenance and cleaning", "planned work", 200
    )
    grade: tuple[orders.Grade, ...] = _tables("papers by name", "grades", 200)
    size: tuple[orders.Size, ...] = _tables("sheet sizes by name", "sizes", 200)
    changeover: orders.Changeover = _table(orders.Changeover, "times between orders", "change-over")
    changeover_pair: tuple[orders.ChangeoverPair, ...] = _tables(
        "what single changes take", "change-overs from one to another", 2000
    )
    order: tuple[orders.Order, ...] = _tables("orders in sequence", "orders", 1000)
    stop: tuple[Stop, ...] = _tables("stop causes", "stop causes", 500)
    money: running.Money = _table(running.Money, "prices and costs")
    levers: Levers = _table(Levers, "what may be changed, and for how much")

    @model_validator(mode="after")
    def _product_by_name(self) -> Self:
        """Product and lanes that are not given are those of a grade and a size that it names."""
        for table, found in self._by_name().items():
            there = getattr(self, table)
            # They stay fields that are not given: what is made of this scenario names them, too.
            filled = there.model_construct(there.model_fields_set, **(there.__dict__ | found))
            self.__dict__[table] = filled
        return self

    @model_serializer(mode="wrap")
    def _names_for_figures(self, write: SerializerFunctionWrapHandler) -> dict[str, Any]:
        data: dict[str, Any] = write(self)
        for table, found in self._by_name().items():
            for name in found:
                data.get(table, {}).pop(name, None)
        return data

    def _by_name(self) -> dict[str, dict[str, Any]]:
        """By table: figures that are not given there, as a named grade or size says them."""
        grade = self.named("grade", self.product.grade)
        size = self.named("size", self.product.size)
        found: dict[str, dict[str, Any]] = {}
        for table, named, figures in (
            ("product", grade, orders.OF_PAPER),
            ("product", size, orders.OF_SHEET),
            ("slitter", size, ("lanes",)),
        ):
            given = getattr(self, table).model_fields_set
            for name in figures:
                value = getattr(named, name, None)
                if name not in given and value is not None:
                    found.setdefault(table, {})[name] = value
        return found

    def named(self, table: str, name: str | None) -> Any:
        """The grade or the size of that name; None where there is none."""
        return next((each for each in getattr(self, table) if each.name == name), None)

    def due_h(self, order: orders.Order) -> float | None:
        """Hours after the run starts at which an order is due; None: it has no due time."""
        return self._hours(order.due) if order.due is not None else order.due_h

    def released_h(self, order: orders.Order) -> float:
        """Hours after the run starts at which an order is released; 0: at once."""
        hours = self._hours(order.released) if order.released is not None else order.released_h
        return max(0.0, hours or 0.0)

    def _hours(self, text: str) -> float | None:
        """From the start of the run; None for a date that does not exist, or without a start."""
        try:
            at, start = orders.moment(text), self.calendar.start
        except ValueError:
            return None
        return None if at is None or start is None else (at - start).total_seconds() / 3600

    def varied(self, **changes: Any) -> Scenario:
        """A copy with tables replaced: ``varied(bridge={"places": 60})`` changes one field.

        A mapping changes single fields of a table, or of the one there is in a list; anything else
        replaces the table. The copy is checked; raises ``pydantic.ValidationError`` where a value
        is not legal.
        """
        data = self.model_dump(by_alias=True, exclude_unset=True)
        for table, change in changes.items():
            old = data.get(table)
            if table in MAY_STAND_ALONE and isinstance(change, dict) and len(old or ()) < 2:
                data[table] = ((old[0] if old else {}) | change,)
            elif isinstance(change, dict) and (old is None or isinstance(old, dict)):
                data[table] = (old or {}) | change
            else:
                data[table] = change
        return Scenario.model_validate(data)

    @property
    def end_of_line(self) -> dict[str, ends.Pieces]:
        """What the stations there are behind the wrappers work on, by name, as reams meet them."""
        found: dict[str, ends.Pieces] = {}
        reams, tables = 1, self.tables_behind
        for place, names in self.end_places.items():
            pieces = [tables[name].pieces(reams) for name in names]
            room = sum(each.room for each in pieces)
            for name, each in zip(names, pieces, strict=True):
                found[name] = replace(each, place=place, room=room)
                reams = each.reams
        return found

    @property
    def end_places(self) -> dict[str, tuple[str, ...]]:
        """The stations at each place behind the wrappers, by the name of its table."""
        there = {place: getattr(self, place) for place in ends.END_OF_LINE}
        return {
            place: tuple(each.name for each in table) if isinstance(table, tuple) else (place,)
            for place, table in there.items()
            if table
        }

    @property
    def tables_behind(self) -> dict[str, Any]:
        """The table of each station behind the wrappers, by its name."""
        there = ((place, getattr(self, place)) for place in ends.END_OF_LINE)
        found: dict[str, Any] = {}
        for place, table in there:
            if isinstance(table, tuple):
                found |= {each.name: each for each in table}
            elif table is not None:
                found[place] = table
        return found

    def stations_called(self, name: str) -> tuple[str, ...]:
        """The stations that a stop means: "wrapper" and "carton_packer" mean each there is."""
        if name == "wrapper":
            return tuple(wrapper.name for wrapper in self.wrapper)
        return self.end_places.get(name, (name,))

    @property
    def set_reams(self) -> int:
        """Reams in a set: one per lane."""
        return self.slitter.lanes

    @property
    def most_set_reams(self) -> int:
        """Reams in the largest set of all that is made."""
        return max([self.set_reams, *(self.lanes_of(order) for order in self.order)])

    def lanes_of(self, order: orders.Order) -> int:
        """Lanes in which an order is made: its own, those of a size it names, or as [slitter]."""
        named = self.named("size", order.size)
        return int(order.lanes or getattr(named, "lanes", None) or self.slitter.lanes)

    @property
    def bridge_places(self) -> int:
        """Reams that fit on the bridge, as given or from length, pitch and tracks."""
        if self.bridge.places is not None:
            return self.bridge.places
        return self.bridge.belt.places_within(self.bridge_length_m)

    @property
    def bridge_length_m(self) -> float:
        """Length in m that a ream travels: as given, or what the places take."""
        bridge = self.bridge
        if bridge.length_m is not None:
            return bridge.length_m
        return USUAL_LENGTH_M if bridge.places is None else bridge.belt.length_for(bridge.places)

    @property
    def bridge_travel_min(self) -> float:
        """Minutes that a ream travels over the bridge; 0 where travel takes no time."""
        speed = self.bridge.belt_speed_m_per_min
        return self.bridge_length_m / speed if speed > 0 else 0.0

    @property
    def bridge_travel_ns(self) -> int:
        """The same in ns, as the line has it."""
        return round(self.bridge_travel_min * MINUTE)
