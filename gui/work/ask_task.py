"""The task of a study: many runs, answers that grow, and a file from which it goes on."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import linesim
from gui.work.messages import TaskCancelledError, TaskContext


@dataclass(frozen=True)
class KeptRuns:
    """How many finished runs were found, and in which file the study keeps them."""

    path: Path
    found: int


def ask(
    context: TaskContext,
    *,
    question: linesim.questions.Question,
    scenario_texts: Sequence[tuple[str, str]],
    settings: linesim.studies.Settings,
    long_run: bool = False,
    study_file: Path | None = None,
    known: dict[str, Any] | None = None,
) -> linesim.report.Answer:
    """Ask; partial answers and first of all the :class:`KeptRuns` are told on the way.

    Without ``study_file`` the runs are kept in the cache until the study is complete; where that
    cannot be done they are not kept, and the study goes on. ``known`` as ``ask`` has it.
    """
    scenarios = scenarios_of(scenario_texts)
    with contextlib.ExitStack() as stack:
        path, file = study_file, None
        try:
            path = study_file or linesim.questions.cached_study(question.study, scenarios)
            file = linesim.questions.study_file_for(path, scenarios, may_fail=study_file is None)
        except (OSError, linesim.studies.StudyFileError):
            if study_file is not None:
                raise
        if file is not None and path is not None:
            stack.enter_context(file)
            context.partial(KeptRuns(path, len(file)))

        answer = ask_on(
            context,
            question,
            scenarios,
            settings,
            long_run=long_run,
            file=file,
            partial=context.partial,
            known=known,
        )
    if study_file is None and file is not None and not answer.facts["stopped_early"]:
        file.path.unlink(missing_ok=True)
    return answer


def scenarios_of(texts: Sequence[tuple[str, str]]) -> dict[str, linesim.scenario.Scenario]:
    """The scenarios of their names and texts."""
    return {
        name: linesim.scenario.check_text(text, file=name or "scenario") for name, text in texts
    }


def ask_on(
    context: TaskContext,
    question: linesim.questions.Question,
    scenarios: dict[str, linesim.scenario.Scenario],
    settings: linesim.studies.Settings,
    **more: Any,
) -> linesim.report.Answer:
    """Ask, with progress told to the window and stopped when the window says so."""

    def so_far(progress: linesim.studies.Progress) -> None:
        context.progress(progress.part, progress.words)

    try:
        return linesim.questions.ask(
            question, scenarios, settings, progress=so_far, stop=context.cancelled, **more
        )
    except linesim.studies.StoppedError:
        raise TaskCancelledError from None
    except linesim.questions.QuestionError as error:
        # In the words of the form, not those of the command.
        label = f"{question.declaration.label_of(error.option)}: " if error.option else ""
        raise ValueError(f"{label}{error.problem}") from None


def kept_answer(
    context: TaskContext, *, path: Path
) -> tuple[linesim.scenario.Scenario, linesim.report.Answer]:
    """What a study file answers, without making a run."""
    context.progress(None, f"reading {path.name}")
    return linesim.questions.answer_from_file(path)
