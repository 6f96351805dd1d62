"""What to change on a line, over all its levers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.questions.study import Study
from linesim.questions.study_options import StudyOptions, option, paid_back_within

if TYPE_CHECKING:
    from collections.abc import Callable

    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner
    from linesim.studies.what_to_change import WhatToChange


class WhatToChangeOptions(StudyOptions):
    """How long things last, when they must be paid back, and what is as good."""

    years: float = option(
        10.0,
        "Life",
        "Years that what is bought lasts: present values count over them.",
        unit="years",
        gt=0,
        le=100,
    )
    payback_years: float = paid_back_within()
    as_good_within: float = option(
        0.0,
        "As good within",
        "Choices closer than this are as good: money a year, or reams a week where a ream has no"
        " contribution. At 0 a four-hundredth of what the line's reams earn.",
        empty="chosen for this line",
        metavar="MONEY",
        ge=0,
        le=1e12,
    )


def _answer(
    scenario: Scenario, runner: Runner, options: WhatToChangeOptions, partial: bool
) -> AnswerContent:
    from linesim.report.answers.what_to_change import what_to_change_answer
    from linesim.studies.what_to_change import what_to_change

    def show(known: Callable[[], WhatToChange]) -> None:
        runner.show_so_far(lambda: what_to_change_answer(scenario, known()))

    found = what_to_change(
        scenario,
        runner,
        years=options.years,
        within_years=options.payback_years,
        indifference=options.as_good_within or None,
        together=not partial,
        show=show,
    )
    return what_to_change_answer(scenario, found)


STUDY = Study(
    name="what-to-change",
    position=5,
    title="What to change",
    part="levers",
    question="What should be changed on this line, and in which order?",
    description="Every lever of the line alone, with the same random numbers: bridge, wrappers,"
    " speeds, reels, people, stops; then together, and the order to buy in. What may be changed,"
    " how far and for how much is in [levers] of the scenario.",
    example="slow-wrapper --hours 8 --replications 4",
    by_pace=True,
    options=WhatToChangeOptions,
    replications=10,
    answer=_answer,
)
