"""A wearing part changed by plan against run to failure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.questions.study import Study
from linesim.questions.study_options import QuestionError, StudyOptions, option

if TYPE_CHECKING:
    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner


def _parts(scenario: Scenario) -> list[str]:
    from linesim.studies.plan_changes import part_names

    return part_names(scenario)


class PlanChangesOptions(StudyOptions):
    """Which part, and which intervals."""

    cause: str | None = option(
        None,
        "Stop cause",
        "The stop cause of the part, such as slitter knives; where it stops several stations, glue"
        " at wrapper 2. Unless given, the one that has a time of a planned change (change_min).",
        empty="the one with a time of a planned change",
        flag="CAUSE",
        metavar="[CAUSE]",
        argument=True,
        offered=_parts,
    )
    every: str | None = option(
        None,
        "Intervals to try",
        "From, to and how many (100:700:7), or a list (200,400), in the unit of the cause's"
        " interval. Unless given, they are chosen round the best by formula. The present plan and"
        " run to failure are tried anyway.",
        empty="chosen for this part",
        metavar="FROM:TO:COUNT",
    )
    change_min: float = option(
        0.0,
        "A planned change takes",
        "Mean time of a planned change; 0: as the stop cause says.",
        unit="min",
        empty="as the scenario says",
        metavar="MINUTES",
        ge=0,
        le=10_000,
    )


def _answer(
    scenario: Scenario, runner: Runner, options: PlanChangesOptions, _: bool
) -> AnswerContent:
    from linesim.report.answers.plan_changes import plan_changes_answer
    from linesim.scenario import ScenarioFaults
    from linesim.studies.plan_changes import (
        PlanError,
        plan_changes,
        plans_to_try,
        wearing_part,
        with_change_min,
        with_plan,
    )
    from linesim.studies.vary import read_values

    try:
        place = wearing_part(scenario, options.cause)
    except PlanError as error:
        raise QuestionError("cause", str(error)) from None
    try:
        line = with_change_min(scenario, place, options.change_min or None)
    except PlanError as error:
        raise QuestionError("change_min", str(error)) from None
    intervals = plans_to_try(line, place)
    if options.every is not None:
        intervals = list(read_values(options.every, options.every))
    for each in intervals:
        try:
            with_plan(line, place, each)
        except ScenarioFaults as error:
            fault = error.faults[0]
            words = f"{each:g}: {fault.problem}; right would be: {fault.would_be_right}"
            raise QuestionError("every", words) from None
    return plan_changes_answer(line, plan_changes(line, runner, place, intervals))


STUDY = Study(
    name="plan-changes",
    position=45,
    title="Planned changes",
    part="stop",
    question="Does changing a wearing part by plan pay, and how often?",
    description="What the line makes with the part of a stop cause changed by plan, from often to"
    " never, all else meeting the same random numbers; beside it the closed form of age"
    " replacement.",
    example='short-bridge "label printer" --change-min 1 --hours 24 --replications 4',
    options=PlanChangesOptions,
    answer=_answer,
)
