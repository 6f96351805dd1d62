"""Energy of replicated runs: kWh, kWh per 1,000 good reams, and what is drawn in vain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from linesim.record.states import PRODUCING
from linesim.statistics import Interval
from linesim.studies.differences import jackknifed
from linesim.studies.figures import RunFigures
from linesim.studies.replications import Replicated

_PRODUCING = {state.words for state in PRODUCING}


@dataclass(frozen=True)
class EnergyUse:
    """Energy of one station, or of several together, in the counted time of a run."""

    kwh: Interval
    per_1000_reams: Interval | None
    """kWh per 1,000 good reams of the line; None where hardly a run made one."""
    standing: Interval | None
    """Share, 0 to 1, that was drawn while nothing was made; None where nothing was drawn."""
    by_state: dict[str, Interval]
    """kWh in each state."""


def stations_with_energy(result: Replicated) -> list[str]:
    """The stations whose power is given, as the paper moves."""
    return list(result.runs[0].energy_kwh)


def energy_use(result: Replicated, stations: Sequence[str]) -> EnergyUse:
    """Energy of these stations together.

    Per 1,000 reams and shares are of all runs together: the sum of the energy over the sum of the
    reams, not the mean of the runs' own, so that a run without a ream is counted rightly, too.
    """
    tables = [_by_state(run, stations) for run in result.runs]
    kwh = [sum(table.values()) for table in tables]
    standing = [sum(e for s, e in table.items() if s not in _PRODUCING) for table in tables]
    reams = [run.good_reams / 1000 for run in result.runs]
    return EnergyUse(
        result.estimate(kwh, "kWh"),
        _ratio(result, kwh, reams, "kWh/1,000 reams"),
        _ratio(result, standing, kwh, "1"),
        result.over_table(lambda run: _by_state(run, stations), "kWh"),
    )


def _ratio(
    result: Replicated, above: Sequence[float], below: Sequence[float], unit: str
) -> Interval | None:
    """Sum over sum; None where a run by itself makes up all that is below."""
    count = len(below)
    if sum(below) <= (max(below) if count > 1 else 0.0):
        return None
    if count < 2:
        return result.estimate([above[0] / below[0]], unit)

    def figure(runs: Sequence[int]) -> float:
        return sum(above[run] for run in runs) / sum(below[run] for run in runs)

    return replace(jackknifed(result.runs, figure, result.level), unit=unit)


def _by_state(run: RunFigures, stations: Sequence[str]) -> dict[str, float]:
    sums: dict[str, float] = {}
    for station in stations:
        for state, kwh in run.energy_kwh[station].items():
            sums[state] = sums.get(state, 0.0) + kwh
    return sums
