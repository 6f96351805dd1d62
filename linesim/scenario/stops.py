"""Stop causes: one shape for all of them.

A cause falls due on a meter that moves only with its station (operation-dependent), or by the
clock.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from pydantic import Field, model_validator

from linesim.scenario.end_of_line import END_OF_LINE
from linesim.scenario.fields import Figures, Name, Table, quantity
from linesim.scenario.known_causes import KNOWN_CAUSES
from linesim.scenario.laws import AnyLaw, Law

WEB_STATIONS = (
    "unwind",
    "web_path",
    "slitter",
    "cutter",
    "gate",
    "overlap_belt",
    "pockets",
)
"""Stations that move as one with the webs, as the paper meets them."""

STATIONS = (*WEB_STATIONS, "transfer", "bridge", "wrapper", *END_OF_LINE)

BY_PLAN = ", by plan"
"""Behind the name of a cause in the accounts: the part was changed by plan, it had not failed."""

PART_PRICES = ("change_price", "failure_price")
"""What parts cost: the line runs the same, whatever it is."""

METERS = ("every_running_h", "every_web_km", "every_cuts", "every_reams", "every_clock_h")


def figures_brought(stop: Mapping[str, Any]) -> dict[str, Any]:
    """What a cause brings that is known by its name; no interval where one is given."""
    cause = stop.get("cause")
    known = KNOWN_CAUSES.get(cause, {}) if isinstance(cause, str) else {}
    own_meter = any(meter in stop for meter in METERS)
    return {k: v for k, v in known.items() if not (own_meter and k in METERS)}


class Stop(Figures):
    """One stop cause. Give exactly one of the ``every_...`` fields: the meter it falls due on."""

    cause: Name = quantity(...)
    """name of the cause; a known cause brings its own figures"""
    station: str = quantity(
        ...,
        example="wrapper",
        help_text="station that stops: " + ", ".join(STATIONS) + ", or the name of one wrapper",
    )
    every_running_h: Law | None = quantity(None, "h")
    """interval in hours in which the station moves"""
    every_web_km: Law | None = quantity(None, "km")
    """interval in kilometres of web"""
    every_cuts: Law | None = quantity(None, "cuts")
    """interval in cuts"""
    every_reams: Law | None = quantity(None, "reams")
    """interval in reams of the station"""
    every_clock_h: Law | None = quantity(None, "h")
    """interval in clock hours: it happens to a standing station too"""
    since_last: float | None = quantity(
        None, legal=(0, 1e9), label="meter run since it last happened"
    )
    """how far the meter of the interval has come since it last happened, in the unit of the
    interval, when the run starts; unless given, as [start] says"""
    restore_min: Law = quantity(..., "min", label="time to restore")
    """time to restore, once people are there"""
    people: int = quantity(1, "people", (0, 20), label="people needed")
    """people needed"""
    priority: int | None = quantity(None, legal=(1, 9), label="priority of the work")
    """priority of the job; unless given, by what stands"""
    planned: bool = quantity(False, label="planned, not a breakdown")
    """planned work (a knife change): set-up, not a breakdown"""
    changed_every: float | None = quantity(
        None, legal=(None, 1e9), above=0, label="changed by plan every"
    )
    """a wearing part is changed when it has been in use for so long, in the unit of the interval,
    unless it fails before; after either it is new. Unless given, it runs to failure"""
    change_min: Law | None = quantity(None, "min", label="time of a planned change")
    """time of a planned change, once people are there; it spoils nothing"""
    change_people: int | None = quantity(
        None, "people", (0, 20), label="people for a planned change"
    )
    """people for a planned change; unless given, as many as for a failure"""
    change_price: float | None = quantity(
        None, "money", (0, 1e9), label="parts for a planned change"
    )
    """what the parts of a planned change cost; unless given, nothing"""
    failure_price: float | None = quantity(None, "money", (0, 1e9), label="parts for a failure")
    """what parts and damage of a failure cost, beside the time; unless given, nothing"""
    per_web: bool = quantity(False, label="each web has its own")
    """every web has this cause of its own"""
    spoils_cuts: int = quantity(0, "cuts", (0, 1_000_000), label="cuts rejected at the restart")
    """cuts to reject at the restart, besides those of every stop"""
    spoils_web_m: float = quantity(0.0, "m", (0, 10000), label="paper lost on each web")
    """metres lost on every web"""
    spoils_pockets: bool = quantity(False, label="pockets are lost")
    """the content of the pockets is lost"""
    spoils_reams: int = quantity(0, "reams", (0, 1000), label="reams lost at the station")
    """reams at the station that are lost or spoiled"""
    rarer_price: float | None = quantity(None, "money", (0, 1e12), label="price of rarer stops")
    """what it costs, once, to have it as much rarer as rarer_percent in [levers] says"""
    shorter_price: float | None = quantity(None, "money", (0, 1e12), label="price of shorter stops")
    """what it costs, once, to have it mended as much sooner as shorter_percent in [levers] says"""
    note: str = quantity("", label="where the figures come from")
    """where the figures come from"""

    @model_validator(mode="before")
    @classmethod
    def _known_cause_brings_its_figures(cls, data: Any) -> Any:
        return figures_brought(data) | data if isinstance(data, dict) else data

    @model_validator(mode="after")
    def _one_meter(self) -> Stop:
        given = [meter for meter in METERS if getattr(self, meter) is not None]
        if len(given) != 1:
            raise ValueError(
                f"give exactly one of {', '.join(METERS)}" + (f", not {given}" if given else "")
            )
        return self

    quiet: ClassVar[tuple[str, ...]] = (
        *Figures.quiet,
        "changed_every",
        "change_min",
        "change_people",
        *PART_PRICES,
        "rarer_price",
        "shorter_price",
    )

    @property
    def meter(self) -> str:
        """Name of the field that holds the interval."""
        return next(meter for meter in METERS if getattr(self, meter) is not None)

    @property
    def interval(self) -> Any:
        """Law of the interval, in the unit of its meter."""
        return getattr(self, self.meter)

    @property
    def mean_between(self) -> float:
        """Mean interval from one stop to the next, changes by plan among them, on its meter."""
        law: AnyLaw = self.interval
        every = self.changed_every
        return law.average() if every is None else law.mean_up_to(every)

    @property
    def chance_to_fail(self) -> float:
        """Chance that a part fails before it is changed by plan; 1 where there is no plan."""
        law: AnyLaw = self.interval
        return 1.0 if self.changed_every is None else law.below(self.changed_every)

    @property
    def people_to_change(self) -> int:
        """People for a change by plan."""
        return self.people if self.change_people is None else self.change_people


class ForcedStop(Table):
    """A stop that someone asks for: at this station, at this moment, so long."""

    station: str = Field(description="station, or name of a wrapper")
    at_h: float = Field(description="start, hours after the run starts", ge=0, le=1e6)
    minutes: float = Field(description="length of the standstill", gt=0, le=1e6)
    cause: Name = "forced stop"
