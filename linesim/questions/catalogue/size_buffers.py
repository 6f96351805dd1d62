"""How large buffers should be, one or two together."""

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
    from collections.abc import Sequence

    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner

_BUFFERS = ("bridge", "outfeed", "carton_packer", "palletiser")


class SizeBuffersOptions(StudyOptions):
    """Which buffers, which sizes, and what a place must bring."""

    buffer: str | None = option(
        None,
        "Buffer",
        "The buffer, by its table in the scenario: the bridge, or what stands before the outfeed,"
        " the carton packer or the palletiser.",
        empty="the bridge",
        choices=_BUFFERS,
    )
    places: str | None = option(
        None,
        "Places to try",
        "From, to and how many points (10:120:12), or a list (20,40,60). Unless given, they are"
        " chosen for the line.",
        empty="chosen for this line",
        metavar="FROM:TO:COUNT",
    )
    second: str | None = option(
        None,
        "Second buffer",
        "Another buffer that is sized together with it, as a map.",
        empty="none",
        choices=_BUFFERS,
    )
    second_places: str | None = option(
        None,
        "Places of the second",
        "Its places, in the same way.",
        empty="chosen for this line",
        metavar="FROM:TO:COUNT",
    )
    points: int = option(
        9,
        "Points of the curve",
        "How many sizes of one buffer are tried first, where they are not given; then some more"
        " round the best.",
        ge=3,
        le=100,
    )
    grid: int = option(
        4,
        "Sizes of each on the map",
        "How many sizes of each of two buffers are tried first, from the present one upwards, where"
        " they are not given; then some more round the best.",
        ge=2,
        le=12,
    )
    total_places: int = option(
        0,
        "Split so many places",
        "Also find how so many places in all, those that stand among them, are best split between"
        " the two; 0: no split is asked.",
        unit="places",
        empty="none",
        ge=0,
        le=1_000_000,
    )
    budget: float = option(
        0.0,
        "Split so much money",
        "Also find how a sum of money for further places is best split between the two; 0: no split"
        " is asked.",
        empty="none",
        metavar="MONEY",
        ge=0,
        le=1e12,
    )
    fraction_percent: float = share_a_place_must_add()
    years: float = years_a_place_lasts()
    payback_years: float = paid_back_within()


def _answer(
    scenario: Scenario, runner: Runner, options: SizeBuffersOptions, partial: bool
) -> AnswerContent:
    from linesim.questions.buffer_places import is_list
    from linesim.report.answers.size_buffers import size_buffers_answer
    from linesim.studies.best_size import SizeRule
    from linesim.studies.size_buffers import SplitError, SumToSplit, size_buffers

    first = options.buffer or "bridge"
    grid = {first: _sizes(scenario, first, "buffer", "places", options)}
    if options.second is not None:
        if options.second == first:
            raise QuestionError("second", f"{first} is the first already: name another, or none")
        grid[options.second] = _sizes(scenario, options.second, "second", "second_places", options)
    if all(len(sizes) < 2 for sizes in grid.values()):
        raise QuestionError("places", "one size alone makes no curve: name another")
    if options.total_places and options.budget:
        raise QuestionError("budget", "split places or money, not both")
    split = None
    if options.total_places or options.budget:
        split = SumToSplit(options.total_places or None, options.budget or None)
    rule = SizeRule(options.years, options.fraction_percent / 100, options.payback_years)
    # Sizes that were named one by one are those that can be had.
    refine = not partial and not is_list(options.places) and not is_list(options.second_places)
    try:
        found = size_buffers(
            scenario,
            runner,
            grid,
            rule,
            refine=refine,
            split=None if partial else split,
            confirm=not partial,
        )
    except SplitError as error:
        raise QuestionError("budget" if options.budget else "total_places", str(error)) from None
    return size_buffers_answer(scenario, found)


def _sizes(
    scenario: Scenario, name: str, which: str, option: str, options: SizeBuffersOptions
) -> Sequence[int]:
    from linesim.questions.buffer_places import places_read
    from linesim.scenario.buffers import buffers_of
    from linesim.studies.buffer_places import places_from_now, places_to_try

    there = buffers_of(scenario)
    if name not in there:
        known = ", ".join(there)
        raise QuestionError(which, f"the line has no buffer {name}; it has: {known}")
    text: str | None = getattr(options, option)
    if text is not None:
        return places_read(scenario, text, name, option)
    if options.second is None:
        return places_to_try(scenario, options.points, name)
    return places_from_now(scenario, options.grid, name)


STUDY = Study(
    name="size-buffers",
    position=15,
    title="Buffer sizes",
    part="bridge",
    question="How large should a buffer be, or two together?",
    description="What the bridge, or the buffer before outfeed, carton packer or palletiser brings"
    " with more places: in places, in metres and in money. Two together give a map, and how a sum"
    " is best split between them.",
    example="full-pallets --buffer carton_packer --places 5,20,60 --hours 24 --replications 4",
    options=SizeBuffersOptions,
    answer=_answer,
)
