"""When each order is done."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from linesim.questions.study import Study
from linesim.questions.study_options import QuestionError, StudyOptions, option

if TYPE_CHECKING:
    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner


class PlanOrdersOptions(StudyOptions):
    """Which sequences, and for how long."""

    sequences: str | None = option(
        None,
        "Other sequences to try",
        "Another sequence to try: numbers of the orders, 1 for the first of the file, such as"
        " 3,1,2. By due date and by least change-over are tried anyway.",
        flag="--sequence",
        empty="none",
        metavar="A,B,C",
        several=True,
    )
    aim: str | None = option(
        None,
        "Best by",
        "What the best sequence is looked for by: late-orders (fewest), lateness (least in total),"
        " finish (the last order done soonest), change-over (least time), greatest-lateness (least"
        " of the latest order); of equals the next of the first four tells. none: not looked for.",
        empty="late-orders",
        choices=(
            "late-orders",
            "lateness",
            "finish",
            "change-over",
            "greatest-lateness",
            "none",
        ),
        metavar="AIM",
    )
    find_hours: bool = option(
        True,
        "Find how long to run",
        "Runs are as long as the orders need. Otherwise as long as asked, done or not.",
        unless="hours",
    )


def _answer(
    scenario: Scenario, runner: Runner, options: PlanOrdersOptions, _: bool
) -> AnswerContent:
    from linesim.report.answers.plan_orders import plan_orders_answer
    from linesim.studies.best_sequence import best_sequence
    from linesim.studies.promise import promise
    from linesim.studies.runner import StoppedError
    from linesim.studies.sequences import (
        SequenceError,
        as_written,
        by_due_date,
        least_change_over,
        read_sequence,
    )

    if not scenario.order:
        raise QuestionError("", "the scenario has no [[order]]: there is nothing to promise")
    ways = {
        "as written": as_written(scenario),
        "by due date": by_due_date(scenario),
        "by least change-over": least_change_over(scenario),
    }
    for text in options.sequences.split(";") if options.sequences else ():
        try:
            ways[f"as told: {text.strip()}"] = read_sequence(scenario, text)
        except SequenceError as error:
            raise QuestionError("sequences", str(error)) from None
    found = promise(scenario, runner, ways, find_hours=options.find_hours)
    aim = options.aim or "late-orders"
    if aim != "none" and len(scenario.order) > 1 and not runner.interrupted:
        # Stopped on the way it has said when each order is done, which is what was asked first.
        with suppress(StoppedError):
            found = replace(found, best=best_sequence(scenario, runner, ways, aim))
    return plan_orders_answer(scenario, found)


STUDY = Study(
    name="plan-orders",
    position=80,
    title="When orders are done",
    group="What is due",
    part="order",
    question="When is each order done, what is late, and which sequence would be best?",
    description="In 1, 5 and 9 of 10 cases, with the chance of being late; then the orders by due"
    " date, by least change-over and in the best sequence found, and the reels and wrapping rolls"
    " to have ready. Unless hours are asked for, runs are as long as the orders need.",
    example="orders",
    by_pace=True,
    options=PlanOrdersOptions,
    answer=_answer,
    # Of fewer than 36 runs the 10th and 90th percentile have an interval with one end.
    replications=40,
    no_long_run="orders begin with the run: its start cannot be left out",
)
