"""What any field changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.questions.study import Study
from linesim.questions.study_options import StudyOptions, option

if TYPE_CHECKING:
    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner


class VaryOptions(StudyOptions):
    """One field or two."""

    fields: tuple[str, ...] = option(
        ("bridge.places=20:120:6",),
        "Fields",
        "One field or two, each with its values: from, to and how many points (crew.size=2:6:5),"
        " or a list (crew.size=2,3,5). A field that holds a law of chance is scaled to the means"
        " given. One of several stop causes, wrappers or orders goes by its name:"
        ' "stop.wrapper jam.restore_min=2:6:3" (in quotes on a command line, where the name has a'
        " space).",
        metavar="SECTION.FIELD=FROM:TO:COUNT...",
        min_length=1,
    )


def _answer(scenario: Scenario, runner: Runner, options: VaryOptions, _: bool) -> AnswerContent:
    from linesim.report.answers.vary import vary_answer
    from linesim.studies.vary import read_span, vary

    spans = [read_span(scenario, text) for text in options.fields]
    return vary_answer(scenario, vary(scenario, runner, spans))


STUDY = Study(
    name="vary",
    position=60,
    title="Any field",
    question="What does changing one field bring, or two together?",
    description="A curve of one field, or a map of two.",
    example="small-crew crew.size=1,2,3 --hours 24 --replications 4",
    options=VaryOptions,
    answer=_answer,
)
