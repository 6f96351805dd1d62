"""An answer's money in the currency of its scenario: where an answer is put together, once."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any, TypeVar

from linesim.report.answers.answer import AnswerContent
from linesim.report.answers.cells import Column
from linesim.report.answers.charts import Chart
from linesim.report.answers.tables import AnswerTable
from linesim.scenario import in_currency, unit_in

_Shown = TypeVar("_Shown", AnswerTable, Chart)


def money_shown(content: AnswerContent, currency: str | None) -> AnswerContent:
    """The content with its currency in words, tables and charts; see ``in_currency``."""
    advice = content.advice
    if advice is not None:
        advice = replace(advice, sentence=in_currency(advice.sentence, currency))
    return replace(
        content,
        words=[in_currency(text, currency) for text in content.words],
        tables=[_shown(_told(table, currency), currency) for table in content.tables],
        charts=[_shown(chart, currency) for chart in content.charts],
        notes=[in_currency(text, currency) for text in content.notes],
        advice=advice,
    )


def _told(table: AnswerTable, currency: str | None) -> AnswerTable:
    """Of a line that says nothing of money, without columns of money in which nothing stands."""
    kept = [
        n
        for n, column in enumerate(table.columns)
        if currency is not None
        or not column.unit.startswith("money")
        or any(row[n] is not None for row in table.rows)
    ]
    return replace(
        table,
        columns=tuple(table.columns[n] for n in kept),
        rows=tuple(tuple(row[n] for n in kept) for row in table.rows),
    )


def _shown(shown: _Shown, currency: str | None) -> _Shown:
    """Every text in it, and every column's unit."""

    def of(value: Any) -> Any:
        if isinstance(value, Column):
            return replace(value, unit=unit_in(value.unit, currency))
        if isinstance(value, str):
            return in_currency(value, currency)
        if isinstance(value, tuple):
            found = [of(each) for each in value]
            # Cells, points and bars are tuples with names.
            return tuple(found) if type(value) is tuple else type(value)(*found)
        return value

    return replace(shown, **{f.name: of(getattr(shown, f.name)) for f in fields(shown)})
