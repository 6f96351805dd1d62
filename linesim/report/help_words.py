"""Which levers would help a line most, in a sentence, and what that rests on."""

from __future__ import annotations

from linesim.fast import is_quick
from linesim.scenario import CURRENCY, in_currency
from linesim.statistics import Interval, counted, rough
from linesim.studies import Replicated, WhatHelps
from linesim.studies.runner import WEEK_H
from linesim.studies.what_to_change import Alone


def help_sentence(result: Replicated, helps: WhatHelps) -> str:
    """What would help most, each lever alone: reams in the hours of these runs, and money a year.

    Money is told where the runs tell it from nothing; where a price is not known it is what the
    lever would bring for nothing.
    """
    if not helps.levers:
        return "No lever alone is shown to help."
    hours, time = time_of_gains(result)
    said = "; ".join(_lever(each, hours, time) for each in helps.levers)
    alone = ", each alone" if len(helps.levers) > 1 else ""
    return in_currency(f"What would help most{alone}: {said}.", result.scenario.money.currency)


def time_of_gains(result: Replicated) -> tuple[float, str]:
    """Hours in which gains are told, and in words: those of the runs.

    Orders that are done sooner leave time: there it is the pace in manned hours that tells.
    """
    hours, scenario = result.runs[0].hours, result.scenario
    if scenario.order:
        return 1.0, "a manned hour"
    return hours, "a shift" if hours == scenario.line.shift_hours else f"in {hours:,.4g} h"


def reams_more(each: Alone, hours: float) -> Interval:
    """Good reams more that a lever brings in so many hours."""
    return each.gain.interval.times(hours / WEEK_H)


def _lever(each: Alone, hours: float, time: str) -> str:
    reams = f"+{reams_more(each, hours).text()} reams {time}"
    return ", ".join(filter(None, [each.words, reams, _money(each)]))


def _money(each: Alone) -> str:
    worth = each.worth
    if worth is None or worth.yearly.contains(0):
        return ""
    yearly = f"{worth.yearly.text()} {CURRENCY} a year"
    if each.purchase is None:
        return f"up to {yearly}"
    capital = float(worth.purchase.capital)
    return (
        f"{yearly} for {rough(capital)} {CURRENCY}" if capital else f"{yearly} with nothing to buy"
    )


def no_help_words(result: Replicated) -> str:
    """Why it is not worth asking what would help the line of these runs; empty where it is."""
    if len(result.runs) < 2:
        return "One run does not tell what would help"
    if result.interrupted:
        return "The runs were stopped: what would help was not asked"
    if not is_quick():
        # It would take minutes.
        return "What would help is told once the compiled engine is ready"
    return ""


def help_note(result: Replicated, helps: WhatHelps) -> str:
    """What the sentence rests on."""
    stated = ", as the line is stated" if result.crossed else ""
    return (
        f"What would help: {counted(helps.tried, 'lever')}, each moved a middling step alone in one"
        f" run of {helps.hours:g} h; those that promised most again in {helps.runs} runs, on the"
        f" same random numbers as the line as it is{stated}. Money a year is before"
        " capital; up to: before a price that is not known. linesim what-to-change tries all steps,"
        " and levers together"
    )
