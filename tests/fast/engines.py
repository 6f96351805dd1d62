"""Two engines, one record: what differs between a run by SimPy and the same run compiled."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

from linesim.fast import simulate
from linesim.record import Record
from linesim.scenario import ForcedStop, Scenario


def differences(scenario: Scenario, **settings: Any) -> dict[str, tuple[Any, Any]]:
    """Fields of the record in which the engines differ: sums, spans' lengths, books, counts."""
    one, other = (
        simulate(scenario, history=False, engine=engine, **settings)
        for engine in ("simpy", "compiled")
    )
    names = [field.name for field in dataclasses.fields(Record)]
    pairs = {name: (getattr(one, name), getattr(other, name)) for name in names}
    return {name: pair for name, pair in pairs.items() if pair[0] != pair[1]}


def of_any_line(
    seed: int, scenario: Scenario, forced: Sequence[ForcedStop], hours: float = 2.0
) -> dict[str, tuple[Any, Any]]:
    """The same with a warm-up for every other seed, and good reams counted second by second."""
    return differences(
        scenario,
        seed=seed,
        hours=hours,
        warm_up_h=0.25 * (seed % 2),
        forced=forced,
        buckets=int(hours * 3600),
    )
