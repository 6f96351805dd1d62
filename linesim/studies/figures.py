"""The figures of one run that studies keep: small, whatever the length of the run."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from linesim.record import Record
from linesim.record.accounts import knives, station_accounts
from linesim.record.audit import Check, audit
from linesim.record.capacity import SHEETER, TRANSFER, WRAPPERS, station_rates
from linesim.record.constraint import Waits
from linesim.record.effectiveness import (
    Effectiveness,
    line_effectiveness,
    station_effectiveness,
    wrapper_shares,
)
from linesim.record.paper_use import paper_use
from linesim.record.states import TRANSFER_PACE, State
from linesim.scenario.shifts import manned_ns
from linesim.scenario.units import HOUR

LINE = "line"
SLOWED_BY_LEVEL = "bridge level"
INSIDE = "transfer behind sheeter"
RATED = "rated_reams_per_min"

UNITS = {
    "good_reams_per_hour": "reams/h",
    "oee": "1",
    "availability": "1",
    "performance": "1",
    "quality": "1",
    "waste_fraction": "1",
}
"""Measures of a run and their units; 1 for a fraction."""


@dataclass(frozen=True)
class RunFigures:
    """Figures of one replication. Hours and kg in floats, counts exact.

    ``measures`` are good reams an hour, and shares of 0 to 1: availability, performance, quality,
    OEE, paper wasted. ``stop_counts`` are by station, then cause.
    """

    replication: int
    hours: float
    manned_hours: float
    measures: dict[str, float]
    state_hours: dict[str, dict[str, float]]
    """By station, then state."""
    cause_hours: dict[str, dict[str, float]]
    """By station, then what the time was lost for."""
    stop_counts: dict[str, dict[str, int]]
    parts_of_sheeter: tuple[str, ...]
    effectiveness: dict[str, dict[str, float | None]]
    """By station and for the line: rated speed and the four factors."""
    losses_h: dict[str, dict[str, float]]
    """By station and for the line: planned busy hours and the steps down to good output."""
    paper_kg: dict[str, float]
    avoidable_waste_kg: float
    """Paper wasted that is not part of the paper of a ream, as its trim is."""
    waits: tuple[Waits, ...]
    reference: str
    """The station in whose time the line is judged."""
    balance: dict[str, Any]
    checks: tuple[Check, ...]


def figures_of(record: Record, *, check: bool = False) -> RunFigures:
    """What studies keep of a record; with ``check`` the record is audited, too."""
    line = line_effectiveness(record)
    stations = station_effectiveness(record)
    use = paper_use(record)
    accounts = station_accounts(record)
    counts: dict[str, dict[str, int]] = {name: {} for name in record.stations}
    for stop in record.stops:
        counts[record.stations[stop.station]][record.causes[stop.cause]] = stop.count
    named = {LINE: line} | {each.name: each for each in stations}
    hours = record.hours
    return RunFigures(
        replication=record.replication,
        hours=hours,
        manned_hours=manned_ns(record.scenario, record.start_ns, record.end_ns) / HOUR,
        measures={
            "good_reams_per_hour": record.books.reams.good / hours if hours else 0.0,
            "oee": line.oee or 0.0,
            "availability": line.availability,
            "performance": line.performance or 0.0,
            "quality": line.quality if line.quality is not None else 1.0,
            "waste_fraction": use.waste_fraction,
        },
        state_hours={a.station: _in_hours(a.by_state) for a in accounts},
        cause_hours={a.station: _in_hours(a.by_cause) for a in accounts},
        stop_counts=counts,
        parts_of_sheeter=tuple(a.station for a in accounts if a.part_of_sheeter),
        effectiveness={name: _factors(each) for name, each in named.items()},
        losses_h={name: _steps(each) for name, each in named.items()},
        paper_kg={"in good reams": use.good_reams_kg}
        | use.lost_kg
        | {"still on the line": use.on_the_line_kg},
        avoidable_waste_kg=use.avoidable_kg,
        waits=_waits(record),
        reference=line.name.removeprefix("line, by its "),
        balance=_balance(record),
        checks=audit(record) if check else (),
    )


def _in_hours(ns: dict[str, int]) -> dict[str, float]:
    return {name: value / HOUR for name, value in ns.items()}


def _factors(each: Effectiveness) -> dict[str, float | None]:
    return {
        RATED: each.rated_reams_per_min if each.paced else None,
        "availability": each.availability,
        "performance": each.performance,
        "quality": each.quality,
        "oee": each.oee,
    }


def _steps(each: Effectiveness) -> dict[str, float]:
    steps = {
        "counted time": each.total_ns,
        "planned stops": each.planned_stop_ns,
        "planned busy time": each.planned_busy_ns,
    }
    return _in_hours(steps | each.staircase())


def _waits(record: Record) -> tuple[Waits, ...]:
    """Shares of time that the line's stations waited, those with a buffer between them.

    Sheeter and transfer have none between them and are one here. They are blocked while the
    sheeter stands, or by how much it is slowed, for something beyond the transfer, or while the
    transfer holds a set, whichever is more. Wrappers are taken together.
    """
    shares = wrapper_shares(record)
    transfer = record.station(TRANSFER)
    beyond, inside = _front(record)
    found = [Waits(SHEETER, 0.0, max(beyond, _share(record, transfer, State.BLOCKED)))]
    together = [
        sum(float(part) * _share(record, number, state) for number, part in shares.items())
        for state in (State.STARVED, State.BLOCKED)
    ]
    found.append(Waits(WRAPPERS, together[0], together[1]))
    for name in record.scenario.end_of_line:
        waited = (_share(record, record.station(name), s) for s in (State.STARVED, State.BLOCKED))
        found.append(Waits(name, *waited))
    return (*found, Waits(INSIDE, _share(record, transfer, State.STARVED), inside))


def _share(record: Record, station: int, state: State) -> float:
    return record.hours_in(station, state) / record.hours


def _front(record: Record) -> tuple[float, float]:
    """Shares of time the sheeter lost to what is beyond the transfer, and to the transfer."""
    at, transfer = knives(record), record.station(TRANSFER)
    lost = 1 - record.scenario.bridge.slow_to_fraction
    rated = {rate.station: rate.rated for rate in station_rates(record.scenario)}
    kept_back = max(0.0, 1 - rated[TRANSFER] / rated[SHEETER])
    beyond = inside = 0.0
    for (station, state, cause, root, _), ns in record.sums.items():
        if station != at:
            continue
        if state == State.SLOWED and record.causes[cause] == SLOWED_BY_LEVEL:
            beyond += lost * ns
        elif state == State.SLOWED and record.causes[cause] == TRANSFER_PACE:
            inside += kept_back * ns
        elif state == State.BLOCKED and root == transfer:
            inside += ns
        elif state == State.BLOCKED and root > transfer:
            beyond += ns
    length = record.end_ns - record.start_ns
    return beyond / length, inside / length


def _balance(record: Record) -> dict[str, Any]:
    books = record.books
    paper, sheets, reams = books.paper, books.sheets, books.reams
    return {
        "paper_um": {
            "at_start": paper.at_start,
            "loaded": paper.loaded,
            "to_pockets": paper.to_pockets,
            "rejected": dict(sorted(paper.rejected.items())),
            "broken": paper.broken,
            "spoiled": paper.spoiled,
            "butts": paper.butts,
            "returned": paper.returned,
            "at_end": paper.at_end,
            "unaccounted": paper.gone_in - paper.accounted,
        },
        "sheets": dict(vars(sheets)) | {"balanced": sheets.balanced},
        "reams": dict(vars(reams)) | {"balanced": reams.balanced},
        "cuts": books.cuts,
        "mass_ug": dict(sorted(books.mass_ug.items())),
        "faults": books.faults(),
    }
