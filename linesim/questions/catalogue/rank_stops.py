"""What each stop cause really costs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.questions.study import Study
from linesim.questions.study_options import StudyOptions

if TYPE_CHECKING:
    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner


def _answer(scenario: Scenario, runner: Runner, _: StudyOptions, __: bool) -> AnswerContent:
    from linesim.report.answers.rank_stops import rank_stops_answer
    from linesim.studies.rank_stops import rank_stops

    return rank_stops_answer(scenario, rank_stops(scenario, runner))


STUDY = Study(
    name="rank-stops",
    position=40,
    title="What stops cost",
    group="Where it is lost",
    part="stop",
    question="What does each stop cause really cost at the end of the line?",
    description="The reams gained at the end of the line when that cause alone is taken away, all"
    " else meeting the same random numbers; then what improving each station would give.",
    example="short-bridge --hours 8 --replications 4",
    options=StudyOptions,
    answer=_answer,
)
