"""What an answer comes to: one sentence to decide by, and the change that it is about."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.report.answers.cells import Bounded, cell_text
from linesim.scenario import CURRENCY
from linesim.scenario.levers_table import LeverName
from linesim.statistics import Bounds, rough
from linesim.studies.differences import beyond_runs
from linesim.studies.worth import Market, Worth

_PLANNED_YEARS = 100.0
"""As long as a study may be told that something lasts."""


@dataclass(frozen=True)
class Advice:
    """``sentence`` is the answer in one; ``change`` what is advised, empty where nothing is.

    ``worth`` is what the change brings and costs, None where nobody knows; ``levers`` are what it
    moves, by their names in [levers]; ``market`` is of the line as it is in the runs of the study.
    """

    sentence: str
    change: str = ""
    worth: Worth | None = None
    levers: tuple[LeverName, ...] = ()
    market: Market | None = None


def payback_cell(years: Bounds) -> Bounded:
    """When capital is back; where it may take longer than anybody plans for, only that."""
    return Bounded(years.value, years.low, years.high if years.high <= _PLANNED_YEARS else None)


def worth_clause(worth: Worth, of: str = "it") -> str:
    """What a change brings and costs, to go on a sentence with; ``of`` is what brings it."""
    yearly, capital = worth.yearly, worth.purchase.capital
    spent = f" for {rough(capital)} {CURRENCY}" if capital else " with nothing to buy"
    if not yearly.mean and not yearly.half_width:
        return f"{of} brings no money{spent if capital else ''}"
    if yearly.contains(0):
        why = "what is not known decides" if beyond_runs(yearly) else "it is not clear yet"
        return f"{why} whether {of} earns or loses ({yearly.text()} {CURRENCY} a year{spent})"
    if yearly.mean < 0:
        return f"{of} loses {yearly.times(-1).text()} {CURRENCY} a year{spent if capital else ''}"
    back = worth.payback_years
    if not capital:
        when = ""
    elif back is None:
        when = "; when it is paid back is not known yet"
    else:
        when = f", paid back in {cell_text(payback_cell(back))} years"
    return f"{of} brings {yearly.text()} {CURRENCY} a year{spent}{when}"
