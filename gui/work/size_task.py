"""The task of the bridge page: the curve first, then one more length at a time, same draws."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import linesim
from gui.work.ask_task import ask, ask_on, scenarios_of
from gui.work.messages import TaskCancelledError, TaskContext

_known: dict[str, Any] = {}
"""The runs of the curve on the page; this process makes no other."""


def ask_sizes(context: TaskContext, **asked: Any) -> linesim.report.Answer:
    """As :func:`gui.work.ask_task.ask`; the runs stay in memory for :func:`one_more_size`."""
    _known.clear()
    return ask(context, known=_known, **asked)


def one_more_size(
    context: TaskContext,
    *,
    question: linesim.questions.Question,
    scenario_texts: Sequence[tuple[str, str]],
    settings: linesim.studies.Settings,
    long_run: bool = False,
    study_file: Path | None = None,
) -> linesim.report.Answer:
    """The same question with one more place count among its ``places``: only that one is run.

    What is stopped says nothing, and goes on from its runs when it is asked once more.
    """
    answer = ask_on(
        context,
        question,
        scenarios_of(scenario_texts),
        settings,
        long_run=long_run,
        file=study_file,
        known=_known,
    )
    if answer.facts["stopped_early"]:
        raise TaskCancelledError
    return answer
