"""The whole scenario: every table of the file, checked field by field."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from linesim.scenario import ends
from linesim.scenario.fields import Table
from linesim.scenario.running_tables import (
    Break,
    Calendar,
    Changeover,
    Crew,
    Holiday,
    LineTable,
    Money,
    Order,
    PlannedWork,
    Start,
)
from linesim.scenario.sheeting_tables import Cutter, Gate, Product, Reels, Slitter, Unwind, WebPath
from linesim.scenario.stops import Stop
from linesim.scenario.units import MINUTE
from linesim.scenario.wrapping_tables import (
    Bridge,
    Divert,
    OverlapBelt,
    Pockets,
    Rework,
    Transfer,
    Wrapper,
)

USUAL_LENGTH_M = 6.0
USUAL_LONGEST_M = 60.0
"""Common practice, no source: a line with its stands is 40 to 80 m long."""


def _table(cls: type[Table], help_text: str, title: str | None = None) -> Any:
    return Field(default_factory=cls, description=help_text, title=title)


def _tables(help_text: str, title: str, most: int) -> Any:
    return Field((), description=help_text, title=title, max_length=most)


class Scenario(Table):
    """A line as its file describes it. Immutable; ``varied`` gives a changed copy."""

    format: Literal[1] = Field(1, description="version of the file format")
    line: LineTable = _table(LineTable, "name, shift, notes")
    start: Start = _table(Start, "the state a run starts in")
    product: Product = _table(Product, "sheet and ream")
    reels: Reels = _table(Reels, "the reels of paper")
    unwind: Unwind = _table(Unwind, "stands and reel changes")
    web_path: WebPath = _table(WebPath, "guiding, decurling, tension, web breaks")
    slitter: Slitter = _table(Slitter, "lanes and trim")
    cutter: Cutter = _table(Cutter, "cross-cutter, speed")
    gate: Gate = _table(Gate, "reject gate")
    overlap_belt: OverlapBelt = _table(OverlapBelt, "overlapped sheets")
    pockets: Pockets = _table(Pockets, "pockets")
    transfer: Transfer = _table(Transfer, "lifts full pockets to the bridge")
    bridge: Bridge = _table(Bridge, "buffer conveyor")
    wrapper: tuple[Wrapper, ...] = Field(
        (Wrapper(),), description="wrappers", title="wrappers", min_length=1, max_length=20
    )
    divert: Divert = _table(Divert, "which wrapper takes the next ream")
    rework: Rework = _table(Rework, "table for spoiled wraps")
    outfeed: ends.Outfeed | None = Field(None, description="boxing or pallets after the wrappers")
    crew: Crew = _table(Crew, "people")
    calendar: Calendar = _table(Calendar, "shifts")
    rest: tuple[Break, ...] = Field(
        (), alias="break", description="breaks of the crew", title="breaks", max_length=50
    )
    holiday: tuple[Holiday, ...] = _tables("days without a shift", "holidays", 200)
    planned_work: tuple[PlannedWork, ...] = _tables("maintenance and cleaning", "planned work", 200)
    changeover: Changeover = _table(Changeover, "times between orders", "change-over")
    order: tuple[Order, ...] = _tables("orders in sequence", "orders", 1000)
    stop: tuple[Stop, ...] = _tables("stop causes", "stop causes", 500)
    money: Money = _table(Money, "prices and costs")

    def varied(self, **changes: Any) -> Scenario:
        """A copy with tables replaced: ``varied(bridge={"places": 60})`` changes one field.

        A mapping changes single fields of a table, anything else replaces the table. The copy is
        checked; raises ``pydantic.ValidationError`` where a value is not legal.
        """
        data = self.model_dump(by_alias=True, exclude_unset=True)
        for table, change in changes.items():
            old = data.get(table)
            if isinstance(change, dict) and (old is None or isinstance(old, dict)):
                data[table] = (old or {}) | change
            else:
                data[table] = change
        return Scenario.model_validate(data)

    @property
    def end_of_line(self) -> dict[str, ends.EndOfLine]:
        """Tables of the stations there are behind the wrappers, by name, as reams meet them."""
        tables = {name: getattr(self, name) for name in ends.END_OF_LINE}
        return {name: table for name, table in tables.items() if table is not None}

    @property
    def set_reams(self) -> int:
        """Reams in a set: one per lane."""
        return self.slitter.lanes

    @property
    def bridge_places(self) -> int:
        """Reams that fit on the bridge, as given or from length, pitch and tracks."""
        if self.bridge.places is not None:
            return self.bridge.places
        return self.bridge.places_within(self.bridge_length_m)

    @property
    def bridge_length_m(self) -> float:
        """Length in m that a ream travels: as given, or what the places take."""
        bridge = self.bridge
        if bridge.length_m is not None:
            return bridge.length_m
        return USUAL_LENGTH_M if bridge.places is None else bridge.length_for(bridge.places)

    @property
    def bridge_travel_min(self) -> float:
        """Minutes that a ream travels over the bridge; 0 where travel takes no time."""
        speed = self.bridge.belt_speed_m_per_min
        return self.bridge_length_m / speed if speed > 0 else 0.0

    @property
    def bridge_travel_ns(self) -> int:
        """The same in ns, as the line has it."""
        return round(self.bridge_travel_min * MINUTE)

    @property
    def longest_bridge_m(self) -> float:
        """The longest bridge in m that studies try: as given, or what a hall usually has."""
        if self.bridge.longest_m is not None:
            return self.bridge.longest_m
        return max(USUAL_LONGEST_M, self.bridge_length_m)

    @property
    def most_bridge_places(self) -> int:
        """Reams that fit on the longest bridge."""
        return max(self.bridge_places, self.bridge.places_within(self.longest_bridge_m))
