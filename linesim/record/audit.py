"""Checks that a record must pass: books that balance, accounts without gap, exact sums."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from linesim.record.accounts import station_accounts
from linesim.record.capacity import SHEETER
from linesim.record.effectiveness import (
    line_effectiveness,
    speed_loss_by_web_ns,
    station_effectiveness,
)
from linesim.record.energy import station_energy, station_powers
from linesim.record.products import products
from linesim.record.record import Record
from linesim.record.states import PRODUCING
from linesim.scenario import WEB_STATIONS
from linesim.scenario.units import HOUR


@dataclass(frozen=True)
class Check:
    """One thing that was checked; ``faults`` is empty where it held."""

    what: str
    faults: tuple[str, ...]


def audit(record: Record) -> tuple[Check, ...]:
    """Check a record against itself. Spans and bridge level need a record with history."""
    length = record.end_ns - record.start_ns
    states = [(a.station, sum(a.by_state.values()) - length) for a in station_accounts(record)]
    rows = zip(record.stations, record.losses, strict=True)
    losses = [(name, sum(row) - length) for name, row in rows]
    stairs = (line_effectiveness(record), *station_effectiveness(record))
    steps = [(each.name, sum(each.staircase().values()) - each.planned_busy_ns) for each in stairs]
    checks = [
        Check("paper, sheets and reams balance", tuple(record.books.faults())),
        Check("each station's states add up to the run", _off(states)),
        Check("each station's losses add up to the run", _off(losses)),
        Check("the six big losses and good output add up to planned time", _off(steps)),
        Check("reduced speed agrees with the web that passed the knives", tuple(_speed(record))),
    ]
    if station_powers(record.scenario):
        checks.append(Check("energy by state adds up to running and standing", _energy(record)))
    if record.history is not None:
        checks.append(Check("spans follow each other without gap", tuple(_spans(record))))
        checks.append(Check("the bridge holds no more than fits", tuple(_bridge(record))))
    return tuple(checks)


def _off(names: Iterable[tuple[str, int]]) -> tuple[str, ...]:
    return tuple(f"{name}: {ns:+d} ns" for name, ns in names if ns)


def _speed(record: Record) -> list[str]:
    other = speed_loss_by_web_ns(record)
    sheeter = next(e for e in station_effectiveness(record) if e.name == SHEETER)
    # A cut may be half made when the count begins and ends, and wherever the web was lost.
    stops = sum(
        stop.count
        for stop in record.stops
        if record.stations[stop.station] in (*WEB_STATIONS, SHEETER)
    )
    cut_ns = max(
        product.sheet_length_mm / 1000 / product.web_speed_m_per_min * 60e9
        for product in products(record.scenario)
    )
    off = sheeter.speed_ns - other
    if abs(off) > (2 + stops) * cut_ns + 1000:
        return [f"{off / 1e9:.3f} s apart"]
    return []


def _energy(record: Record) -> tuple[str, ...]:
    """Power times the time in which the station made something, and in which it did not."""
    found = []
    for each in station_energy(record):
        running, standing = map(Fraction, station_powers(record.scenario)[each.station])
        at, length = record.station(each.station), record.end_ns - record.start_ns
        ran = sum(ns for key, ns in record.sums.items() if key[0] == at and key[1] in PRODUCING)
        off = each.kwh - (running * ran + standing * (length - ran)) / HOUR
        if off:
            found.append(f"{each.station}: {float(off):+g} kWh")
    return tuple(found)


def _spans(record: Record) -> list[str]:
    found = []
    for number, name in enumerate(record.stations):
        rows = record.recorded.spans.of(number)
        if len(rows.start_ns) == 0:
            found.append(f"{name}: no span")
            continue
        if not np.array_equal(rows.start_ns[1:], rows.end_ns[:-1]):
            found.append(f"{name}: a gap or an overlap")
        if rows.start_ns[0] != record.start_ns or rows.end_ns[-1] != record.end_ns:
            found.append(f"{name}: does not cover the run")
    return found


def _bridge(record: Record) -> list[str]:
    if record.start_ns:
        return []  # What stood on the bridge when counting began is not in the columns.
    _, level = record.recorded.bridge_level()
    if len(level) == 0:
        return []
    found = []
    if level.min() < 0:
        found.append(f"{level.min()} reams")
    if level.max() > record.scenario.bridge_places:
        found.append(f"{level.max()} reams on {record.scenario.bridge_places} places")
    return found
