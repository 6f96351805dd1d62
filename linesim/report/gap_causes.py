"""What the good reams that are missing from a line's nameplate went to, cause by cause.

All that a cause took stands together, however it was felt: the stop itself, waits for it, waits
for the people or the reel that it needs, running slowly for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from linesim.record.capacity import SHEETER
from linesim.record.states import HAND_RAMP, RUN_UP
from linesim.report import words
from linesim.report.answers.cells import Column, figure_of
from linesim.report.answers.charts import Bar, Bars
from linesim.report.loss_names import cause_name, how_lost, loss_name, rated_per_h
from linesim.scenario import Scenario
from linesim.statistics import Interval, counted
from linesim.studies import Replicated, RunFigures
from linesim.studies.lost_for import PACE, PROCESS_REJECTS, START_REJECTS, LostFor

Key = tuple[str, str, str]
"""Kind, station and cause of a row."""
_MOST_WAYS = 5
_TABLES = {
    "splice": "unwind",
    "reel change": "unwind",
    "web break": "web_path",
    "wrapping roll": "wrapper",
    "break": "break",
    RUN_UP: "cutter",
    HAND_RAMP: "cutter",
    "pockets full": "pockets",
    "bridge level": "bridge",
    "bridge at stop level": "bridge",
    "transfer cycle": "transfer",
    "change of size": "changeover",
    "change of grade": "changeover",
    "change of wrapping": "changeover",
}
"""Of causes that are no stops of a station's own."""


@dataclass(frozen=True)
class GapCause:
    """What one cause took of the gap, in good reams of a run."""

    name: str
    reams: Interval
    ways: tuple[tuple[str, Interval], ...]
    """How it was felt, the most first, or which causes stand together; they add up to ``reams``."""
    table: str = ""
    """The table of the scenario that it hangs on; empty where several stand together."""

    @property
    def ways_in_words(self) -> str:
        """How it was felt, line by line; nothing where that was one way."""
        ways = [f"{how}: {reams.text()}" for how, reams in self.ways]
        listed = ways[:_MOST_WAYS] if len(ways) > 1 else []
        return "\n".join([*listed, *(["…"] if len(ways) > _MOST_WAYS else [])])


def gap_by_cause(result: Replicated, most: int = 100) -> tuple[GapCause, ...]:
    """The causes of the gap, the largest first; they add up to it.

    Where there are more than ``most`` the smallest stand together as the last.
    """
    runs = [run.lost_for for run in result.runs]
    rows = {_key(row): row for lost in runs for row in lost}
    names = {key: _name(result.scenario, row) for key, row in rows.items()}
    found = _sums(result, names)
    ranked = sorted(found, key=lambda each: (-found[each].mean, each))
    kept = ranked if len(ranked) <= most else ranked[: most - 1]
    causes = []
    for name in kept:
        own = {key: row for key, row in rows.items() if names[key] == name}
        felt = _sums(result, {key: how_lost(result.scenario, row) for key, row in own.items()})
        ways = sorted(felt.items(), key=lambda way: (-way[1].mean, way[0]))
        largest = max(own.values(), key=lambda row: row.hours)
        causes.append(GapCause(name, found[name], tuple(ways), _table(result.scenario, largest)))
    rest = ranked[len(kept) :]
    if rest:
        other = counted(len(rest), "smaller cause")
        together = _sums(result, {key: other for key, name in names.items() if name in rest})
        ways = [(name, found[name]) for name in rest]
        causes.append(GapCause(other, together[other], tuple(ways)))
    return tuple(causes)


def gap_bars(result: Replicated, causes: Iterable[GapCause]) -> Bars:
    """A bar for each cause; one run has no intervals."""
    gap = result.over_runs(
        lambda run: rated_per_h(run) * sum(row.hours for row in run.lost_for), "reams"
    )
    alone = len(result.runs) < 2
    bars = []
    for each in causes:
        figure = figure_of(each.reams)
        if alone:
            figure = figure._replace(half_width=0.0)
        bars.append(Bar(each.name, figure, told=each.ways_in_words))
    return Bars(
        "gap-by-cause",
        f"What the {gap.text()} good reams missing from the nameplate went to",
        Column("cause"),
        Column("good reams lost", "reams"),
        tuple(bars),
        plain=alone,
    )


def _key(row: LostFor) -> Key:
    return row.kind, row.station, row.cause


def _name(scenario: Scenario, row: LostFor) -> str:
    """What a row was for."""
    cause = cause_name(row.cause)
    if row.kind in (START_REJECTS, PROCESS_REJECTS, PACE) or not cause:
        return loss_name(scenario, row)[0]
    return cause


def _sums(result: Replicated, names: Mapping[Key, str]) -> dict[str, Interval]:
    """Good reams of a run by the names of rows; those without are left out."""

    def of_run(run: RunFigures) -> dict[str, float]:
        sums: dict[str, float] = {}
        for row in run.lost_for:
            name = names.get(_key(row))
            if name is not None:
                sums[name] = sums.get(name, 0.0) + row.hours * rated_per_h(run)
        return sums

    found = result.over_table(of_run, "reams")
    # What a cause takes is never less than nothing.
    return {name: replace(each, least=0.0) for name, each in found.items()}


def _table(scenario: Scenario, row: LostFor) -> str:
    cause = words.without_web(row.cause)
    if any(stop.cause == cause for stop in scenario.stop):
        return "stop"
    if row.kind in (START_REJECTS, PROCESS_REJECTS):
        return "gate"
    if cause in _TABLES:
        return _TABLES[cause]
    if row.station == SHEETER:
        return "cutter"
    if any(row.station == packer.name for packer in scenario.carton_packer):
        return "carton_packer"
    return row.station if row.station in type(scenario).model_fields else "wrapper"
