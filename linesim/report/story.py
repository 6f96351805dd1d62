"""What a line does, why it does not do more, and what would help, in one paragraph.

It stands first wherever a line's runs are shown: on the terminal, in the report, in the window.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from linesim.report import words
from linesim.report.help_words import help_sentence
from linesim.report.loss_names import WAITED_FOR, loss_name, rated_per_h
from linesim.report.plain import capital, listed, station_name, the_station
from linesim.statistics import Interval
from linesim.studies import Replicated, RunFigures, WhatHelps

_MOST_LOSSES, _MOST_CAUSES = 3, 2
_SMALLEST_LOSS = 0.1
"""Of the gap: what takes less of it is not named."""
_SMALLEST_CAUSE = 0.1
"""Of a loss that has several causes."""


@dataclass(frozen=True)
class Loss:
    """One of the largest losses of a line: good reams of a run that it took."""

    name: str
    causes: tuple[str, ...]
    """Those that made most of it, where ``name`` does not say it."""
    reams: Interval

    @property
    def words(self) -> str:
        mostly = f", mostly for {listed(self.causes)}" if self.causes else ""
        return f"{self.name}{mostly} ({self.reams.text()})"


@dataclass(frozen=True)
class Story:
    """The paragraph, sentence by sentence, and the figures it names."""

    sentences: tuple[str, ...]
    gap: Interval
    """Good reams of a run that are missing from what the nameplate promises."""
    losses: tuple[Loss, ...]
    helps: WhatHelps | None
    """What would help most; None where it was not asked."""

    short: str = ""
    """The paragraph where pictures beside it tell what is lost and what holds the line."""

    @property
    def text(self) -> str:
        """The paragraph."""
        return " ".join(self.sentences)


def story(result: Replicated, helps: WhatHelps | str = "") -> Story:
    """What the line makes, what it loses and to what, what holds it, and what would help.

    ``helps`` may be why that was not asked, without a full stop: see ``no_help_words``.
    """
    gap = result.over_runs(_gap, "reams")
    losses = tuple(_losses(result, gap))
    made, orders = _made(result), _orders(result)
    parts = (made, orders, _lost(result, gap, losses), _holds(result))
    if isinstance(helps, str):
        help_words = most = f"{helps}." if helps else ""
    else:
        help_words = help_sentence(result, helps)
        most = help_sentence(result, replace(helps, levers=helps.levers[:1]))
    sentences = tuple(part for part in (*parts, help_words) if part)
    short = " ".join(part for part in (made, orders, most) if part)
    return Story(sentences, gap, losses, None if isinstance(helps, str) else helps, short)


def _gap(run: RunFigures) -> float:
    return rated_per_h(run) * sum(each.hours for each in run.lost_for)


def _made(result: Replicated) -> str:
    scenario, hours = result.scenario, result.runs[0].hours
    rate = result.measure("good_reams_per_hour")
    reams = result.over_runs(lambda run: run.measures["good_reams_per_hour"] * run.hours, "reams")
    shift = "a shift of " if hours == scenario.line.shift_hours else ""
    station = station_name(scenario, result.runs[0].reference)
    return (
        f"The line “{scenario.line.name}” makes {reams.text()} good reams in {shift}{hours:,.4g} h,"
        f" {rate.text()} an hour: {words.percent(result.measure('oee'))} of its nameplate, which"
        f" the {station} {'set' if station.endswith('s') or ' and ' in station else 'sets'}."
    )


def _orders(result: Replicated) -> str:
    """How far down its orders the runs came: what lies between orders is counted only there."""
    asked = len(result.scenario.order)
    begun = max(sum(each.begun_ns is not None for each in run.orders) for run in result.runs)
    if asked < 2 or begun >= asked:
        return ""
    if begun < 2:
        return (
            f"Only the first of its {asked} orders is reached: no change-over is counted;"
            " plan-orders follows them all."
        )
    return f"No more than {begun} of its {asked} orders are begun in that time."


def _losses(result: Replicated, gap: Interval) -> Iterator[Loss]:
    """The largest, largest first."""
    causes: dict[str, dict[str, None]] = {}
    of_gap = _SMALLEST_LOSS * gap.mean

    def by_name(run: RunFigures) -> dict[str, float]:
        sums: dict[str, float] = {}
        for row in run.lost_for:
            name, cause = loss_name(result.scenario, row)
            sums[name] = sums.get(name, 0.0) + row.hours * rated_per_h(run)
            causes.setdefault(name, {})[cause] = None
        return sums

    found = result.over_table(by_name, "reams")
    large = sorted(found, key=lambda name: (-found[name].mean, name))[:_MOST_LOSSES]
    for name in large:
        reams = found[name]
        single = len(result.runs) < 2
        if reams.mean >= of_gap and (single or not reams.contains(0)):
            yield Loss(name, _main_causes(result, name), reams)


def _main_causes(result: Replicated, name: str) -> tuple[str, ...]:
    """What made most of a loss, most first; nothing where its name says it all."""
    hours: dict[str, float] = {}
    for run in result.runs:
        for row in run.lost_for:
            said, cause = loss_name(result.scenario, row)
            if said == name:
                hours[cause] = hours.get(cause, 0.0) + row.hours
    whole = sum(hours.values())
    main = sorted(hours, key=lambda cause: (-hours[cause], cause))[:_MOST_CAUSES]
    if not main[0]:
        return ()
    return tuple(each for each in main if each and hours[each] >= _SMALLEST_CAUSE * whole)


def _lost(result: Replicated, gap: Interval, losses: tuple[Loss, ...]) -> str:
    if gap.mean <= 0:
        return "Nothing is lost."
    if not losses:
        return f"It falls {gap.text()} reams short of that."
    half = 2 * sum(each.reams.mean for each in losses) > gap.mean
    part = (
        "most go"
        if half
        else "the largest part goes"
        if len(losses) < 2
        else "the largest parts go"
    )
    *others, last = (each.words for each in losses)
    to = f" to {'; to '.join(others)}; and to {last}" if others else f" to {last}"
    return f"Of the {gap.text()} reams missing there {part}{to}. {_waiting(result)}"


def _waiting(result: Replicated) -> str:
    """What people and reels that were waited for took."""

    def reams(run: RunFigures) -> float:
        rows = (row.hours for row in run.lost_for if row.kind in WAITED_FOR)
        return sum(rows) * rated_per_h(run)

    found = result.over_runs(reams, "reams")
    if not found.mean:
        return "None go to waiting for people or reels."
    if len(result.runs) > 1 and found.contains(0):
        return "Few, if any, go to waiting for people or reels."
    return f"Waiting for people and reels takes {found.text()}."


def _holds(result: Replicated) -> str:
    scenario = result.scenario
    by_net = the_station(scenario, result.constraint_by_net_rate().station)
    by_pattern = the_station(scenario, result.constraint_by_pattern())
    if by_net == by_pattern:
        return f"{capital(by_net)} holds the line."
    return (
        f"What holds it the signs do not agree on: {by_net} has the lowest net rate, but the"
        f" others wait for {by_pattern}."
    )
