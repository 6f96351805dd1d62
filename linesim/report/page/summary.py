"""The first page: the question, the answer, how sure it is, what it costs, what was assumed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from linesim.report import words
from linesim.report.answers import Answer
from linesim.report.page.costs import (
    prices_of_changes,
    prices_of_losses,
    reams_a_year,
    yearly_costs,
)
from linesim.report.page.inputs import COMMON_PRACTICE, inputs_of, is_common_practice
from linesim.report.page.model import (
    Block,
    KeyFigure,
    KeyFigures,
    Notice,
    Paragraph,
    Points,
    Section,
)
from linesim.report.plain import CAUTIONS, INVENTED, counting_notice, station_name
from linesim.report.start_words import start_words
from linesim.report.story import story
from linesim.scenario import CURRENCY, Scenario, in_currency
from linesim.scenario.people import crew_sizes
from linesim.statistics import counted
from linesim.studies import Replicated


def plain_hours(hours: float) -> str:
    """Hours as people say them: "8", not "8.00"."""
    return f"{hours:,.10g}"


def study_question(answer: Answer) -> str:
    """The question that a study answers."""
    return answer.question or f"What does the study “{answer.study}” say?"


def summary(
    replicated: Replicated, answers: Sequence[Answer], question: str | None
) -> tuple[Section, ...]:
    """What is read in two minutes."""
    return (
        Section("question", "The question", _question(replicated, answers, question)),
        Section("answer", "The answer", _answer(replicated, answers)),
        Section("sure", "How sure", _how_sure(replicated, answers), half=True),
        Section("costs", "What it costs", _costs(replicated, answers), half=True),
        Section("assumed", "What was assumed", _assumed(replicated)),
        Section("cautions", "Cautions", tuple(Notice("caution", text) for text in CAUTIONS)),
    )


def _question(
    replicated: Replicated, answers: Sequence[Answer], question: str | None
) -> tuple[Block, ...]:
    hours = plain_hours(replicated.runs[0].hours)
    usual = (
        f"What does “{replicated.scenario.line.name}” deliver in {hours} hours, why does it fall"
        " short of its nameplate, and what holds it back?"
    )
    own = [Paragraph(question)] if question else []
    asked = [study_question(answer) for answer in answers]
    return (*own, Points((usual, *asked)) if asked else Paragraph(usual))


def _answer(replicated: Replicated, answers: Sequence[Answer]) -> tuple[Block, ...]:
    reams = replicated.over_runs(
        lambda run: run.measures["good_reams_per_hour"] * run.hours, "reams"
    )
    hours = plain_hours(replicated.runs[0].hours)
    station = station_name(replicated.scenario, replicated.runs[0].reference)
    figures = KeyFigures(
        (
            KeyFigure(f"good reams in {hours} h", reams.text()),
            KeyFigure("good reams an hour", replicated.measure("good_reams_per_hour").text()),
            KeyFigure("OEE", words.measure(replicated, "oee"), f"by its {station}"),
            KeyFigure("avoidable waste", words.measure(replicated, "avoidable_waste_fraction")),
        )
    )
    said = [
        Paragraph(" ".join(answer.words[: answer.brief]), lead=study_question(answer))
        for answer in answers
    ]
    # What a study was made for comes first; then what the line does as it is.
    return (
        *said,
        figures,
        Paragraph(story(replicated).text, lead="As the line is:" if said else ""),
    )


def _how_sure(replicated: Replicated, answers: Sequence[Answer]) -> tuple[Block, ...]:
    runs = replicated.runs
    hours = plain_hours(runs[0].hours)
    if len(runs) < 2:
        said = f"One run of {hours} h was made: nothing can be said about how far it may be off."
        return (Paragraph(said),)
    made = sorted(run.measures["good_reams_per_hour"] * run.hours for run in runs)
    early = " The runs were stopped early." if replicated.interrupted else ""
    what = "The figures of the line as it is" if answers else "The figures"
    kind = (
        "runs in plants that agree with what is known" if replicated.crossed else "independent runs"
    )
    items = (
        *_studies_rest_on(replicated, answers),
        f"{what} are means of {len(runs)} {kind} of {hours} h, ± the half width of the"
        f" {100 * replicated.level:.0f} % interval (Student's t).{early}",
        f"One run differs more than the mean may: the {len(runs)} runs gave {made[0]:,.0f} to"
        f" {made[-1]:,.0f} good reams.",
        words.balance_sentence(replicated),
        f"{words.TWO_PARTS}. Inputs without a doubt of their own are taken as known."
        if replicated.crossed
        else "The intervals cover chance only, as it differs from run to run. They do not say how"
        " good the inputs are.",
    )
    return (Points(items),)


def _studies_rest_on(replicated: Replicated, answers: Sequence[Answer]) -> Iterator[str]:
    """Which studies rest on which runs; those on the same are named together."""
    names: dict[tuple[object, ...], list[Answer]] = {}
    for answer in answers:
        if rests_on(answer):
            names.setdefault(_runs(answer), []).append(answer)
    for those in names.values():
        named = " and ".join(each.study for each in those)
        rest = "study {} rests" if len(those) == 1 else "studies {} rest"
        yield f"The {rest.format(named)} on {rests_on(those[0])}"
    line = (len(replicated.runs), replicated.runs[0].hours, replicated.seed, replicated.warm_up_h)
    if any(runs[:4] != line for runs in names):
        yield (
            "Runs of another number, length or seed met other random numbers: figures of the same"
            " line from them differ, within what their intervals allow."
        )


def _runs(answer: Answer) -> tuple[object, ...]:
    """What two studies must have in common to have made the same runs of the same line."""
    facts = answer.facts
    wanted = ("replications", "hours", "seed", "warm_up_h")
    return (*(facts.get(name) or 0.0 for name in wanted), rests_on(answer))


def rests_on(answer: Answer) -> str:
    """How many runs of what length a study rests on; nothing where it made none.

    >>> rests_on(Answer("vary", "a line", (), (), facts={"replications": 4, "hours": 24.0}))
    '4 runs of 24 h for each of its variants, which met the same random numbers.'
    """
    runs, hours = answer.facts.get("replications"), answer.facts.get("hours")
    if runs is None or not isinstance(hours, float | int):
        return ""
    early = " It was stopped early." if answer.facts.get("stopped_early") else ""
    variants = (
        " for each of its variants, which met the same random numbers" if answer.variants else ""
    )
    return f"{runs} runs of {plain_hours(hours)} h{variants}.{early}"


def _costs(replicated: Replicated, answers: Sequence[Answer]) -> tuple[Block, ...]:
    money = replicated.scenario.money
    items = prices_of_changes(
        replicated.scenario, {field for answer in answers for field in answer.prices}
    )
    made, demand = reams_a_year(replicated), money.demand_reams_per_year
    sold = "if every ream is sold"
    if demand is not None:
        sold = f"if it can be sold (the market takes {demand:,.10g} a year)"
        if made.mean >= demand:
            items.append(
                f"Nothing more can be sold: the line makes {made.text()} reams a year, and the"
                f" market takes {demand:,.10g}. What is not made beyond that costs nothing."
            )
    items += filter(None, [words.wages_sentence(replicated.scenario)])
    for cost in yearly_costs(replicated):
        reams = f"{cost.reams.text()} reams" if cost.reams is not None else ""
        if cost.money is None:
            items.append(f"{cost.name}: {reams} a year not made.")
        else:
            tail = f" ({reams} not made)" if reams else ""
            amount = in_currency(f"{cost.money.text()} {CURRENCY}", money.currency)
            items.append(f"{cost.name}: {amount} a year{tail}.")
    if money.contribution_per_ream <= 0:
        items.append(
            "No money is said for reams: the scenario has no contribution per ream in [money]."
        )
    basis = (
        f"In a year of {money.hours_per_year:,.10g} manned hours, {sold}"
        f"{prices_of_losses(money)}. Losses are what their hours come to on the books."
        " What taking a loss away really brings is less or more: a study of the stops tells"
        " (linesim rank-stops)."
    )
    return (Points(tuple(items)), Paragraph(basis, quiet=True))


def _assumed(replicated: Replicated) -> tuple[Block, ...]:
    scenario = replicated.scenario
    fields = inputs_of(scenario)
    said = sum(field.stated for field in fields)
    items = (
        f"Of {len(fields)} figures of the line the scenario gives {said}; for the rest the"
        " program's defaults stand.",
        _stops_sentence(scenario),
        f"{_crew_sentence(scenario)} Stops are independent of each other.",
        start_words(scenario),
        counting_notice(scenario),
    )
    points = Points(tuple(filter(None, items)))
    return (Notice("invented", INVENTED), points) if scenario.line.invented else (points,)


def _crew_sentence(scenario: Scenario) -> str:
    speed = scenario.crew.walk_m_per_s
    walks = "" if speed is None else f" They walk from job to job at {speed:g} m/s."
    if not scenario.crew_group:
        return f"A crew of {scenario.crew.size}; all can do everything.{walks}"
    fewest, most = crew_sizes(scenario)
    size = f"{most}" if fewest == most else f"{fewest} to {most}, by shift"
    all_can = all(group.can is None for group in scenario.crew_group)
    what = "all can do everything" if all_can else "who can do what is said group by group"
    return f"A crew of {size}; {what}.{walks}"


def _stops_sentence(scenario: Scenario) -> str:
    count = len(scenario.stop)
    if not count:
        return "The scenario has no stop causes: only reels, webs and rolls stop the line."
    usual = sum(is_common_practice(stop) for stop in scenario.stop)
    causes = counted(count, "stop cause")
    if not usual:
        return f"The scenario gives the figures of its {causes} itself."
    said = f"Of {causes}, {usual} {'has' if usual == 1 else 'have'} figures of {COMMON_PRACTICE}."
    if usual == count:
        said = f"The figures of the {causes} are {COMMON_PRACTICE}."
    return f"{said} Replace them by the plant's own before money is spent."
