"""Whole scenarios side by side."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from linesim.questions.study import Study
from linesim.questions.study_options import StudyOptions

if TYPE_CHECKING:
    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner


def _answer(
    scenarios: Mapping[str, Scenario], runner: Runner, _: StudyOptions, __: bool
) -> AnswerContent:
    from linesim.report.answers.compare import compare_answer
    from linesim.studies.compare import compare

    # As every other answer names its line; files of lines with one name keep theirs.
    by_name = {scenario.line.name: scenario for scenario in scenarios.values()}
    if len(by_name) == len(scenarios):
        scenarios = by_name
    return compare_answer(scenarios, compare(scenarios, runner))


STUDY = Study(
    name="compare",
    position=70,
    title="Scenarios compared",
    question="How do whole scenarios differ, with the same random numbers?",
    description="With the same random numbers; the others are compared with the first.",
    example="short-bridge two-wrappers --hours 24 --replications 4",
    options=StudyOptions,
    answer=_answer,
    several=True,
)
