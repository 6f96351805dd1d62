"""Whether one more wrapper pays."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.questions.study import Study
from linesim.questions.study_options import StudyOptions, option, paid_back_within

if TYPE_CHECKING:
    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner


_FORMER = ("contribution_percent", "demand_percent", "capital_percent", "running_cost_percent")
_INSTEAD = (
    "prices are doubted in the scenario now, as any figure is: in [money], such as"
    ' doubt = [{ of = "wrapper_price", between = [400000, 520000], why = "two offers" }]'
)


class AddWrapperOptions(StudyOptions):
    """When it must be paid back, and how long it lasts."""

    payback_years: float = paid_back_within()
    years: float = option(
        10.0, "Life", "Years over which the present value counts.", unit="years", gt=0, le=100
    )


def _answer(
    scenario: Scenario, runner: Runner, options: AddWrapperOptions, _: bool
) -> AnswerContent:
    from linesim.report.answers.add_wrapper import add_wrapper_answer
    from linesim.studies.add_wrapper import add_wrapper

    found = add_wrapper(scenario, runner, within_years=options.payback_years, years=options.years)
    return add_wrapper_answer(scenario, found)


STUDY = Study(
    name="add-wrapper",
    position=20,
    title="One more wrapper",
    part="wrapper",
    question="Does one more wrapper pay, and what would do as much?",
    description="The line with and without it, with the same random numbers; what then holds the"
    " line, the money (demand, payback, present value), and cheaper changes beside it.",
    example="slow-wrapper --hours 8 --replications 4",
    by_pace=True,
    options=AddWrapperOptions,
    gone=dict.fromkeys(("--uncertain", *_FORMER), _INSTEAD),
    answer=_answer,
)
