"""A faster sheeter that makes fewer reams, where more starts and their rejects are seen to do it.

A sheeter that outruns what comes after it is stopped by level more often, and every start costs
rejects: beyond some speed the line loses more by that than it gains.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from linesim.record.capacity import SHEETER, station_rates, web_m_per_ream
from linesim.record.pieces import START_UP_REASONS
from linesim.scenario import Scenario
from linesim.studies.differences import Difference, between, reams
from linesim.studies.outcome import Outcome

Variant = tuple[Scenario, Sequence[Outcome]]
"""A line and its runs."""


@dataclass(frozen=True)
class FasterButLess:
    """The faster line less the slower one, a week of 168 h."""

    rejects: Difference
    """Start-up rejects, as reams."""
    starts: Difference | None
    """Starts of the webs; None where none costs a cut of its own."""


def faster_but_less(fast: Variant, slow: Variant, level: float) -> FasterButLess | None:
    """What more starts cost the faster of two lines; None where the runs do not show it.

    Shown is: its sheeter is rated faster, it makes fewer good reams, its starts reject more.
    """
    if _rated(fast[0]) <= _rated(slow[0]):
        return None
    made = between(fast[1], slow[1], reams, level)
    per_ream = [web_m_per_ream(line) * 1e6 for line in (fast[0], slow[0])]
    if per_ream[0] != per_ream[1]:
        return None  # another product: reams are not to be compared
    rejects = between(fast[1], slow[1], lambda o: _start_up_um(o) / per_ream[0], level)
    if not (made.shown and made.interval.mean < 0 < rejects.interval.mean and rejects.shown):
        return None
    each = [_um_of_a_start(line) for line in (fast[0], slow[0])]
    starts = None
    if each[0] == each[1] > 0:
        starts = between(fast[1], slow[1], lambda o: _after_stop_um(o) / each[0], level)
    return FasterButLess(rejects, starts)


def _rated(line: Scenario) -> float:
    return next(rate.rated for rate in station_rates(line) if rate.station == SHEETER)


def _um_of_a_start(line: Scenario) -> float:
    cut_um = line.product.sheet_length_mm * 1000
    return line.gate.cuts_after_stop * cut_um * line.unwind.webs


def _after_stop_um(outcome: Outcome) -> float:
    return outcome.rejected_um.get("after_stop", 0) / outcome.hours * 168


def _start_up_um(outcome: Outcome) -> float:
    rejected = sum(outcome.rejected_um.get(reason, 0) for reason in START_UP_REASONS)
    return rejected / outcome.hours * 168
