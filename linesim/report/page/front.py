"""Page one: the question, the answer in one sentence, the money, a picture, three risks."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.report.answers import Answer, AnswerContent
from linesim.report.answers.money_shown import money_shown
from linesim.report.answers.money_tables import sum_table, worth_table
from linesim.report.page import evidence
from linesim.report.page.costs import costs_grid, reams_a_year
from linesim.report.page.model import FrontPage, Grid, Paragraph
from linesim.report.page.risks import risks_of
from linesim.report.page.study_charts import chart_figure, parted
from linesim.report.plain import CAUTION_IN_SHORT, plain_hours
from linesim.report.story import story
from linesim.studies import Replicated, WhatHelps
from linesim.studies.worth import Market, Worth, prices_of

_QUESTION, _ANSWER, _BESIDE, _RISK = 240, 440, 420, 480
_WEEK_H = 168
_WIDE = 300.0
"""The picture, in points: it is printed larger, and on a phone still to be read."""
"""Letters that stand on page one; what is longer is cut there and stands in full behind it."""


def front_page(
    replicated: Replicated,
    answers: Sequence[Answer],
    question: str | None,
    helps: WhatHelps | str = "",
) -> FrontPage:
    """What is signed; the first answer is the one it is about, ``helps`` what the story ends in."""
    scenario = replicated.scenario
    told = story(replicated, "" if answers else helps).sentences
    first = answers[0] if answers else None
    worth = first.advised.worth if first else None
    charts = first.charts if first else ()
    invented = "Invented data. " if scenario.line.invented else ""
    return FrontPage(
        question=shortened(asked(replicated, answers, question), _QUESTION),
        answer=shortened(first.advised.sentence if first else told[0], _ANSWER),
        beside=shortened(f"{told[0]}{_by_the_week(replicated, first)} {told[-1]}", _BESIDE)
        if first
        else shortened(" ".join(told[1:]), 2 * _BESIDE),
        money=(costs_grid(replicated),)
        if first is None or worth is None
        else _money_of(replicated, worth, first.advised.market),
        chart=chart_figure(parted(charts[0])[0], "first", _WIDE)
        if charts
        else evidence.stairs_block(replicated),
        risks=tuple(
            Paragraph(shortened(risk.text, _RISK), risk.lead)
            for risk in risks_of(replicated, answers)
        ),
        caution=f"{invented}{CAUTION_IN_SHORT}",
    )


def _by_the_week(replicated: Replicated, answer: Answer) -> str:
    """What the line makes in the unit of a study that tells of weeks, beside that of a shift."""
    if "a week" not in answer.advised.sentence:
        return ""
    reams = replicated.measure("good_reams_per_hour").text(_WEEK_H)
    return f" At that pace a week of {_WEEK_H} h gives {reams}."


def asked(replicated: Replicated, answers: Sequence[Answer], question: str | None) -> str:
    """The question in the reader's words, else the first study's, else what a line is asked."""
    if question:
        return question
    if answers:
        return evidence.study_question(answers[0])
    hours = plain_hours(replicated.runs[0].hours)
    return f"What does the line make in {hours} h, why no more, and what holds it back?"


def _money_of(replicated: Replicated, worth: Worth, market: Market | None) -> tuple[Grid, ...]:
    """How the year adds up, and what that makes of the capital."""
    money = replicated.scenario.money
    market = market or Market(
        reams_a_year(replicated), money.demand_reams_per_year, money.hours_per_year
    )
    summed = sum_table([("a year", worth)], prices_of(replicated.scenario), market)
    made = worth_table([("", worth)])
    summed, made = money_shown(AnswerContent(None, (), (summed, made)), money.currency).tables
    rows = [
        (column.heading, column.text(cell))
        for column, cell in zip(made.columns, made.rows[0], strict=True)
    ][1:]
    title = f"Capital, and what comes back in {worth.purchase.years:g} years"
    return (*evidence.answer_grids(summed), Grid(title, ("figure", "value"), tuple(rows)))


def shortened(text: str, most: int) -> str:
    """The text, or as many of its words as have room.

    >>> shortened("one two three", 8)
    'one two…'
    """
    if len(text) <= most:
        return text
    return text[: most + 1].rpartition(" ")[0][:most].rstrip(" ,;:") + "…"
