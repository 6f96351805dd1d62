"""How whole scenarios differ: the answer of ``compare``."""

from __future__ import annotations

from collections.abc import Mapping

from linesim.report.answers.advice import Advice
from linesim.report.answers.answer import (
    UNPAIRED,
    AnswerContent,
    faster_but_less_words,
    two_digits,
    verdict,
)
from linesim.report.answers.cells import Column
from linesim.report.answers.charts import Bars, bars
from linesim.report.answers.choice_words import choice_words
from linesim.report.answers.tables import AnswerTable
from linesim.report.plain import listed, station_name
from linesim.scenario import Scenario, field_groups
from linesim.studies.compare import Compared, Comparison
from linesim.studies.what_to_measure import MainFigure

_NAMED = 5
"""So many parts in which scenarios differ are named."""


def compare_answer(scenarios: Mapping[str, Scenario], found: Comparison) -> AnswerContent:
    """The answer of ``compare``."""
    best = max(found.rows, key=lambda row: row.reams_per_week.mean)
    return AnswerContent(
        found,
        compare_words(found, scenarios),
        (_table(scenarios, found),),
        _charts(found),
        _NOTES,
        main=MainFigure.gain(best.against_first, best.reams_per_week),
        advice=_advice(found, best),
    )


def _advice(found: Comparison, best: Compared) -> Advice:
    first = found.rows[0].name
    if best.against_first is None:
        return Advice(f"None is shown to make more than {first}.")
    against = verdict(best.against_first, "reams a week", of="")
    return Advice(f"{best.name} makes most; against {first}: {against}.")


def compare_words(found: Comparison, scenarios: Mapping[str, Scenario]) -> list[str]:
    """Each scenario against the first, and in what it is another line."""
    first = found.rows[0]
    words = []
    for row in found.rows[1:]:
        assert row.against_first is not None
        words.append(
            f"{row.name}: against {first.name}, {verdict(row.against_first, 'reams a week')};"
            f" in all {row.reams_per_week.text()}."
            f"{_other_in(scenarios[first.name], scenarios[row.name])}"
        )
        if row.too_fast is not None:
            words.append(faster_but_less_words(*row.too_fast))
    words.append(f"{first.name} makes {first.reams_per_week.text()} good reams a week.")
    if found.choice is not None:
        words.append(choice_words(found.choice, [row.name for row in found.rows], "reams a week"))
    return words


def _other_in(first: Scenario, other: Scenario) -> str:
    """The parts in which two scenarios differ: what is told is of all of them together."""
    mine, its = (line.model_dump(exclude={"line": {"name"}}) for line in (first, other))
    titles = {group.name: group.title for group in field_groups()}
    parts = [titles.get(name, name) for name in mine if mine[name] != its[name]]
    if not parts:
        return ""
    named = listed(parts) if len(parts) <= _NAMED else f"{len(parts)} parts of the scenario"
    together = "" if len(parts) == 1 else ": that is what all of them make together"
    return f" The two differ in {named}{together}."


def _table(scenarios: Mapping[str, Scenario], found: Comparison) -> AnswerTable:
    """The scenarios side by side, and what the pairing was worth."""
    return AnswerTable.of(
        "scenarios",
        "Side by side (a week of 168 h)",
        found.rows,
        ("scenario", lambda r: r.name),
        ("good reams", lambda r: r.reams_per_week),
        ("against the first", lambda r: r.against_first),
        (
            Column("unpaired ±", said=UNPAIRED, rank=5),
            lambda r: r.against_first and two_digits(r.against_first),
        ),
        (Column("OEE", "%", rank=1), lambda r: r.oee),
        (Column("avoidable waste", "%", rank=2), lambda r: r.waste),
        (Column("sheeter blocked", "h", rank=3), lambda r: r.blocked_h_per_week),
        (
            Column("lowest net rate", left=True, rank=4),
            lambda r: station_name(scenarios[r.name], r.slowest_by_net_rate),
        ),
    )


def _charts(found: Comparison) -> tuple[Bars, ...]:
    """The paired difference to the first, then output side by side."""
    first, *others = found.rows
    return (
        bars(
            "difference",
            f"Against {first.name}, same random numbers",
            "scenario",
            Column("difference in good output", "reams a week"),
            ((r.name, r.against_first) for r in others),
        ),
        bars(
            "output",
            "What each line makes",
            "scenario",
            Column("good output", "reams a week"),
            ((r.name, r.reams_per_week) for r in found.rows),
        ),
    )


_NOTES = (
    "Causes and stations of the same name meet the same random numbers in each scenario: the more"
    " the scenarios have in common, the narrower the difference.",
)
