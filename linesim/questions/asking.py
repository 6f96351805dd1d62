"""Asking: runs are made, few of each variant first where somebody watches, and an answer given."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import Executor
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from linesim.questions.kinds import Question
from linesim.questions.options import QuestionError
from linesim.questions.study_files import note_question, study_file_for

if TYPE_CHECKING:
    from linesim.report.answers import Answer
    from linesim.scenario import Scenario
    from linesim.studies.outcome import Outcome
    from linesim.studies.progress import Progress
    from linesim.studies.runner import Runner, Settings
    from linesim.studies.settling import Settled
    from linesim.studies.study_file import StudyFile


def ask(
    question: Question,
    scenarios: Mapping[str, Scenario],
    settings: Settings,
    *,
    long_run: bool = False,
    file: StudyFile | Path | None = None,
    progress: Callable[[Progress], None] | None = None,
    partial: Callable[[Answer], None] | None = None,
    executor: Executor | None = None,
    stop: Callable[[], bool] | None = None,
    known: dict[str, Outcome] | None = None,
) -> Answer:
    """Make the runs and answer; the first scenario is the one it is about.

    ``long_run`` leaves the start of each run out (MSER-5). Finished runs are kept in ``file`` and
    taken from it; a dict given as ``known`` does the same in memory, so that a question that
    differs from the one before in one bridge length makes the runs of that length. ``partial`` is
    given answers that rest on the runs so far: 2 of each variant, 3, 5, 8 and so on; the last
    answer is the same with and without. Once ``stop`` says True no further run is begun, and the
    answer rests on the runs that are complete.

    Raises :class:`QuestionError` (or another ``ValueError``) for what cannot be asked of these
    scenarios, ``StudyFileError`` for a file that cannot be used, and ``StoppedError``, a
    ``KeyboardInterrupt``, where it was stopped before anything can be said.
    """
    from linesim.studies.runner import Runner

    kept: AbstractContextManager[StudyFile | None]
    kept = study_file_for(file, scenarios) if isinstance(file, Path) else nullcontext(file)
    with kept as opened:
        runner = Runner(
            settings, file=opened, progress=progress, executor=executor, stop=stop, known=known
        )
        with runner:
            return answer_with(runner, question, scenarios, opened, long_run, partial)


def answer_with(
    runner: Runner,
    question: Question,
    scenarios: Mapping[str, Scenario],
    file: StudyFile | None,
    long_run: bool,
    partial: Callable[[Answer], None] | None = None,
) -> Answer:
    """What :func:`ask` does, with a runner that is open already."""
    from linesim.questions.closing import answer_of

    if not scenarios:
        raise QuestionError("", "a study needs a scenario")
    if question.kind.several and len(scenarios) < 2:
        raise QuestionError("", "name two or more different scenarios to compare")
    if long_run and question.kind.no_long_run:
        raise QuestionError("long-run", question.kind.no_long_run)
    settings = runner.settings
    if file is not None:
        note_question(file, question, scenarios, settings, long_run)
    settled: Settled | None = None
    if long_run:
        from linesim.studies.settling import (
            NotSettledError,
            find_long_run,
            in_the_long_run,
            settings_after,
        )

        scenarios = {name: in_the_long_run(each) for name, each in scenarios.items()}
        try:
            settled = find_long_run(next(iter(scenarios.values())), runner)
        except NotSettledError as error:
            raise QuestionError("long-run", str(error)) from None
        runner.settings = settings = settings_after(settings, settled)
    if partial is not None:
        runner.grow_to(settings.replications)
        for count in _growing(settings.replications):
            runner.settings = replace(settings, replications=count, narrow=None)
            said = question.kind.answer(scenarios, runner, question.options, True)
            if runner.interrupted:
                break
            partial(answer_of(question, scenarios, runner, settled, said))
        runner.grow_to(None)
    runner.settings = settings
    said = question.kind.answer(scenarios, runner, question.options, False)
    return answer_of(question, scenarios, runner, settled, said)


def _growing(replications: int) -> Iterator[int]:
    """2, 3, 5, 8, 12, 20 and then half as many again each time, below ``replications``."""
    steps = iter((2, 3, 5, 8, 12, 20))
    count = next(steps)
    while count < replications:
        yield count
        count = next(steps, count + count // 2)
