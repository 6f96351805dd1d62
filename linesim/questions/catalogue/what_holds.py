"""Which station holds the line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.questions.study import Study
from linesim.questions.study_options import StudyOptions, option

if TYPE_CHECKING:
    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner


class WhatHoldsOptions(StudyOptions):
    """How much each station is improved by."""

    step_percent: float = option(
        5.0,
        "Small improvement",
        "How much faster each station is made.",
        unit="%",
        flag="--step",
        metavar="PERCENT",
        ge=0.1,
        le=100,
    )


def _answer(
    scenario: Scenario, runner: Runner, options: WhatHoldsOptions, _: bool
) -> AnswerContent:
    from linesim.report.answers.what_holds import what_holds_answer
    from linesim.studies.what_holds import what_holds

    return what_holds_answer(
        scenario, what_holds(scenario, runner, step=options.step_percent / 100)
    )


STUDY = Study(
    name="what-holds",
    position=50,
    title="What holds the line",
    group="Where it is lost",
    part="line",
    question="Which station holds the line?",
    description="By four signs: by net rate, by what the others wait for, by the longest"
    " active periods, and by what a small improvement adds; with what to believe where they"
    " differ.",
    example="slow-wrapper --hours 8 --replications 4",
    options=WhatHoldsOptions,
    answer=_answer,
)
