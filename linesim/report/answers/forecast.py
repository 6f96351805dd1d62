"""The answer of ``forecast``."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from linesim.report.answers.answer import AnswerContent, bounded_text, few_runs_words
from linesim.report.answers.cells import Cell, Column
from linesim.report.answers.charts import Scatter, Tick
from linesim.report.answers.choice_words import share_words as of_100
from linesim.report.answers.dates import date_words
from linesim.report.answers.tables import AnswerTable
from linesim.report.plain import capital
from linesim.scenario import Scenario
from linesim.statistics import Quantile, last_digit, rounded, runs_for_both_ends
from linesim.studies.forecast import Forecast, OrderAhead, TargetAhead

_MOST_TICKS = 8
_STEPS_MIN = (5, 10, 15, 30, 60, 120, 180, 240, 360, 720, 1440, 2880, 5760, 10080)
_NEXT_IN_WORDS = 3
_MADE = "as many are made already"


def forecast_answer(scenario: Scenario, found: Forecast) -> AnswerContent:
    """The answer of ``forecast``."""
    words = [*_made(scenario, found), *_targets(found), *_orders(found), *_next(found)]
    return AnswerContent(
        found,
        words,
        tuple(_tables(found)),
        (_fan(found),),
        tuple(_notes(found)),
        brief=1 + len(found.targets),
        variants=False,
        start=_start(found),
    )


@dataclass(frozen=True)
class ForecastAtAGlance:
    """What is to be read from some metres away, and what stands below it."""

    reams: str
    """As likely more as less."""
    between: str
    rows: tuple[str, ...]
    """Each target, the order in hand, and what is used up next."""
    of: str
    """Of which moment it is, and when it was answered."""


def forecast_at_a_glance(found: Forecast, answered: dt.datetime) -> ForecastAtAGlance:
    """The forecast in a few large words; ``answered`` is when it was made."""
    low, half, high = _reams(found.reams)
    then = when(found, found.hours)
    rows = [
        f"{each.reams:,}: {_MADE}"
        if _is_made(found, each)
        else f"{each.reams:,} by {then}: in {of_100(each.chance)} cases"
        for each in found.targets
    ]
    for order in found.orders[:1]:
        first, _, last = _clock(found, order.done_h)
        rows.append(f"{order.name}: done between {first} and {last}")
    rows += [
        f"{each.what}: about {when(found, each.at_h[1].value)}"
        for each in found.next[:_NEXT_IN_WORDS]
        if each.at_h[1].value is not None
    ]
    between = f"{low} to {high} by {then}, {_in_cases(found)}"
    moments = found.state.at, answered
    # Of another day nobody takes it for the answer of now.
    told = (f"{each:%H:%M}" for each in moments)
    if found.state.at.date() != answered.date():
        told = (date_words(each) for each in moments)
    state, at = told
    return ForecastAtAGlance(
        f"{half} reams",
        nobody_words(found) if found.nobody_h >= found.hours else between,
        tuple(rows),
        f"From the state of {state}, answered {at}",
    )


def when(found: Forecast, hours: float) -> str:
    """A moment so many hours after that of the state: the time, and the day where it is another."""
    at = found.state.at + dt.timedelta(hours=hours)
    at += dt.timedelta(seconds=30)
    return f"{at:%H:%M}" if at.date() == found.state.at.date() else date_words(at)


def share_words(share: float) -> str:
    """How often, for people: "8 of 10"."""
    for of in (10, 20, 100):
        if abs(share * of - round(share * of)) < 1e-9:
            return f"{round(share * of)} of {of}"
    return f"{100 * share:.3g} of 100"


def _in_cases(found: Forecast) -> str:
    """How often the band holds what comes, and whether there are runs enough to say so."""
    told = f"in {share_words(found.band)} cases"
    return f"{told}, as far as {found.runs} runs tell" if found.runs < _needed(found) else told


def _needed(found: Forecast) -> int:
    return runs_for_both_ends(found.shares[-1], found.level, crossed=found.crossed)


def _reams(quantiles: Sequence[Quantile]) -> list[str]:
    """All to one digit, the last that the least known of them bears, so that they stay in order."""
    widths = [
        max(abs(end - each.value) for end in (each.low, each.high) if end is not None)
        for each in quantiles
        if each.value is not None and (each.low, each.high) != (None, None)
    ]
    last = max(0, *(last_digit(width) for width in widths if width), 0)
    return ["?" if each.value is None else rounded(each.value, last) for each in quantiles]


def _made(scenario: Scenario, found: Forecast) -> Iterator[str]:
    nobody = nobody_words(found)
    before = found.state.reams_made
    if found.nobody_h >= found.hours:
        stays = f"; the {before:,} good reams made before are all there are then" if before else ""
        yield (
            f"“{scenario.line.name}”: {nobody}, so no ream is made by"
            f" {when(found, found.hours)}{stays}."
        )
        return
    low, half, high = _reams(found.reams)
    counted = f", {before:,} made before among them" if before else ""
    yield (
        f"“{scenario.line.name}”: by {when(found, found.hours)} between {low} and"
        f" {high} good reams {_in_cases(found)}{counted}; as likely more"
        f" than {half} as less. At {found.state.at:%H:%M} the line was as the state file"
        " says."
    )
    if nobody:
        yield f"{capital(nobody)}."


def nobody_words(found: Forecast) -> str:
    """Until when nobody is on shift; empty where somebody is there at the moment of the state."""
    if not found.nobody_h:
        return ""
    if math.isinf(found.nobody_h):
        return "by its calendar nobody works in the year to come"
    return f"by its calendar nobody works until {when(found, found.nobody_h)}"


def _is_made(found: Forecast, each: TargetAhead) -> bool:
    """Whether so many are there before any run: no chance is left in it."""
    return each.reams <= found.state.reams_made


def _targets(found: Forecast) -> Iterator[str]:
    for each in found.targets:
        if _is_made(found, each):
            yield f"{each.reams:,}: {_MADE}."
            continue
        yield (
            f"{each.reams:,} by {when(found, found.hours)}: chance"
            f" {bounded_text(each.chance, '%')} %."
        )


def _clock(found: Forecast, quantiles: Sequence[Quantile]) -> list[str]:
    return ["later" if each.value is None else when(found, each.value) for each in quantiles]


def _orders(found: Forecast) -> Iterator[str]:
    for each in found.orders:
        first, half, last = _clock(found, each.done_h)
        if each.by_then.count == 0:
            yield f"{each.name}: not done by {when(found, found.hours)}.{_due(found, each)}"
            continue
        yield (
            f"{each.name}: done by {half} as likely as not, between {first} and {last}"
            f" {_in_cases(found)}.{_due(found, each)}"
        )


def _due(found: Forecast, each: OrderAhead) -> str:
    if each.due_h is None:
        return ""
    due = when(found, each.due_h)
    if each.in_time is None:
        return f" It is due {due}, after what was asked for."
    return f" Due {due}: in time with a chance of {bounded_text(each.in_time, '%')} %."


def _next(found: Forecast) -> Iterator[str]:
    likely = [each for each in found.next if each.at_h[1].value is not None]
    if not likely:
        return
    parts = []
    for each in likely[:_NEXT_IN_WORDS]:
        first, half, last = _clock(found, each.at_h)
        parts.append(f"the {each.what} at about {half} ({first} to {last})")
    yield f"Used up next: {'; '.join(parts)}."


def _tables(found: Forecast) -> Iterator[AnswerTable]:
    low, _, high = (share_words(share) for share in found.shares)
    reams = "reams"
    yield AnswerTable.of(
        "made",
        f"Good reams made by then: {low}, half and {high} of all cases have no more",
        found.fan[1:],
        (Column("by", left=True), lambda each: when(found, each.hours)),
        (Column(f"{low} by", reams), lambda each: each.reams[0]),
        (Column("half by", reams), lambda each: each.reams[1]),
        (Column(f"{high} by", reams), lambda each: each.reams[2]),
    )
    if found.targets:
        yield AnswerTable.of(
            "targets",
            f"How likely so many are made by {when(found, found.hours)}",
            found.targets,
            (reams, lambda each: each.reams),
            (
                Column("chance", "%"),
                lambda each: 100 if _is_made(found, each) else each.chance,
            ),
        )
    if found.orders:
        yield AnswerTable.of(
            "orders",
            "When each order is done, hours after the moment of the state",
            found.orders,
            ("order", lambda each: each.name),
            (Column(reams, rank=2), lambda each: each.reams),
            (Column("due", left=True, rank=1), lambda each: _maybe(found, each.due_h)),
            (Column(f"{low} by", "h"), lambda each: each.done_h[0]),
            (Column("half by", "h"), lambda each: each.done_h[1]),
            (Column(f"{high} by", "h"), lambda each: each.done_h[2]),
            (Column("in time", "%"), lambda each: each.in_time),
            (Column("done by then", "%", rank=3), lambda each: each.by_then),
        )
    if found.next:
        yield AnswerTable.of(
            "next",
            "Reels and rolls that are used up next, and how likely within the time asked for",
            found.next,
            ("what", lambda each: each.what),
            (Column(f"{low} by", left=True), lambda each: _clock(found, each.at_h)[0]),
            (Column("half by", left=True), lambda each: _clock(found, each.at_h)[1]),
            (Column(f"{high} by", left=True), lambda each: _clock(found, each.at_h)[2]),
            (Column("before then", "%"), lambda each: each.chance),
        )


def _maybe(found: Forecast, hours: float | None) -> Cell:
    return None if hours is None else when(found, hours)


def _fan(found: Forecast) -> Scatter:
    def edge(which: int) -> list[tuple[float, float]]:
        return [(each.hours, each.reams[which].value or 0.0) for each in found.fan]

    # One that is made already lies below all that is to come, and would leave little room for it.
    targets = [each.reams for each in found.targets if not _is_made(found, each)]
    target = ((0.0, float(targets[0])), (found.hours, float(targets[0]))) if targets else ()
    low, half, high = _reams(found.reams)
    return Scatter(
        "fan",
        f"Good reams until {when(found, found.hours)}",
        Column("time of day"),
        Column("good reams"),
        (),
        f"By {when(found, found.hours)} between {low} and {high} {_in_cases(found)}; in half of"
        f" all above {half}.",
        "",
        line=tuple(edge(1)),
        line_name="as likely more as less",
        band=(*edge(0), *edge(2)[::-1]),
        band_name=f"{share_words(found.band)} cases",
        thin=target,
        thin_name=f"{targets[0]:,} reams" if targets else "",
        x_ticks=tuple(_ticks(found)),
        line_at=tuple(when(found, each.hours) for each in found.fan),
    )


def _ticks(found: Forecast) -> Iterator[Tick]:
    """Round times of day, as many as have room."""
    long = round(60 * found.hours, 6)
    step = next((each for each in _STEPS_MIN if long / each <= _MOST_TICKS), _STEPS_MIN[-1])
    at = found.state.at
    midnight = dt.datetime.combine(at.date(), dt.time())
    begun = (at - midnight).total_seconds() / 60
    for number in range(math.ceil(begun / step), math.floor((begun + long) / step) + 1):
        time = midnight + dt.timedelta(minutes=number * step)
        yield Tick((number * step - begun) / 60, f"{time:%H:%M}")


def _start(found: Forecast) -> str:
    told = f"Each run starts from the state of {found.state.at:%Y-%m-%d %H:%M}, without a run-in."
    if not found.not_told:
        return f"{told} The state file tells all that it can."
    return (
        f"{told} What the state file leaves out is drawn as such a line is found on any day:"
        f" {'; '.join(found.not_told)}."
    )


def _notes(found: Forecast) -> Iterator[str]:
    yield (
        f"The band holds {share_words(found.band)} of the cases that may come from this state: it"
        " is of the one stretch of time to come, not of a mean. It covers the chances of stops,"
        " breaks and reels, what the state file leaves out"
        + (", and what is not known of the line" if found.crossed else "")
        + "; not an error of the model, nor figures that the scenario states wrongly."
    )
    if found.not_known is not None:
        yield (
            f"Of how far the reams vary, {100 * found.not_known:.0f} % is what is not known of the"
            " line; the rest is chance."
        )
    needed = _needed(found)
    ends = f" {few_runs_words(found.runs, needed)}" if found.runs < needed else ""
    yield (
        f"In brackets: how sure the ends of the band are after {found.runs} runs,"
        f" {100 * found.level:.0f} % intervals, of quantiles by order statistics (David and"
        " Nagaraja 2003), of chances by Clopper and Pearson 1934: they assume no shape of"
        f" distribution.{ends}"
    )
