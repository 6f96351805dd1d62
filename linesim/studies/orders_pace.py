"""Output at the pace at which orders are made: what was ordered is made, whatever is changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from linesim.record.capacity import SHEETER
from linesim.record.constraint import Waits
from linesim.scenario import Scenario
from linesim.scenario.shifts import manned_ns
from linesim.scenario.units import HOUR
from linesim.studies.outcome import Outcome


def while_orders_last(
    lines: Mapping[str, Scenario], found: Mapping[str, tuple[Outcome, ...]], warm_up_h: float
) -> Mapping[str, tuple[Outcome, ...]]:
    """Runs of lines by name, each of orders cut off where its last one is wrapped.

    Their hours are manned ones. What is done sooner leaves time for the next: the pace tells, not
    that all orders were made. Runs with a warm-up, of ``warm_up_h``, begin in the midst of them and
    are left as they are.
    """
    return {
        name: tuple(_cut_off(lines[name], row) for row in rows)
        if lines[name].order and not warm_up_h
        else rows
        for name, rows in found.items()
    }


def _cut_off(scenario: Scenario, outcome: Outcome) -> Outcome:
    manned, made_ns = outcome.manned_hours, outcome.orders_made_ns
    if made_ns is not None:
        manned = manned_ns(scenario, 0, made_ns) / HOUR
    if not manned:
        return outcome
    # Without an order the sheeter stands by plan, and all behind it wait for it.
    idle_h = outcome.manned_hours - manned

    def meanwhile(each: Waits) -> Waits:
        starved, blocked = (share * outcome.hours for share in (each.starved, each.blocked))
        behind = 0.0 if each.station == SHEETER else idle_h
        return Waits(each.station, max(0.0, starved - behind) / manned, blocked / manned)

    waits = tuple(map(meanwhile, outcome.waits))
    return replace(outcome, hours=manned, manned_hours=manned, waits=waits)
