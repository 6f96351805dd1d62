"""What a study keeps of one run: whole numbers and a few fractions, as a line of text."""

from __future__ import annotations

import json
from dataclasses import dataclass, is_dataclass
from functools import lru_cache
from typing import Any, Self

from pydantic import TypeAdapter, ValidationError

from linesim.record import Record
from linesim.record.accounts import KNIVES, SLOWED_FOR, station_accounts
from linesim.record.constraint import Waits
from linesim.record.effectiveness import line_effectiveness
from linesim.record.paper_use import paper_use
from linesim.record.supplies import Supplies
from linesim.scenario.shifts import manned_ns
from linesim.scenario.units import HOUR
from linesim.studies.parts_used import parts_used
from linesim.studies.waiting import waits_in

UNITS = {
    "good_reams_per_hour": "reams/h",
    "oee": "1",
    "availability": "1",
    "performance": "1",
    "quality": "1",
    "waste_fraction": "1",
    "avoidable_waste_fraction": "1",
    "trim_and_surplus_fraction": "1",
}
"""Measures of a run and their units; 1 for a fraction."""

_MOST_HOURS = 1e6
_LARGEST = 2**63


@dataclass(frozen=True)
class Stood:
    """A stop cause at a station over a run."""

    station: str
    cause: str
    count: int
    ns: int


@dataclass(frozen=True)
class OrderTimes:
    """Moments of an order, ns after the run starts; None where the run ended before."""

    begun_ns: int | None
    """The line is ready for it."""
    cut_ns: int | None
    """Its last set is full."""
    wrapped_ns: int | None
    """Its last ream has left the wrappers."""


@dataclass(frozen=True)
class Foreseen:
    """What is foreseen, without a run, of a plant and its image: half of their difference.

    ``moved`` are natural logarithms of the net rates of the stations of the line, ``covariance`` is
    that of the same over all plants that agree with what is known.
    """

    moved: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class Outcome:
    """The output of one replication. Hours, kg and shares in floats, counts exact."""

    replication: int
    plant: int
    """0 for the line as stated; else the number of the plant that agrees with what is known of it,
    from 1, below 0 for its mirror image."""
    foreseen: Foreseen | None
    """Of that plant; None for the line as stated."""
    hours: float
    manned_hours: float
    good_reams: int
    measures: dict[str, float]
    """Good reams an hour, and shares of 0 to 1; see ``UNITS``."""
    state_hours: dict[str, dict[str, float]]
    """By station, then state."""
    slowed_h: dict[str, float]
    """Time in which the knives ran slowed, by what for: a run-up, a splice, the bridge's level."""
    stops: tuple[Stood, ...]
    waits: tuple[Waits, ...]
    avoidable_waste_kg: float
    """Paper wasted that is not part of the paper of a ream, as its trim is."""
    parts_cost: float
    """Money for the parts that failed or were changed by plan."""
    rejected_um: dict[str, int]
    buckets: tuple[int, ...]
    """Good reams in equal parts of the counted time, in order; empty unless asked for."""
    active_shares: dict[str, float]
    """Share of time a station was the momentary bottleneck alone; empty unless asked for."""
    orders: tuple[OrderTimes, ...]
    """In the sequence of the scenario."""
    supplies: Supplies
    """Reels and wrapping rolls taken for the orders."""

    @property
    def reams_per_week(self) -> float:
        """Good reams at this pace in a week of 168 hours of the line."""
        return self.good_reams / self.hours * 168

    @property
    def orders_made_ns(self) -> int | None:
        """When the last order was wrapped; None where there is none, or one was not made."""
        ends = [each.wrapped_ns for each in self.orders if each.wrapped_ns is not None]
        return max(ends) if ends and len(ends) == len(self.orders) else None

    def blocked_h(self, station: str = "sheeter") -> float:
        """Hours a station stood for want of room."""
        return self.state_hours[station]["blocked"]

    def text(self) -> str:
        """One line of JSON: the same run always gives the same bytes."""
        return json.dumps(self, default=vars, allow_nan=False, separators=(",", ":"))

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read what :meth:`text` wrote. Raises ``ValueError`` for anything else."""
        try:
            kind: Any = cls
            found: Self = _reader(kind).validate_json(text, strict=True)
        except ValidationError as error:
            first = error.errors(include_url=False)[0]
            where = ".".join(str(part) for part in first["loc"])
            raise ValueError(f"not the outcome of a run: {where}: {first['msg']}") from None
        if not 0 < found.hours <= _MOST_HOURS or not _finite(found):
            raise ValueError("not the outcome of a run: a number that none can have")
        return found


@lru_cache
def _reader(kind: type[Any]) -> TypeAdapter[Any]:
    return TypeAdapter(kind)


def _finite(value: Any) -> bool:
    """Whether every number in it is finite and fits the columns of a table."""
    if is_dataclass(value):
        return _finite(vars(value))
    if isinstance(value, dict):
        return all(_finite(each) for each in value.values())
    if isinstance(value, (list, tuple)):
        return all(_finite(each) for each in value)
    return not isinstance(value, (int, float)) or abs(value) < _LARGEST


def outcome_of(record: Record) -> Outcome:
    """The outcome of a run, without the longest active periods."""
    line, use, accounts = line_effectiveness(record), paper_use(record), station_accounts(record)
    hours, reams = record.hours, record.books.reams.good
    slowed = next(each.by_cause for each in accounts if each.station == KNIVES)
    stops = tuple(
        Stood(record.stations[s.station], record.causes[s.cause], s.count, s.ns)
        for s in record.stops
    )
    return Outcome(
        replication=record.replication,
        plant=0,
        foreseen=None,
        hours=hours,
        manned_hours=manned_ns(record.scenario, record.start_ns, record.end_ns) / HOUR,
        good_reams=reams,
        measures={
            "good_reams_per_hour": reams / hours if hours else 0.0,
            "oee": line.oee or 0.0,
            "availability": line.availability,
            "performance": line.performance or 0.0,
            "quality": line.quality if line.quality is not None else 1.0,
            "waste_fraction": use.waste_fraction,
            "avoidable_waste_fraction": use.avoidable_fraction,
            "trim_and_surplus_fraction": use.waste_fraction - use.avoidable_fraction,
        },
        state_hours={each.station: in_hours(each.by_state) for each in accounts},
        slowed_h={
            label.removeprefix(SLOWED_FOR): ns / HOUR
            for label, ns in slowed.items()
            if label.startswith(SLOWED_FOR)
        },
        stops=stops,
        waits=waits_in(record),
        avoidable_waste_kg=use.avoidable_kg,
        parts_cost=parts_used(record.scenario, stops),
        rejected_um=dict(sorted(record.books.paper.rejected.items())),
        buckets=record.good_per_bucket,
        active_shares={},
        orders=tuple(OrderTimes(o.begun_ns, o.cut_ns, o.wrapped_ns) for o in record.orders),
        supplies=record.supplies,
    )


def in_hours(ns: dict[str, int]) -> dict[str, float]:
    """A table of times in hours."""
    return {name: value / HOUR for name, value in ns.items()}
