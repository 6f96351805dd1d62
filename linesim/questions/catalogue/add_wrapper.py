"""Whether one more wrapper pays."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linesim.questions.study import Study
from linesim.questions.study_options import QuestionError, StudyOptions, option

if TYPE_CHECKING:
    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner


def _uncertainty(item: str, of: str) -> Any:
    return option(
        0.0,
        f"Uncertainty of {of}",
        f"Standard deviation of {of}, as a share of what the scenario states.",
        unit="%",
        flag="--uncertain",
        item=item,
        ge=0,
        le=100,
    )


class AddWrapperOptions(StudyOptions):
    """When it must be paid back, and how sure the money is."""

    payback_years: float = option(
        3.0,
        "Paid back within",
        "Time for which the chance of being paid back is asked.",
        unit="years",
        gt=0,
        le=100,
    )
    years: float = option(
        10.0, "Life", "Years over which the present value counts.", unit="years", gt=0, le=100
    )
    contribution_percent: float = _uncertainty("contribution", "the contribution per ream")
    demand_percent: float = _uncertainty("demand", "the demand")
    capital_percent: float = _uncertainty("capital", "the capital")
    running_cost_percent: float = _uncertainty("running_cost", "the running cost")


def _answer(
    scenario: Scenario, runner: Runner, options: AddWrapperOptions, _: bool
) -> AnswerContent:
    from linesim.money import Uncertainty
    from linesim.report.answers.add_wrapper import add_wrapper_answer
    from linesim.studies.add_wrapper import add_wrapper

    _refuse_uncertainty_of_nothing(scenario, options)
    found = add_wrapper(
        scenario,
        runner,
        within_years=options.payback_years,
        years=options.years,
        uncertainty=Uncertainty(
            contribution=options.contribution_percent / 100,
            demand=options.demand_percent / 100,
            capital=options.capital_percent / 100,
            running_cost=options.running_cost_percent / 100,
        ),
    )
    return add_wrapper_answer(scenario, found)


def _refuse_uncertainty_of_nothing(scenario: Scenario, options: AddWrapperOptions) -> None:
    """What the scenario does not state cannot be uncertain: it would have no effect."""
    money = scenario.money
    stated: dict[str, tuple[str, object]] = {
        "contribution_percent": ("contribution_per_ream", money.contribution_per_ream),
        "demand_percent": ("demand_reams_per_year", money.demand_reams_per_year),
        "capital_percent": ("wrapper_price", money.wrapper_price or money.ream_place_cost),
        "running_cost_percent": ("wrapper_cost_per_year", money.wrapper_cost_per_year),
    }
    for name, (field, value) in stated.items():
        if getattr(options, name) and not value:
            raise QuestionError(
                name,
                f"the scenario has no {field} in [money], so there is nothing to be uncertain"
                " about",
            )


STUDY = Study(
    name="add-wrapper",
    position=20,
    title="Whether one more wrapper pays",
    short_title="One more wrapper",
    question="Does one more wrapper pay, and what would do as much?",
    description="The line with and without it, with the same random numbers; what then holds the"
    " line, the money (demand, payback, present value), and cheaper changes beside it.",
    example="slow-wrapper --hours 8 --replications 4",
    options=AddWrapperOptions,
    answer=_answer,
)
