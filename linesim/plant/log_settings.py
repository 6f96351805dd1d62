"""What a user tells of a stop log: how it is read, and what the plant means by its words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from linesim.plant.moments import DateOrder, DurationUnit
from linesim.plant.production import Files

LONGEST_H = 12.0


@dataclass(frozen=True)
class PlantTerms:
    """What the plant means: order of its dates, causes and machines by their names in the log."""

    date_order: DateOrder | None = None
    causes: Mapping[str, str] = field(default_factory=dict)
    stations: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class LogSettings:
    """How a log is to be read, as far as the user tells; the rest is proposed.

    ``columns`` gives headings by field (``start``, ``end``, ``minutes``, ``date``, ``station``,
    ``cause``, ``counter``). A stop longer than ``longest_h`` hours is taken for a mistake.
    ``terms`` is what the plant means by its words; ``counts`` names the files of its counts, whose
    shifts settle the order of day and month where the dates do not. ``counter_stands`` and
    ``counter_unit`` say what a running counter is, ``counter_began`` the moment at which its log
    begins.
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    sheet: str | None = None
    longest_h: float = LONGEST_H
    counter_stands: bool | None = None
    counter_unit: DurationUnit | None = None
    counter_began: dt.datetime | None = None
    terms: PlantTerms = field(default_factory=PlantTerms)
    counts: Files | None = None
