"""The report of a run as text that can be pasted in a mail, no colour needed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from linesim.report import run_tables, words
from linesim.report.answers.cells import Column
from linesim.report.answers.grid import BAR, columns_of, grid
from linesim.report.answers.printing import table_parts
from linesim.report.answers.what_to_measure import measure_table, measure_words
from linesim.report.help_words import help_note
from linesim.report.plain import CAUTIONS, Terminal, heading, notes_of, plain_hours, station_name
from linesim.report.start_words import start_words
from linesim.report.story import story
from linesim.statistics import counted
from linesim.studies import Replicated, WhatHelps
from linesim.studies.figures import LINE
from linesim.version import __version__

if TYPE_CHECKING:
    from rich.table import Table

_BAR = 24
_Rows = tuple[Sequence[Column], Sequence[Sequence[str]]]
"""Columns, and rows below them."""


def report_parts(
    result: Replicated, terminal: Terminal, helps: WhatHelps | str
) -> Iterator[Table | str]:
    """What the replications gave, and what would help, or why that was not asked."""
    told, note = ("", helps) if isinstance(helps, str) else (helps, help_note(result, helps))
    yield story(result, told).text
    yield _interval_note(result)
    if note:
        yield f"({note}.)"
    staircase = "From planned time to good output (six big losses), line"
    paper = columns_of("paper", "kg", "% of paper used"), run_tables.paper_rows(result)
    stations: list[_Rows | str] = [_effectiveness(result), words.constraint_sentence(result)]
    sections: tuple[tuple[str, Iterable[_Rows | str]], ...] = (
        ("Measures of the line", [_measures(result)]),
        (staircase, [_staircase(result), _reference_note(result)]),
        ("Effectiveness of each station, at its own rated speed", stations),
        ("The six big losses of each station, hours", _station_losses(result)),
        ("Where the hours went, by state", _in_hours(run_tables.state_tables(result))),
        ("What the hours were lost for, largest first", [_causes(result)]),
        ("Where the paper went", [paper, words.balance_sentence(result)]),
    )
    if result.runs[0].products:
        products = columns_of("product", *run_tables.PRODUCT_COLUMNS)
        by_product: list[_Rows | str] = [
            (products, run_tables.product_rows(result)),
            run_tables.PRODUCTS_NOTE,
        ]
        sections = (*sections[:3], (run_tables.PRODUCTS, by_product), *sections[3:])
    if result.runs[0].energy_kwh:
        energy = columns_of("station", *run_tables.ENERGY_COLUMNS), run_tables.energy_rows(result)
        sections = (*sections, ("Energy", [energy, words.energy_sentence(result)]))
    wages = words.wages_sentence(result.scenario)
    if wages:
        sections = (*sections, ("Wages", [wages]))
    for title, parts in sections:
        yield heading(title)
        for part in parts:
            yield from [part] if isinstance(part, str) else grid(*part, terminal)
    found = result.what_to_measure()
    if found is not None:
        yield from table_parts(measure_table(found), terminal)
        yield measure_words(found)
    yield f"\n{start_words(result.scenario)}"
    yield from notes_of(result.scenario)
    yield from (f"Caution: {caution}" for caution in CAUTIONS)
    count = len(result.runs)
    stopped = f" (stopped early; {result.asked} were asked for)" if result.interrupted else ""
    yield (
        f"linesim {__version__}, seed {result.seed}, {counted(count, 'run')}{stopped} of"
        f" {plain_hours(result.runs[0].hours)} h."
    )


def _interval_note(result: Replicated) -> str:
    count = len(result.runs)
    if count < 2:
        return f"({words.NO_INTERVAL}.)"
    return f"({words.mean_words(count, result.level, crossed=result.crossed)}.)"


def _reference_note(result: Replicated) -> str:
    return (
        f"The line is measured at its output, against the rated speed of its"
        f" {station_name(result.scenario, result.runs[0].reference)}"
        f" (ISO 22400-2; losses after Nakajima 1988). {words.how_judged(result)}"
    )


def _measures(result: Replicated) -> _Rows:
    rows = [
        (label, words.measure(result, name), meaning)
        for name, (label, meaning) in words.MEASURES.items()
    ]
    return (Column(""), Column(""), Column("", left=True)), rows


def _staircase(result: Replicated) -> _Rows:
    steps = result.over_table(lambda run: run.losses_h[LINE], "h")
    whole = steps["planned busy time"].mean
    rows = []
    for name, value in steps.items():
        if name == "counted time":
            continue
        share = value.mean / whole if whole else 0.0
        bar = "" if name == "planned stops" else _bar(share)
        whole_step = name in ("planned stops", "planned busy time", "good output")
        label = name if whole_step else f"- {name}"
        in_percent = words.share_of_planned(result, name).together.text(100)
        rows.append((label, words.hours(value), in_percent, bar))
    return (*columns_of("step", "hours", "%"), BAR), rows


def _bar(share: float) -> str:
    return "#" * round(_BAR * min(1.0, max(0.0, share)))


def _effectiveness(result: Replicated) -> _Rows:
    rows = [
        (station_name(result.scenario, name), words.rated_speed(result, name) or "-", *factors)
        for name, *factors in run_tables.effectiveness_rows(result)
        if name != LINE
    ]
    rated = Column("rated reams/min", rank=1)
    factors = columns_of("station", "availability", "performance", "quality", "OEE")
    return (factors[0], rated, *factors[1:]), rows


def _station_losses(result: Replicated) -> Iterator[_Rows]:
    first = result.runs[0].losses_h
    names = [name for name in first if name != LINE]
    rows = [row for row in first[LINE] if row != "counted time"]
    tables = run_tables.side_by_side(result, names, lambda run, name: run.losses_h[name], rows)
    return _in_hours(tables)


def _in_hours(tables: Iterable[tuple[Sequence[str], run_tables.Rows]]) -> Iterator[_Rows]:
    return ((columns_of("hours", *stations), rows) for stations, rows in tables)


def _causes(result: Replicated) -> _Rows:
    rows = []
    before = ""
    for station, *rest in run_tables.cause_rows(result):
        rows.append(("" if station == before else station, *rest))
        before = station
    return (Column("station"), Column("cause", left=True), Column("hours")), rows


def audit_parts(result: Replicated) -> Iterator[str]:
    """What was checked in every run, and each fault found."""
    yield heading(f"Audit of {counted(len(result.runs), 'run')}")
    for number, check in enumerate(result.runs[0].checks):
        bad = [
            f"      run {run.replication}: {fault}"
            for run in result.runs
            for fault in run.checks[number].faults
        ]
        yield f"{'FAULT' if bad else 'ok   '} {check.what}"
        yield from bad
