"""The question, and the truth beside the sum, as the page shows them."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

import linesim

_CELL = 'valign="top" style="padding-right: 16px"'
_BELOW = 'valign="top" style="padding-right: 16px; padding-top: 10px"'


def question_html(lesson: linesim.lessons.Lesson, scenario: linesim.Scenario) -> str:
    """Story and question, and the figures of the line that the sum needs."""
    mark = "<p><i>The line is invented.</i></p>" if lesson.invented else ""
    figures = "".join(
        f"<tr><td {_CELL}>{escape(name)}</td><td><b>{escape(value)}</b></td></tr>"
        for name, value in linesim.report.lesson_figures(lesson, scenario)
    )
    return (
        f'<table width="100%"><tr><td {_CELL}><h3>{escape(lesson.title)}</h3>'
        f"<p>{escape(_one_line(lesson.story))}</p><p><b>{escape(lesson.asks)}</b></p>{mark}</td>"
        f"<td {_CELL}><h4>The line's figures</h4><table>{figures}</table></td></tr></table>"
    )


def truth_html(
    lesson: linesim.lessons.Lesson, truth: linesim.lessons.LessonTruth, answer: float
) -> str:
    """The question once more, then truth and why beside the sum and a run: the picture below has
    the room that two columns spare."""
    first, *others = map(_told, linesim.report.truth_words(lesson, truth, answer))
    said = f"<p><b>{first}</b></p>" + "".join(f"<p>{line}</p>" for line in others)
    # The heading says what the last sentence does: that this is one run.
    *happened, _ = linesim.report.disturbance_words(truth.first[1], truth.first_disturbance)
    return (
        f"<p>{escape(lesson.title)}. <b>{escape(lesson.asks)}</b></p>"
        f'<table width="100%"><tr><td width="50%" {_BELOW}><h4>What happens</h4>{said}'
        f"<p>{escape(_one_line(lesson.afterwards))}</p></td>"
        f'<td width="50%" {_BELOW}><h4>The sum on paper</h4>{_list(truth.sum.steps)}'
        f"<h4>What happened in the first of the runs</h4>{_list(happened)}</td></tr></table>"
    )


def _told(words: str) -> str:
    return escape(linesim.report.unbroken(words))


def _one_line(words: str) -> str:
    return " ".join(words.split())


def _list(lines: Iterable[str]) -> str:
    return "<ul>" + "".join(f"<li>{_told(line)}</li>" for line in lines) + "</ul>"
