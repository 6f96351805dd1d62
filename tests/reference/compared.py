"""A line run twice on the same luck: by the program, and by the reference line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from linesim.fast import simulate
from linesim.record import CartonBook
from tests.reference.end_of_line import CartonPacker, Palletiser
from tests.reference.line import ReferenceLine
from tests.reference.same_luck import SameLuck

WITHIN_S = 0.01
"""The program counts whole nanoseconds, the reference floats: they part by less than this."""


@dataclass(frozen=True)
class Compared:
    """What the two made of it; ``first_different`` is empty where they are the same line."""

    good: tuple[int, int]
    sets: int
    first_different: str


def compared(scenario: Any, hours: float, seed: int = 1, replication: int = 0) -> Compared:
    """Hold every set, by when it was put on the bridge, and every good ream against each other."""
    record = simulate(scenario, hours=hours, seed=seed, replication=replication)
    line = ReferenceLine(scenario, SameLuck(seed, replication))
    result = line.run(hours)
    assert record.history is not None
    ours, theirs = record.history.set_placed_ns / 1e9, np.asarray(line.bridge.placed_s)
    count = min(len(ours), len(theirs))
    apart = np.flatnonzero(np.abs(ours[:count] - theirs[:count]) > WITHIN_S)
    told = ""
    if len(apart):
        first = int(apart[0])
        told = f"set {first + 1} at {ours[first]:.2f} s, reference at {theirs[first]:.2f} s"
    elif len(ours) != len(theirs):
        told = f"{len(ours)} sets, reference {len(theirs)}"
    good = record.books.reams.good, result.good
    if not told and good[0] != good[1]:
        told = f"{good[0]} good reams, reference {good[1]}"
    if not told and record.books.cartons is not None:
        told = _cartons(record.books.cartons, line)
    return Compared(good, len(ours), told)


def _cartons(book: CartonBook, line: ReferenceLine) -> str:
    behind = [station for here in line.packing.behind for station in here]
    packers = [station for station in behind if isinstance(station, CartonPacker)]
    spoiled = sum(packer.spoiled for packer in packers)
    ours = [book.cartons, book.cartons_spoiled]
    theirs = [sum(packer.closed for packer in packers) - spoiled, spoiled]
    if isinstance(behind[-1], Palletiser):
        ours.append(book.pallets)
        theirs.append(behind[-1].pallets)
    return "" if ours == theirs else f"{ours} cartons, spoiled, pallets; reference {theirs}"
