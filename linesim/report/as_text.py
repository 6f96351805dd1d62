"""What the terminal shows as one text, to be shown, copied or saved elsewhere."""

from __future__ import annotations

from linesim.record.states import station_words
from linesim.report.answers.cells import Column
from linesim.report.answers.grid import grid
from linesim.report.plain import MAIL, Terminal, text_of
from linesim.report.rates_table import rates_parts
from linesim.report.terminal import audit_parts, report_parts
from linesim.report.words import narrow_words, settled_words
from linesim.scenario import KNOWN_CAUSES, Scenario, Stop
from linesim.statistics import counted
from linesim.studies import Replicated, WhatHelps
from linesim.studies.settling import Settled

_METER_WORDS = {
    "every_running_h": "h running",
    "every_web_km": "km of web",
    "every_cuts": "cuts",
    "every_reams": "reams",
    "every_clock_h": "h by the clock",
}
_CAUSE_COLUMNS = ("cause", "station", "every (mean)", "restore", "people", "spoils")


def run_text(
    result: Replicated,
    helps: WhatHelps | str = "",
    *,
    settled: Settled | None = None,
    within_percent: float | None = None,
    audit: bool = False,
    terminal: Terminal = MAIL,
) -> str:
    """The report on a run, as ``linesim run`` prints it.

    ``helps`` is what would help the line, or why that was not asked: see ``no_help_words``.
    ``settled`` says what a long run left out, ``within_percent`` how narrow an interval was asked
    for; ``audit`` adds what checking the books of every run found.
    """
    parts = [*report_parts(result, terminal, helps)]
    if settled is not None:
        parts.append(settled_words(settled))
    if audit:
        parts += audit_parts(result)
    if within_percent is not None:
        parts.append(narrow_words(result, within_percent))
    return text_of(parts, terminal)


def rates_text(scenario: Scenario, terminal: Terminal = MAIL) -> str:
    """Rated and net rate of each station, as ``linesim rates`` prints them."""
    return text_of(rates_parts(scenario, terminal), terminal)


def causes_text(terminal: Terminal = MAIL) -> str:
    """The known stop causes and the figures they bring, as ``linesim causes`` prints them."""
    heads, rows = cause_table()
    note = "\nCommon practice, no source: replace these figures by your own."
    return text_of(
        [*grid([Column(name, left=True) for name in heads], rows, terminal), note], terminal
    )


def cause_table() -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Headings, and a row for each known stop cause."""
    rows: list[tuple[str, ...]] = []
    for name in KNOWN_CAUSES:
        stop = Stop.model_validate({"cause": name})
        each = ", each web" if stop.per_web else ""
        planned = ", planned" if stop.planned else ""
        rows.append(
            (
                name,
                station_words(stop.station),
                f"{stop.interval.average():,.0f} {_METER_WORDS[stop.meter]}{each}",
                f"{stop.restore_min.average():g} min{planned}",
                str(stop.people),
                _spoils(stop),
            )
        )
    return _CAUSE_COLUMNS, rows


def _spoils(stop: Stop) -> str:
    found = []
    if stop.spoils_cuts:
        found.append(f"{stop.spoils_cuts} cuts")
    if stop.spoils_web_m:
        found.append(f"{stop.spoils_web_m:g} m of web")
    if stop.spoils_pockets:
        found.append("pockets")
    if stop.spoils_reams:
        found.append(counted(stop.spoils_reams, "ream"))
    return ", ".join(found)
