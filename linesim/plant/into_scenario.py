"""Fitted causes as changes to a scenario file, each with where its figures came from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import PurePath
from typing import Any

from linesim.plant.fitting import CauseFit, FittedLaw
from linesim.plant.stop_log import StopLog
from linesim.scenario import Scenario
from linesim.scenario.comments import outdated
from linesim.scenario.faults import Path
from linesim.scenario.writing import update
from linesim.statistics import counted

FEWEST = 3
"""With fewer stops nothing is written: one says next to nothing of how long such stops last."""
FITTED = "fitted to"
"""How the note of a cause begins whose figures are from a log."""
_DIGITS = 3
"""Of a fitted parameter: a thousand stops know a mean to three per cent."""


@dataclass(frozen=True)
class Written:
    """``text`` of the file with the fits in it; ``causes`` written, and ``not_written`` ones."""

    text: str
    causes: tuple[str, ...]
    not_written: tuple[str, ...]
    """New causes whose station the log does not tell."""
    left: tuple[str, ...]
    """Causes of the scenario with too few stops to put anything in place of what stands there."""
    asked: tuple[str, ...] = ()
    """Causes that look like others, until it is told which they are."""


def write_fits(text: str, scenario: Scenario, log: StopLog, fits: Sequence[CauseFit]) -> Written:
    """The scenario *text* with intervals and times to restore of *fits*, all else as it stands.

    The field ``note`` of each stop says how many stops of which log, from when to when, over how
    much of which meter, its figures are from; comments on what stood there before are marked as
    such. A new cause becomes a new ``[[stop]]``, where its station is known. *scenario* is what
    *text* says, and what *fits* were matched to.
    """
    changes: dict[str, Any] = {}
    replaced: list[Path] = []
    written: list[str] = []
    not_written: list[str] = []
    left: list[str] = []
    asked: list[str] = []
    places = len(scenario.stop)
    for fit in fits:
        matched = fit.matched
        if why_not_written(fit):
            if matched.looks_like is not None:
                asked.append(matched.cause)
            elif matched.set_in is None:
                (not_written if matched.station is None else left).append(matched.cause)
            continue
        fields = {
            fit.meter.field: as_law(fit.interval),
            "restore_min": as_law(fit.restore_min),
            "note": came_from(log, fit),
        }
        if matched.place is None:
            named = {"cause": matched.cause, "station": matched.station}
            changes[f"stop[{places}]"] = named | fields
            places += 1
        else:
            at, old = f"stop[{matched.place}]", scenario.stop[matched.place].meter
            if old not in fields:
                changes[f"{at}.{old}"] = None
            changes |= {f"{at}.{name}": value for name, value in fields.items()}
            replaced += [("stop", matched.place, name) for name in fields if name != "note"]
        written.append(matched.cause)
    rest = (written, not_written, left, asked)
    return Written(outdated(update(text, changes), replaced), *map(tuple, rest))


def why_not_written(fit: CauseFit) -> str:
    """Why a fit is not written into a scenario, in words; empty where it is."""
    if fit.matched.set_in is not None:
        return f"The line makes these stops by itself; they are set in {fit.matched.set_in}."
    if fit.matched.looks_like is not None:
        return f"It looks like {fit.matched.looks_like}: tell whether it is that, or another cause."
    if fit.matched.station is None:
        return "The log does not tell its station."
    if fit.count < FEWEST:
        return f"Fewer than {FEWEST} stops say next to nothing of how long they last."
    return ""


def as_law(fitted: FittedLaw) -> dict[str, Any]:
    """The law as a scenario file takes it, without digits that nobody knows."""
    values = {n: float(f"{v:.{_DIGITS}g}") for n, v in fitted.fit.parameters.items()}
    return {"law": fitted.fit.law, **values}


def came_from(log: StopLog, fit: CauseFit) -> str:
    stops = fit.matched.stops
    first, last = min(s.start for s in stops), max(s.start for s in stops)
    between = f"{first:%Y-%m-%d} to {last:%Y-%m-%d}"
    if log.counter is not None and not log.counter.dated:
        shown = sorted((stop.start, stop.reading or 0.0) for stop in stops)
        between = f"counter {shown[0][1]:.6g} to {shown[-1][1]:.6g} {log.counter.unit}"
    few = "; too few for more than a rate" if fit.few else ""
    webs = f", all {fit.webs} webs together" if fit.webs > 1 else ""
    return (
        f"{FITTED} {counted(fit.count, 'stop')} of {PurePath(log.file).name},"
        f" {between}, over {float(f'{fit.meter.total:.3g}'):,g}"
        f" {fit.meter.unit}{webs}{few}"
    )
