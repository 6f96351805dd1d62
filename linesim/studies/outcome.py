"""What a study keeps of one run: whole numbers and a few fractions, as a line of text."""

from __future__ import annotations

import json
from dataclasses import dataclass, is_dataclass
from functools import lru_cache
from typing import Any

from pydantic import TypeAdapter, ValidationError

from linesim.record import Record
from linesim.record.accounts import KNIVES, SLOWED_FOR
from linesim.record.constraint import Waits
from linesim.record.supplies import NO_SUPPLIES, Supplies
from linesim.studies.active_periods import active_shares
from linesim.studies.figures import LINE, figures_of

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
class Outcome:
    """The measures of one run. Hours, kg and shares in floats, counts exact."""

    replication: int
    hours: float
    manned_hours: float
    good_reams: int
    measures: dict[str, float]
    """Good reams an hour, OEE and its factors, share of paper wasted."""
    state_hours: dict[str, dict[str, float]]
    """By station, then state."""
    slowed_h: dict[str, float]
    """Time in which the knives ran slowed, by what for: a run-up, a splice, the bridge's level."""
    losses_h: dict[str, float]
    """The line's steps down from planned time to good output."""
    stops: tuple[Stood, ...]
    waits: tuple[Waits, ...]
    wrapped_by: dict[str, int]
    avoidable_waste_kg: float
    rejected_um: dict[str, int]
    cuts: int
    buckets: tuple[int, ...]
    active_shares: dict[str, float]
    """Share of time a station was the momentary bottleneck alone; empty unless asked for."""
    orders: tuple[OrderTimes, ...] = ()
    """In the sequence of the scenario."""
    supplies: Supplies = NO_SUPPLIES
    """Reels and wrapping rolls taken for the orders."""

    @property
    def reams_per_week(self) -> float:
        """Good reams at this pace in a week of 168 hours of the line."""
        return self.good_reams / self.hours * 168

    def blocked_h(self, station: str = "sheeter") -> float:
        """Hours a station stood for want of room."""
        return self.state_hours[station]["blocked"]

    def text(self) -> str:
        """One line of JSON: the same outcome always gives the same bytes."""
        settings: dict[str, Any] = {"sort_keys": True, "separators": (",", ":")}
        return json.dumps(self, default=vars, allow_nan=False, **settings)

    @classmethod
    def from_text(cls, text: str) -> Outcome:
        """Read what :meth:`text` wrote. Raises ``ValueError`` for anything else."""
        try:
            found = _reader().validate_json(text, strict=True)
        except ValidationError as error:
            first = error.errors(include_url=False)[0]
            where = ".".join(str(part) for part in first["loc"])
            raise ValueError(f"not the outcome of a run: {where}: {first['msg']}") from None
        if not 0 < found.hours <= _MOST_HOURS or not _finite(found):
            raise ValueError("not the outcome of a run: a number that none can have")
        return found


@lru_cache(maxsize=1)
def _reader() -> TypeAdapter[Outcome]:
    return TypeAdapter(Outcome)


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
    """The outcome of a run; with history it holds the longest active periods, too."""
    figures = figures_of(record)
    losses = figures.losses_h[LINE]
    names = [wrapper.name for wrapper in record.scenario.wrapper]
    return Outcome(
        replication=record.replication,
        hours=record.hours,
        manned_hours=figures.manned_hours,
        good_reams=record.books.reams.good,
        measures=figures.measures,
        state_hours=figures.state_hours,
        slowed_h={
            label.removeprefix(SLOWED_FOR): hours
            for label, hours in figures.cause_hours[KNIVES].items()
            if label.startswith(SLOWED_FOR)
        },
        losses_h=dict(losses),
        stops=tuple(
            Stood(record.stations[s.station], record.causes[s.cause], s.count, s.ns)
            for s in record.stops
        ),
        waits=figures.waits,
        wrapped_by=dict(zip(names, record.wrapped_by, strict=True)),
        avoidable_waste_kg=figures.avoidable_waste_kg,
        rejected_um=dict(sorted(record.books.paper.rejected.items())),
        cuts=record.books.cuts,
        buckets=record.good_per_bucket,
        active_shares=active_shares(record) if record.history is not None else {},
        orders=tuple(OrderTimes(o.begun_ns, o.cut_ns, o.wrapped_ns) for o in record.orders),
        supplies=record.supplies,
    )
