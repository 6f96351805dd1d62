"""Three risks of an answer: what is not known, the demand, and what the model leaves out of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from linesim.report.answers import Answer
from linesim.report.answers.advice import Advice
from linesim.report.answers.tornado import break_even_words
from linesim.report.answers.what_to_measure import TITLE, measure_words
from linesim.report.page.costs import reams_a_year
from linesim.report.page.inputs import COMMON_PRACTICE, is_common_practice
from linesim.report.page.model import Paragraph
from linesim.report.plain import capital, counting_notice
from linesim.scenario import Scenario, in_currency
from linesim.scenario.levers_table import LeverName
from linesim.statistics import counted
from linesim.studies import Replicated

_MOST_SAID = 2
_NOT_OF_LEVERS: dict[str, tuple[LeverName, ...]] = {
    "An added machine is taken to stop as the one that is there and to run from its first day: the"
    " standstill to build it in, and its first weeks, are not in the figures.": (
        "more_wrappers",
        "more_carton_packers",
    ),
    "A longer buffer is so many places at their price: whether the hall has the room, drives and"
    " guards, and the standstill to build it are not in the figures.": (
        "longer_bridge",
        "longer_conveyors",
    ),
    "What more starts and stops do to drives, knives and webs is not in the model: a web does not"
    " break because the line was stopped.": ("bridge_levels",),
    "A faster machine is taken to stop no more often for its speed than the scenario says.": (
        "faster_wrapper",
        "faster_carton_packer",
        "faster_palletiser",
        "web_speed",
    ),
    "Larger reels, and those changed in other ways, are taken to be as good as the present ones;"
    " handling and storing them is not in the figures.": (
        "larger_reels",
        "change_together",
        "flying_splice",
    ),
    "One more person is taken to be there every shift and as able as the others: sickness, leave"
    " and training are not in the figures.": ("more_people",),
    "That a job takes less time, or a cause comes more rarely, is assumed: how that is done, and"
    " whether it lasts, is outside the model.": (
        "faster_reel_change",
        "faster_roll_change",
        "rarer_stops",
        "shorter_stops",
    ),
    "A planned change is taken to find its time and its people when it is due.": (
        "planned_changes",
    ),
}
"""What the model leaves out of a lever, the weightiest first."""


def risks_of(replicated: Replicated, answers: Sequence[Answer]) -> tuple[Paragraph, ...]:
    """Of the first answer, or of what the line does where there is none."""
    advice = answers[0].advised if answers else Advice("")
    scenario = replicated.scenario
    return (
        Paragraph(" ".join(_not_known(replicated, answers)), "What is not known."),
        Paragraph(_demand(replicated, advice), "Demand."),
        Paragraph(" ".join(_left_out(scenario, advice)), "What the model leaves out."),
    )


def _not_known(replicated: Replicated, answers: Sequence[Answer]) -> Iterator[str]:
    """What the change hangs on, and of the figures in doubt the one that matters most."""
    worth = answers[0].advised.worth if answers else None
    if worth is not None:
        currency = replicated.scenario.money.currency
        yield from (in_currency(text, currency) for text in break_even_words(worth))
    told = [text for each in answers[:1] for text in each.words if text.startswith(f"{TITLE}: ")]
    if told:
        yield capital(told[0].removeprefix(f"{TITLE}: "))
        return
    found = replicated.what_to_measure()
    if found is not None:
        yield capital(measure_words(found))
        return
    yield "No input is said to be in doubt, so ± is chance in the runs alone."
    stops = replicated.scenario.stop
    usual = sum(map(is_common_practice, stops))
    if usual:
        has = "has" if usual == 1 else "have"
        yield (
            f"Of {counted(len(stops), 'stop cause')} {usual} {has} figures of {COMMON_PRACTICE}:"
            " replace them by the plant's own before money is spent."
        )


def _demand(replicated: Replicated, advice: Advice) -> str:
    """At which demand it breaks even, against what is bought and what is made.

    What is made is of the same runs as the break-even.
    """
    worth, market = advice.worth, advice.market
    a_year = reams_a_year(replicated) if market is None else market.reams_per_year
    taken = replicated.scenario.money.demand_reams_per_year
    made = f"the line makes {a_year.text()} reams a year now"
    bought = (
        "No demand is stated: every ream made is taken as sold"
        if taken is None
        else f"The market is said to take {taken:,.10g} reams a year"
    )
    if worth is None or not worth.yearly.mean > 0:
        return f"{bought}; {made}."
    even = worth.break_even_demand
    if even is None:
        said = "No demand is shown at which it breaks even"
    elif not even.mean:
        said = "It breaks even at any demand"
    else:
        said = f"It breaks even at {even.text()}"
    return f"{bought}. {said}; {made}."


def _left_out(scenario: Scenario, advice: Advice) -> list[str]:
    """What is missing of the levers moved; of every answer, that troubles do not come together."""
    found = [words for words, of in _NOT_OF_LEVERS.items() if not set(of).isdisjoint(advice.levers)]
    found = found[:_MOST_SAID]
    if len(found) < _MOST_SAID:
        found.append(
            "Stops are independent of each other: a tired crew, a damp week or a bad batch of paper"
            " that raises everything at once is not in it."
        )
    if advice.worth is not None:
        found.append("Money is before tax and inflation.")
    elif scenario.order:
        found.append("Orders run in the sequence given: a rush order is not in it.")
    elif (notice := counting_notice(scenario)) is not None:
        found.append(notice)
    return found
