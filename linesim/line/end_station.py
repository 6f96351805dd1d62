"""What a station behind the wrappers is: its part of the record of a line."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line.machine import Worker
from linesim.line.typed import Row

REAMS_ON, CARTONS, PALLETS = range(3)
"""What a station makes: it hands on what it took, closes cartons, or fills pallets."""


@dataclass(slots=True, kw_only=True)
class EndStation(Worker):
    """One station with reams, or cartons, waiting before it."""

    makes: int
    first: int
    """The first station at its place, where what waits for all of them is counted, ..."""
    behind: int
    """... and the first at the next one; beyond all stations where there is none."""
    room: int
    """Reams or cartons that can wait, ..."""
    takes: int
    """... of which it takes so many at once ..."""
    reams: int
    """... and makes one piece with so many reams."""
    rated_ns: int
    """Time for one piece as it is rated; of a carton packer, goods may need longer."""
    cycles_ns: Row[int]
    """Times for one piece after another, over and over, ..."""
    cycle: int = 0
    """... and which is the next."""
    pace_ns: int = 0
    """One that waits no longer than this for a piece works at the pace of those before it, ..."""
    paced_by: int = 0
    """... of which this station is the slowest."""
    waiting: int = 0
    """Before all stations at its place; of others than the first it stays 0."""
    again: bool = False
    """A piece came out spoiled: what was in it is in hand, to be worked on again."""
