"""Whom the others wait for, over several runs."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.record.capacity import SHEETER, TRANSFER
from linesim.record.constraint import Waits, by_pattern
from linesim.studies.figures import INSIDE
from linesim.studies.outcome import Outcome


def waits_of(outcome: Outcome, station: str) -> Waits:
    """How a station waited in a run; the transfer by what it and the sheeter are to each other."""
    name = INSIDE if station == TRANSFER else station
    found = next(waits for waits in outcome.waits if waits.station == name)
    return Waits(station, found.starved, found.blocked)


def held_by(rows: Sequence[Outcome]) -> str:
    """The station that holds the line by the pattern of waiting (Kuo, Lim and Meerkov 1996)."""
    count = len(rows)
    *line, inside = (
        Waits(
            each[0].station,
            sum(w.starved for w in each) / count,
            sum(w.blocked for w in each) / count,
        )
        for each in zip(*(row.waits for row in rows), strict=True)
    )
    found = by_pattern(line)
    # Sheeter and transfer have no buffer between them: of the two, the one that is waited for.
    return TRANSFER if found == SHEETER and inside.blocked > inside.starved else found
