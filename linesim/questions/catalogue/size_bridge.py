"""How long a bridge pays."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.questions.study import Study
from linesim.questions.study_options import (
    QuestionError,
    StudyOptions,
    option,
    paid_back_within,
    share_a_place_must_add,
    years_a_place_lasts,
)

if TYPE_CHECKING:
    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.bridge_levels import BestLevels
    from linesim.studies.runner import Runner


class SizeBridgeOptions(StudyOptions):
    """Which lengths, and what a place must bring."""

    places: str | None = option(
        None,
        "Places to try",
        "From, to and how many points (10:120:12), or a list (20,40,60). Unless given, they are"
        " chosen from one set of reams to well beyond the present bridge.",
        unit="reams",
        empty="chosen for this line",
        metavar="FROM:TO:COUNT",
    )
    points: int = option(
        15,
        "Points of the curve",
        "How many places are tried, where they are not given.",
        ge=3,
        le=100,
    )
    fraction_percent: float = share_a_place_must_add()
    years: float = years_a_place_lasts()
    payback_years: float = paid_back_within()
    levels: bool = option(
        True,
        "Look for the best levels",
        "Also look for the best levels: where to stop, restart and slow the sheeter.",
    )


def _answer(
    scenario: Scenario, runner: Runner, options: SizeBridgeOptions, partial: bool
) -> AnswerContent:
    from linesim.questions.buffer_places import places_for
    from linesim.report.answers.size_bridge import size_bridge_answer
    from linesim.studies.best_size import SizeRule
    from linesim.studies.size_bridge import size_bridge

    tried = places_for(scenario, options.places, options.points)
    if len(tried) < 2:
        raise QuestionError("places", f"{tried[0]} places alone make no curve: name another length")
    rule = SizeRule(options.years, options.fraction_percent / 100, options.payback_years)
    found = size_bridge(scenario, runner, tried, rule)
    best = None
    if options.levels and not partial and not runner.interrupted:
        best = _best_levels(scenario, runner)
    return size_bridge_answer(scenario, found, best)


def _best_levels(scenario: Scenario, runner: Runner) -> BestLevels | None:
    from linesim.studies.bridge_levels import best_levels
    from linesim.studies.runner import StoppedError

    try:
        return best_levels(scenario, runner)
    except StoppedError:
        # The curve is complete and worth having without the levels.
        return None


STUDY = Study(
    name="size-bridge",
    position=10,
    title="Bridge size",
    part="bridge",
    question="What length of bridge pays, and which levels are best?",
    description="Output, effectiveness and blocked hours against the places on the bridge, beside"
    " an estimate by formula; where one more place earns less than it costs; the best levels.",
    example="short-bridge --places 14,21,40,60 --no-levels --hours 24 --replications 4",
    options=SizeBridgeOptions,
    answer=_answer,
)
