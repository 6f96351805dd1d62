"""How whole scenarios differ: the answer of ``compare``."""

from __future__ import annotations

from linesim.report.answers.answer import (
    AnswerContent,
    AnswerTable,
    Chart,
    Column,
    change,
    faster_but_less_words,
    figure,
    two_digits,
    verdict,
    written,
)
from linesim.report.answers.charts import Bar, Bars
from linesim.studies.compare import Comparison


def compare_answer(found: Comparison) -> AnswerContent:
    """The answer of ``compare``."""
    return AnswerContent(
        found,
        compare_words(found),
        _tables(found),
        _charts(found),
        _NOTES,
    )


def compare_words(found: Comparison) -> list[str]:
    """Each scenario against the first."""
    first = found.rows[0]
    words = [f"{first.name} makes {written(figure(first.reams_per_week))} good reams a week."]
    for row in found.rows[1:]:
        assert row.against_first is not None
        words.append(
            f"{row.name} makes {written(figure(row.reams_per_week))}; against {first.name},"
            f" {verdict(row.against_first, 'reams a week')}."
        )
        if row.too_fast is not None:
            words.append(faster_but_less_words(*row.too_fast))
    return words


def _tables(found: Comparison) -> tuple[AnswerTable, ...]:
    """The scenarios side by side, and what the pairing was worth."""
    return (
        AnswerTable(
            "scenarios",
            "Side by side (a week of 168 h)",
            (
                Column("scenario"),
                Column("good reams"),
                Column("against the first"),
                Column("unpaired ±"),
                Column("OEE", "%"),
                Column("paper wasted", "%"),
                Column("sheeter blocked", "h"),
                Column("lowest net rate", left=True),
            ),
            tuple(
                (
                    r.name,
                    figure(r.reams_per_week),
                    None if r.against_first is None else change(r.against_first),
                    None if r.against_first is None else two_digits(r.against_first),
                    figure(r.oee, 100),
                    figure(r.waste, 100),
                    figure(r.blocked_h_per_week),
                    r.slowest_by_net_rate,
                )
                for r in found.rows
            ),
        ),
    )


def _charts(found: Comparison) -> tuple[Chart, ...]:
    """Output side by side, and the paired difference to the first."""
    name = Column("scenario")
    return (
        Bars(
            "output",
            "What each line makes",
            name,
            Column("good output", "reams a week"),
            tuple(Bar(r.name, figure(r.reams_per_week)) for r in found.rows),
        ),
        Bars(
            "difference",
            f"Against {found.rows[0].name}, same random numbers",
            name,
            Column("difference in good output", "reams a week"),
            tuple(
                Bar(r.name, change(r.against_first))
                for r in found.rows
                if r.against_first is not None
            ),
        ),
    )


_NOTES = (
    "Causes and stations of the same name meet the same random numbers in each scenario: the more"
    " the scenarios have in common, the narrower the difference.",
)
