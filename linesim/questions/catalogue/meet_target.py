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
    """The output, how sure it must be, and what may be changed."""

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
    places: str | None = option(
        None,
        "Places to try",
        "From, to and how many points (20:120:12), or a list (20,40,60) if only those can be had."
        " Unless given, they are chosen from the present bridge to well beyond it.",
        unit="reams",
        empty="chosen for this line",
        metavar="FROM:TO:COUNT",
    )
    more_people: int = option(
        2, "People to add at most", "How many people more than now are tried.", ge=0, le=20
    )
    person_cost_per_year: float = option(
        0.0,
        "Cost of a person",
        "Money a year for one more person on the line, all shifts; at 0 as [money] of the scenario"
        " says. Where neither does, people have no price and the fewest come first.",
        unit="money/year",
        flag="--person-cost",
        metavar="MONEY",
        ge=0,
        le=1e9,
    )
    years: float = years_a_place_lasts()


def _answer(
    scenario: Scenario, runner: Runner, options: MeetTargetOptions, partial: bool
) -> AnswerContent:
    from linesim.questions.buffer_places import is_list, places_from_present
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
        places=places_from_present(scenario, options.places),
        more_people=options.more_people,
        person_cost=options.person_cost_per_year,
        years=options.years,
        fill=not is_list(options.places),
        check=not partial,
    )
    return meet_target_answer(scenario, found)


STUDY = Study(
    name="meet-target",
    position=30,
    title="The cheapest way to so many reams a week",
    short_title="Reach an output",
    question="What is the cheapest way to so many reams a week: bridge, levels, reels, crew,"
    " wrappers?",
    description="Which bridge, levels, reels changed together, crew and wrappers reach so many good"
    " reams a week for the least money; searched with the same random numbers, checked with fresh"
    " ones. Bridges are as long as longest_m in [bridge] lets them; one more wrapper is tried"
    " where it has a price.",
    example="short-bridge --reams-per-week 330000 --hours 24 --replications 4",
    options=MeetTargetOptions,
    answer=_answer,
)
