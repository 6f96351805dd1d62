"""All figures of one run: what a report of runs shows beside what studies keep."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from linesim.record import Record
from linesim.record.accounts import station_accounts
from linesim.record.audit import Check, audit
from linesim.record.effectiveness import (
    Effectiveness,
    OfProduct,
    line_effectiveness,
    product_effectiveness,
    station_effectiveness,
)
from linesim.record.energy import station_energy
from linesim.record.paper_use import paper_use
from linesim.studies.lost_for import LostFor, lost_for
from linesim.studies.outcome import Outcome, in_hours, outcome_of

LINE = "line"
RATED = "rated_reams_per_min"
GOOD_REAMS = "good_reams"


@dataclass(frozen=True)
class RunFigures(Outcome):
    """The outcome of one replication, and what only a report of it needs."""

    cause_hours: dict[str, dict[str, float]]
    """By station, then what the time was lost for."""
    stop_counts: dict[str, dict[str, int]]
    """By station, then cause."""
    parts_of_sheeter: tuple[str, ...]
    effectiveness: dict[str, dict[str, float | None]]
    """By station and for the line: rated speed and the four factors."""
    products: dict[str, dict[str, float | None]]
    """By product, where there are orders: the factors of the line, and its good reams."""
    losses_h: dict[str, dict[str, float]]
    """By station and for the line: planned busy hours and the steps down to good output."""
    lost_for: tuple[LostFor, ...]
    """The same of the line by cause."""
    paper_kg: dict[str, float]
    energy_kwh: dict[str, dict[str, float]]
    """By station, then state; only of stations whose power is given."""
    reference: str
    """The station in whose time the line is judged."""
    balance: dict[str, Any]
    checks: tuple[Check, ...]

    @property
    def kwh_per_1000_reams(self) -> float:
        """Energy of all stations whose power is given, for 1,000 good reams; nan without a ream."""
        kwh = sum(sum(states.values()) for states in self.energy_kwh.values())
        return 1000 * kwh / self.good_reams if self.good_reams else math.nan


def figures_of(record: Record, *, check: bool = False) -> RunFigures:
    """All figures of a record; with ``check`` the record is audited, too."""
    line = line_effectiveness(record)
    use = paper_use(record)
    accounts = station_accounts(record)
    counts: dict[str, dict[str, int]] = {name: {} for name in record.stations}
    for stop in record.stops:
        counts[record.stations[stop.station]][record.causes[stop.cause]] = stop.count
    named = {LINE: line} | {each.name: each for each in station_effectiveness(record)}
    return RunFigures(
        **vars(outcome_of(record)),
        cause_hours={each.station: in_hours(each.by_cause) for each in accounts},
        stop_counts=counts,
        parts_of_sheeter=tuple(each.station for each in accounts if each.part_of_sheeter),
        effectiveness={name: _factors(each) for name, each in named.items()},
        products={
            each.effectiveness.name: _of_product(each)
            for each in (product_effectiveness(record) if record.scenario.order else ())
        },
        losses_h={name: _steps(each) for name, each in named.items()},
        lost_for=lost_for(record, line),
        paper_kg={"in good reams": use.good_reams_kg}
        | use.lost_kg
        | {"still on the line": use.on_the_line_kg},
        energy_kwh={
            each.station: {state.words: float(kwh) for state, kwh in each.kwh_by_state.items()}
            for each in station_energy(record)
        },
        reference=line.name.removeprefix("line, by its "),
        balance=_balance(record),
        checks=audit(record) if check else (),
    )


def _factors(each: Effectiveness) -> dict[str, float | None]:
    return {
        RATED: each.rated_reams_per_min if each.paced else None,
        "availability": each.availability,
        "performance": each.performance,
        "quality": each.quality,
        "oee": each.oee,
    }


def _of_product(each: OfProduct) -> dict[str, float | None]:
    return {GOOD_REAMS: float(each.good_reams)} | _factors(each.effectiveness)


def _steps(each: Effectiveness) -> dict[str, float]:
    steps = {
        "counted time": each.total_ns,
        "planned stops": each.planned_stop_ns,
        "planned busy time": each.planned_busy_ns,
    }
    return in_hours(steps | each.staircase())


def _balance(record: Record) -> dict[str, Any]:
    books = record.books
    paper, sheets, reams = books.paper, books.sheets, books.reams
    found: dict[str, Any] = {
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
    if books.cartons is not None:
        found["cartons"] = dict(vars(books.cartons)) | {"balanced": books.cartons.balanced}
    return found
