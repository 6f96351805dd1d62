"""What to measure next: the doubts of an answer ranked by what they make of its width."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from linesim.report.answers.answer import AnswerContent
from linesim.report.answers.cells import Cell, Column, Figure
from linesim.report.answers.charts import Bar, Bars
from linesim.report.answers.tables import AnswerTable
from linesim.report.plain import station_name
from linesim.scenario import Doubted, Scenario, field_groups
from linesim.statistics import counted, rounded
from linesim.statistics.variance_shares import MOST_RUNS
from linesim.studies.what_to_measure import (
    AtMost,
    Measurable,
    WhatToMeasure,
    at_most,
    what_to_measure,
)

NAME, TITLE = "what-to-measure", "What to measure next"
_MOST_ROWS, _LEAST = 8, 0.015
_SHARE = Column("share of what is not known", "%")


def with_what_to_measure(
    content: AnswerContent, lines: Iterable[Scenario], doubts: Sequence[Doubted], seed: int
) -> AnswerContent:
    """The content with what to measure next, last of all; unchanged where nothing is doubted."""
    found = what_to_measure(content.main, lines, doubts, seed)
    if found is None:
        return content
    return replace(
        content,
        words=(*content.words, f"{TITLE}: {measure_words(found)}"),
        tables=(*content.tables, measure_table(found)),
        charts=(*content.charts, measure_chart(found)),
    )


def measure_words(found: WhatToMeasure) -> str:
    """Which doubt makes most, what would narrow it to what, and whether the runs tell it."""
    interval, first = found.figure.interval, found.ranked[0]
    low, high = _ends(first)
    now, then = _width(interval.both), _width(first.both_then)
    left = f": {now} → {then}" if then != now else f" would leave {now} as it is"
    words = (
        f"{name_of(first, found.ranked)} ({basis_of(first)}) makes {_percent(first.share)} %"
        f" ({low} to {high}) of what is not known of the {found.figure.name};"
        f" {what_of(first)}{left}."
    )
    if found.runs_to_tell is None:
        words += f" Even {MOST_RUNS:,} runs may not tell which makes most."
    elif found.runs_to_tell:
        words += f" Whether it makes most is not sure; {found.runs_to_tell:,} runs would tell."
    return words


def measure_table(found: WhatToMeasure) -> AnswerTable:
    """The greatest by what they make of the width, the others together, and what none makes."""
    shown, others = _shown(found)
    rows: list[tuple[Cell, ...]] = [
        (
            name_of(each, found.ranked),
            basis_of(each),
            _percent(each.share),
            "–".join(map(str, _ends(each))),
            what_of(each),
            _two_digits(each.both_then),
        )
        for each in shown
    ]
    left = sum(each.share for each in others)
    more = [(counted(len(others), "other"), left)] if others else []
    more.append(("the rest", found.rest))
    return AnswerTable.of(
        NAME,
        f"{TITLE}: what is not known of the {found.figure.name}"
        f" ({_width(found.figure.interval.both)} in all)",
        [*rows, *((name, "", _percent(share), "", "", None) for name, share in more)],
        ("doubt", lambda row: row[0]),
        (Column("known from", left=True, rank=2), lambda row: row[1]),
        (Column("share", "%", bar=True), lambda row: row[2]),
        (Column("from, to", rank=1), lambda row: row[3]),
        (Column("measure", left=True), lambda row: row[4]),
        (Column("± then", digits=2), lambda row: row[5]),
    )


def measure_chart(found: WhatToMeasure) -> Bars:
    """The ranked list as bars."""
    rows = tuple(
        Bar(name_of(each, found.ranked), Figure(_percent(each.share), 0.0))
        for each in _shown(found)[0]
    )
    return Bars(NAME, TITLE, Column("doubt"), _SHARE, rows, plain=True)


def first_look_table(scenario: Scenario) -> AnswerTable | None:
    """Doubts by what they do at most, from the scenario alone; None where none does anything."""
    found = at_most(scenario)
    if not found:
        return None
    return AnswerTable.of(
        NAME,
        f"{TITLE}: what each doubt makes at most, of the net rate of its station",
        found[:_MOST_ROWS],
        ("doubt", lambda each: name_of(each, found)),
        (Column("known from", left=True, rank=2), basis_of),
        (Column("station", left=True, rank=1), lambda each: station_name(scenario, each.station)),
        (
            Column("net rate ±", "%", bar=True, digits=2),
            lambda each: _two_digits(100 * each.half_width),
        ),
        (Column("measure", left=True), what_of),
        (Column("± then", digits=2), lambda each: _two_digits(100 * each.then)),
    )


def _shown(found: WhatToMeasure) -> tuple[Sequence[Measurable], Sequence[Measurable]]:
    great = [each for each in found.ranked if each.share >= _LEAST] or found.ranked[:1]
    count = min(_MOST_ROWS, len(great))
    return found.ranked[:count], found.ranked[count:]


def name_of(each: Measurable | AtMost, among: Sequence[Measurable | AtMost]) -> str:
    """What is doubted: a stop cause, with its station where others share its name, or a field."""
    first = each.figures[0]
    label = _label(first)
    if first.table != "stop":
        return f"{first.entry or first.table.replace('_', ' ')}: {label}"
    cause = first.entry.rpartition(" at ")[0]
    alike = {
        other.figures[0].entry
        for other in among
        if other.figures[0].table == "stop"
        and other.figures[0].entry.rpartition(" at ")[0] == cause
    }
    name = cause if len(alike) == 1 else first.entry
    logged = first.doubt.stops is not None or first.doubt.days is not None
    return name if logged else f"{name}: {label}"


def basis_of(each: Measurable | AtMost) -> str:
    """What the doubt rests on: stops in days of a log, or what somebody says."""
    doubt = each.figures[0].doubt
    stops = None if doubt.stops is None else counted(doubt.stops, "stop")
    days = None if doubt.days is None else counted(float(f"{doubt.days:.3g}"), "day")
    logged = " in ".join(filter(None, (stops, days)))
    return logged or doubt.why or "judged"


def what_of(each: Measurable | AtMost) -> str:
    """What to measure."""
    if each.more_days is not None:
        return "two more weeks of log"
    return "ten measured stops" if each.more_stops is not None else "if it were known"


def _ends(each: Measurable) -> tuple[int, int]:
    return _percent(each.low), _percent(each.high)


def _percent(share: float) -> int:
    # Draws tell no more than whole per cents.
    return round(100 * share)


def _width(half_width: float) -> str:
    last = math.floor(math.log10(half_width)) - 1 if half_width else 0
    return f"± {rounded(half_width, last)}"


def _two_digits(half_width: float) -> float:
    return float(f"{half_width:.2g}")


def _label(figure: Doubted) -> str:
    """What a form calls its field."""
    fields = next(group.fields for group in field_groups() if group.name == figure.table)
    return next(field.label for field in fields if field.name == figure.field)
