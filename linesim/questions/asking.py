"""Asking: runs are made, few of each variant first where somebody watches, and an answer given."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import Executor
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from linesim.questions.question import Question
from linesim.questions.study_files import note_question, study_file_for
from linesim.questions.study_options import QuestionError
from linesim.version import __version__

if TYPE_CHECKING:
    from linesim.questions.study import Study
    from linesim.report.answers import Answer, AnswerContent
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
    growing: bool = True,
) -> Answer:
    """What :func:`ask` does, with a runner that is open already.

    Unless ``growing``, ``partial`` is given only what a long search says of itself on its way.
    """
    study = question.declaration
    if not scenarios:
        raise QuestionError("", "a study needs a scenario")
    if study.several and len(scenarios) < 2:
        raise QuestionError("", "name two or more different scenarios to compare")
    if long_run and study.no_long_run:
        raise QuestionError("long_run", study.no_long_run)
    settings = runner.settings
    if file is not None:
        note_question(file, question, scenarios, settings, long_run)
    scenarios = runner.as_stated(scenarios)
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
            raise QuestionError("long_run", str(error)) from None
        runner.settings = settings = settings_after(settings, settled)

    def content(so_far: bool) -> AnswerContent:
        about = scenarios if study.several else next(iter(scenarios.values()))
        return study.answer(about, runner, question.options, so_far)

    if partial is not None:
        runner.so_far = lambda known: partial(_complete(known, study, scenarios, runner, settled))
    if partial is not None and growing:
        runner.grow_to(settings.replications)
        for count in _growing(settings.replications, runner.runs_for):
            runner.settings = replace(settings, replications=count, narrow=None)
            found = content(so_far=True)
            if runner.interrupted:
                break
            partial(_complete(found, study, scenarios, runner, settled))
            runner.answered += 1
        runner.grow_to(None)
    runner.settings = settings
    return _complete(content(so_far=False), study, scenarios, runner, settled, measured=True)


def _complete(
    content: AnswerContent,
    study: Study,
    scenarios: Mapping[str, Scenario],
    runner: Runner,
    settled: Settled | None,
    *,
    measured: bool = False,
) -> Answer:
    """The answer, with the cautions of all answers and what is needed to get the same again.

    Where it is to be ``measured``, with what to measure next.
    """
    from linesim.report.answers import Answer
    from linesim.report.answers.answer import with_orders_run_out
    from linesim.report.answers.money_shown import money_shown
    from linesim.report.answers.tornado import with_tornado
    from linesim.report.answers.what_to_measure import with_what_to_measure

    scenario, settings = next(iter(scenarios.values())), runner.settings
    if runner.orders_made_ns is not None and not study.by_pace:
        words = with_orders_run_out(content.words, settings.hours, runner.orders_made_ns)
        # Nothing is advised by figures that could not show a difference.
        content = replace(content, words=words, advice=None)
    content = with_tornado(content)
    if measured:
        lines = scenarios.values()
        content = with_what_to_measure(content, lines, runner.doubted, settings.seed)
    content = money_shown(content, scenario.money.currency)
    return Answer(
        study=study.name,
        scenario=", ".join(scenarios) if study.several else scenario.line.name,
        words=tuple(content.words),
        tables=tuple(content.tables),
        notes=(*content.notes, *_notes_of_all(content, scenario, runner, settled)),
        facts={
            "seed": settings.seed,
            "hours": settings.hours,
            "level": settings.level,
            "warm_up_h": settings.warm_up_h,
            "replications": runner.whole or settings.replications,
            "stopped_early": runner.interrupted,
            "invented": scenario.line.invented,
        },
        charts=tuple(content.charts),
        question=study.question,
        brief=content.brief,
        variants=content.variants,
        prices=content.prices,
        found=content.found,
        advice=content.advice,
    )


def _notes_of_all(
    content: AnswerContent, scenario: Scenario, runner: Runner, settled: Settled | None
) -> Iterator[str]:
    from linesim.report.plain import CAUTIONS, INVENTED, plain_hours
    from linesim.report.start_words import start_words
    from linesim.report.words import TWO_PARTS, TWO_PARTS_OF_MONEY, settled_words

    settings = runner.settings
    if runner.crossed:
        yield f"{TWO_PARTS}."
    elif runner.doubted and content.prices:
        yield f"{TWO_PARTS_OF_MONEY}."
    yield content.start or start_words(scenario)
    if settled is not None:
        yield settled_words(settled)
    if scenario.line.invented:
        yield f"Note: {INVENTED}"
    for caution in CAUTIONS:
        yield f"Caution: {caution}"
    early = " Stopped early: what is said rests on the runs that were complete."
    yield (
        f"linesim {__version__}, seed {settings.seed}, runs of {plain_hours(settings.hours)} h,"
        f" {100 * settings.level:.0f} % intervals.{early if runner.interrupted else ''}"
    )


def _growing(replications: int, runs_for: Callable[[int], int]) -> Iterator[int]:
    """2, 3, 5, 8, 12, 20 and then half as many again each time, below ``replications``.

    Those are left out that make no more runs than the one before.
    """
    steps = iter((2, 3, 5, 8, 12, 20))
    count, made = next(steps), 0
    while runs_for(count) < runs_for(replications):
        if runs_for(count) > made:
            made = runs_for(count)
            yield count
        count = next(steps, count + count // 2)
