"""The cheapest way to an output."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.questions.study import Study
from linesim.questions.study_options import (
    QuestionError,
    StudyOptions,
    option,
    years_a_place_lasts,
)

if TYPE_CHECKING:
    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner


class MeetTargetOptions(StudyOptions):
    """The output, how sure it must be, and how long things last."""

    reams_per_week: float = option(
        0.0,
        "Good reams a week",
        "The output that is asked for, in good reams a week of 168 hours of the line.",
        unit="reams",
        empty="say how many",
        required=True,
        ge=0,
        le=1e8,
    )
    certainty_percent: float = option(
        90.0,
        "Certainty",
        "How sure it must be that the mean of all weeks is at least as much.",
        unit="%",
        flag="--certainty",
        metavar="PERCENT",
        ge=50,
        le=99.9,
    )
    years: float = years_a_place_lasts()


def _answer(
    scenario: Scenario, runner: Runner, options: MeetTargetOptions, partial: bool
) -> AnswerContent:
    from linesim.report.answers.meet_target import meet_target_answer
    from linesim.studies.meet_target import meet_target

    if not options.reams_per_week:
        raise QuestionError(
            "reams_per_week", "say how many good reams a week are asked for, such as 300000"
        )
    found = meet_target(
        scenario,
        runner,
        options.reams_per_week,
        certainty=options.certainty_percent / 100,
        years=options.years,
        check=not partial,
    )
    return meet_target_answer(scenario, found)


STUDY = Study(
    name="meet-target",
    position=30,
    title="Reach an output",
    part="levers",
    question="What is the cheapest way to so many reams a week?",
    description="Which levers of the line reach so many good reams a week for the least money;"
    " searched with the same random numbers, checked with fresh ones. What may be changed, how far"
    " and for how much is in [levers] of the scenario.",
    example="short-bridge --reams-per-week 330000 --hours 24 --replications 4",
    by_pace=True,
    options=MeetTargetOptions,
    gone={
        "--places": "how long the bridge may be is longest_m in [bridge] now",
        "--more-people": "how many more people may be had is more_people in [levers] now",
        "--person-cost": "what a person costs is person_cost_per_year or wage_per_h in [money] now",
    },
    answer=_answer,
)
