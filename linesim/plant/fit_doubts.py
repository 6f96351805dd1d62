"""How sure fitted figures are, as entries of a scenario file: ends, and the stops behind them."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from typing import Any

from linesim.plant.few_stops import Ends
from linesim.plant.fitting import FittedLaw
from linesim.scenario.field_descriptions import descriptions
from linesim.scenario.fields import DOUBT, Doubt
from linesim.scenario.laws import LAWS, law_of
from linesim.statistics import counted

_DIGITS, _MOST_DIGITS = 3, 9
_STRONGEST = 0.999
Entry = dict[str, Any]
"""A doubt as a file writes it."""


def doubts_of(
    field: str,
    law: Any,
    fitted: FittedLaw,
    stops: int,
    days: int | None,
    *,
    all_of_it: bool = True,
) -> list[Entry]:
    """The doubts of a law that stands in *field* as a file writes it, as it was *fitted*.

    Only that of its mean unless ``all_of_it``.
    """
    found = []
    for part, ends in fitted.intervals.items():
        if part == "mean" or all_of_it:
            of = field if part == "mean" else f"{field}.{part}"
            found.append(doubt_entry(of, law, ends, stops, days))
            if part != "mean" and fitted.correlation is not None:
                share = min(_STRONGEST, max(-_STRONGEST, fitted.correlation))
                found[-1]["correlation"] = round(share, 3)
    return found


def doubt_entry(of: str, law: Any, ends: Ends, stops: int, days: int | None) -> Entry:
    """The figure *of* a law as a file writes it, between these ends.

    Ends are rounded, kept within what is legal, and hold what is stated.
    """
    part = of.partition(".")[2] or "mean"
    why = f"{counted(stops, 'stop') if stops else 'none'} in "
    why += f"{counted(days, 'day')} of log" if days else "the log"
    entry = {"of": of, "between": _within(law, part, ends), "why": why, "stops": stops}
    return entry | ({"days": days} if days else {})


def _within(law: Any, part: str, ends: Ends) -> list[float]:
    stated = mean_of(law) if part == "mean" else law[part]
    low, high = ends
    if isinstance(law, Mapping):
        said = descriptions(LAWS[law["law"]]).get(part)
        if said is not None:
            low = max(low, -math.inf if said.low is None else said.low)
            high = min(high, math.inf if said.high is None else said.high)
    # Ends that are near each other need more digits to be two.
    for digits in range(_DIGITS, _MOST_DIGITS):
        rounded = [float(f"{end:.{digits}g}") for end in (low, high)]
        if rounded[0] < rounded[1]:
            break
    return [min(rounded[0], stated), max(rounded[1], stated)]


def mean_of(law: Any) -> float:
    """The mean of a law as a file writes it."""
    found = law_of(law)
    assert found is not None
    return found.average()


def doubt_changes(
    at: str, old: Sequence[Doubt], fields: Collection[str], new: Sequence[Entry]
) -> dict[str, Any]:
    """Changes to the file that put *new* in place of all doubts about *fields*.

    ``at`` is the entry that they stand in, such as ``stop[3]``; other doubts stay where they are,
    with their comments.
    """
    if not old:
        return {f"{at}.{DOUBT}": list(new)} if new else {}
    left = {entry["of"]: entry for entry in new}
    changes: dict[str, Any] = {}
    gone = []
    for n, doubt in enumerate(old):
        if doubt.of.partition(".")[0] in fields:
            entry = left.pop(doubt.of.removesuffix(".mean"), None)
            if entry is None:
                gone.append(n)
            else:
                changes[f"{at}.{DOUBT}[{n}]"] = entry
    for n, entry in enumerate(left.values(), len(old)):
        changes[f"{at}.{DOUBT}[{n}]"] = entry
    for n in reversed(gone):
        changes[f"{at}.{DOUBT}[{n}]"] = None
    return changes
