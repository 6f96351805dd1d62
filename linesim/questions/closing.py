"""The facts and closing notes that every answer carries."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from linesim.questions.answering import Said
from linesim.questions.kinds import Question
from linesim.report.answers import Answer
from linesim.report.plain import CAUTIONS, INVENTED
from linesim.report.start_words import start_words
from linesim.report.words import settled_words
from linesim.scenario import Scenario
from linesim.studies.runner import Runner
from linesim.studies.settling import Settled
from linesim.version import __version__


def answer_of(
    question: Question,
    scenarios: Mapping[str, Scenario],
    runner: Runner,
    settled: Settled | None,
    said: Said,
) -> Answer:
    """The answer, with what is needed to get the same again."""
    scenario = next(iter(scenarios.values()))
    settings = runner.settings
    return Answer(
        question.study,
        said.scenario or scenario.line.name,
        tuple(said.words),
        tuple(said.tables),
        (*said.notes, *_closing(scenario, runner, settled)),
        {
            "seed": settings.seed,
            "hours": settings.hours,
            "level": settings.level,
            "warm_up_h": settings.warm_up_h,
            "replications": settings.replications,
            "stopped_early": runner.interrupted,
            "invented": scenario.line.invented,
        },
        tuple(said.charts),
        said.sizes,
    )


def _closing(scenario: Scenario, runner: Runner, settled: Settled | None) -> Iterator[str]:
    settings = runner.settings
    yield start_words(scenario)
    if settled is not None:
        yield settled_words(settled)
    if scenario.line.invented:
        yield f"Note: {INVENTED}"
    for caution in CAUTIONS:
        yield f"Caution: {caution}"
    early = (
        " Stopped early: what is said rests on the runs that were complete."
        if (runner.interrupted)
        else ""
    )
    yield (
        f"linesim {__version__}, seed {settings.seed}, runs of {settings.hours:g} h,"
        f" {100 * settings.level:.0f} % intervals.{early}"
    )
