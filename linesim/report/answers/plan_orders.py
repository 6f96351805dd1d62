"""The answer of ``plan-orders``."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from linesim.report.answers.answer import (
    AnswerContent,
    AnswerTable,
    Cell,
    Column,
    change,
    figure,
    percentile,
    share,
    verdict,
    written,
    written_bounded,
)
from linesim.report.answers.charts import Bar, Bars, Chart
from linesim.scenario import Scenario
from linesim.statistics import runs_for_both_ends
from linesim.studies.promise import OrderPromise, Promise, SequenceFigures
from linesim.studies.supplies_needed import Need, PaperNeed

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def plan_orders_answer(scenario: Scenario, found: Promise) -> AnswerContent:
    """The answer of ``plan-orders``."""
    return AnswerContent(
        found,
        _words(scenario, found),
        _tables(scenario, found),
        _charts(found),
        _notes(found),
    )


def _words(scenario: Scenario, found: Promise) -> list[str]:
    """What can be promised, what is late, and whether another sequence is better."""
    names = f"{scenario.line.name}: {len(found.orders)} orders in the sequence as written."
    last = found.sequences[0].last_h
    if last is not None:
        names += f" The last is done after {written(figure(last))} h by the calendar."
    words = [names]
    words += [_promise(scenario, order) for order in found.orders]
    words += [text for each in found.sequences[1:] if (text := _sequence(each))]
    unfinished = [order for order in found.orders if order.unfinished]
    if unfinished:
        words.append(
            f"Not every order gets done within {found.hours:g} h: "
            + ", ".join(f"{o.name} not in {o.unfinished} of {found.runs} runs" for o in unfinished)
            + ". Such a run counts as later than all others; lateness has no mean then. Ask for"
            " more --hours, or leave them out to have them found."
        )
    return words


def _promise(scenario: Scenario, order: OrderPromise) -> str:
    enough = order.done_h[-1]
    if enough.value is None and enough.low is None:
        text = f"{order.name}: not done often enough within the runs to promise anything."
    else:
        value = "later than the runs" if enough.value is None else moment(scenario, enough.value)
        text = (
            f"{order.name}: done by {value} in 9 of 10 runs, that is after"
            f" {written_bounded(percentile(enough))} h."
        )
    if order.due_h is None:
        return f"{text} No due time is given."
    due = f"due {moment(scenario, order.due_h)}"
    late = order.late
    if late is None:
        return f"{text} It is {due}, when the runs have ended."
    chance = f"chance {written_bounded(share(late))} %"
    runs = {0: f"none of {late.n} runs", late.n: "every run"}
    many = runs.get(late.count, f"{late.count} of {late.n} runs")
    return f"{text} It is {due}: late in {many}, {chance}."


def _sequence(each: SequenceFigures) -> str:
    if each.same_as is not None:
        return f"The sequence {each.name} is the same as the one {each.same_as}."
    parts = []
    if each.late_h_against is not None:
        parts.append(f"total lateness: {verdict(each.late_h_against, 'h')}")
    if each.last_h_against is not None:
        parts.append(f"time until all is done: {verdict(each.last_h_against, 'h')}")
    if not parts:
        return ""
    numbers = ", ".join(str(n + 1) for n in each.order)
    return f"Sequence {each.name} ({numbers}), against the one as written: {'; '.join(parts)}."


def moment(scenario: Scenario, hours: float) -> str:
    """A time of the plant for people: a date where the scenario says when it starts.

    >>> from linesim.scenario import check_mapping
    >>> moment(check_mapping({"calendar": {"starts": "2026-03-02 06:00"}}), 32.5)
    'Tue 3 Mar 14:30'
    >>> moment(check_mapping({}), 32.5)
    '32.5 h'
    """
    start = scenario.calendar.start
    if start is None:
        return f"{hours:.1f} h"
    at = start + dt.timedelta(hours=hours)
    # Not by the locale of the machine: the same everywhere.
    day = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")[at.weekday()]
    month = _MONTHS[at.month - 1]
    return f"{day} {at.day} {month} {at:%H:%M}"


def _tables(scenario: Scenario, found: Promise) -> tuple[AnswerTable, ...]:
    """Orders, sequences, paper, paper by day, wrapping rolls."""
    tables = [_orders(scenario, found), _sequences(found)]
    if found.paper:
        tables += [_paper(scenario, found), _paper_by_day(scenario, found)]
    if found.rolls:
        tables.append(_rolls(scenario, found))
    return tuple(tables)


def _orders(scenario: Scenario, found: Promise) -> AnswerTable:
    return AnswerTable(
        "orders",
        "When each order is done: 10th, 50th and 90th percentile; chance that it is late",
        (
            Column("order"),
            Column("reams"),
            Column("due", "h"),
            Column("1 of 10 by", "h"),
            Column("half by", "h"),
            Column("9 of 10 by", "h"),
            Column("late", "%"),
        ),
        tuple(
            (
                order.name,
                order.reams,
                order.due_h,
                *(percentile(each) for each in order.done_h),
                None if order.late is None else share(order.late),
            )
            for order in found.orders
        ),
    )


def _sequences(found: Promise) -> AnswerTable:
    def row(each: SequenceFigures) -> tuple[Cell, ...]:
        return (
            each.name,
            " ".join(str(n + 1) for n in each.order),
            f"{each.change_over_min:,.0f}",
            None if each.late_h is None else figure(each.late_h),
            change(each.late_h_against) if each.late_h_against and not each.same_as else None,
            None if each.last_h is None else figure(each.last_h),
            change(each.last_h_against) if each.last_h_against and not each.same_as else None,
        )

    return AnswerTable(
        "sequences",
        "What another sequence gives (paired: all meet the same random numbers)",
        (
            Column("sequence"),
            Column("orders", left=True),
            Column("change-over", "min"),
            Column("total lateness", "h"),
            Column("against first"),
            Column("last done", "h"),
            Column("against first ", ""),
        ),
        tuple(row(each) for each in found.sequences),
    )


def _paper(scenario: Scenario, found: Promise) -> AnswerTable:
    return AnswerTable(
        "paper",
        "Reels to have ready: the mean, and what is enough in 9 of 10 runs; needed from: 1 of 10"
        " runs",
        (
            Column("paper"),
            Column("needed from", "h"),
            Column("reels"),
            Column("9 of 10"),
            Column("on them", "t"),
            Column("back in part reels", "t"),
        ),
        tuple(
            (
                _grade(each),
                percentile(each.first_h),
                *_need(each.reels),
                figure(each.tonnes),
                figure(each.back_tonnes),
            )
            for each in found.paper
        ),
    )


def _grade(each: PaperNeed) -> str:
    return f"{each.web_width_mm:g} mm {each.grammage_g_per_m2:g} g/m2 {each.thickness_um:g} um"


def _need(need: Need) -> tuple[Cell, Cell]:
    return figure(need.mean), percentile(need.enough)


def _paper_by_day(scenario: Scenario, found: Promise) -> AnswerTable:
    days = sorted({day for each in found.paper for day in each.reels_by_day})
    return AnswerTable(
        "paper-by-day",
        "Reels taken from the store, day by day (a day is 24 h from the start of the run)",
        (
            Column("day"),
            Column("from", left=True),
            Column("paper", left=True),
            Column("reels"),
            Column("9 of 10"),
        ),
        tuple(
            (
                str(day),
                moment(scenario, 24.0 * (day - 1)),
                _grade(each),
                *_need(each.reels_by_day[day]),
            )
            for day in days
            for each in found.paper
            if day in each.reels_by_day
        ),
    )


def _rolls(scenario: Scenario, found: Promise) -> AnswerTable:
    return AnswerTable(
        "rolls",
        "Wrapping rolls to have ready (those on the wrappers at the start counted)",
        (
            Column("wrapper"),
            Column("sheet", "mm", left=True),
            Column("rolls"),
            Column("9 of 10"),
            Column("by day", left=True),
        ),
        tuple(
            (
                each.wrapper,
                f"{each.sheet_width_mm:g} x {each.sheet_length_mm:g}",
                *_need(each.rolls),
                "; ".join(
                    f"day {day}: {written(figure(need.mean))}"
                    for day, need in each.rolls_by_day.items()
                ),
            )
            for each in found.rolls
        ),
    )


def _charts(found: Promise) -> tuple[Chart, ...]:
    """How late each sequence is in all."""
    bars = [
        Bar(each.name, figure(each.late_h))
        for each in found.sequences
        if each.late_h is not None and each.same_as is None
    ]
    if len(bars) < 2:
        return ()
    return (
        Bars(
            "lateness",
            "Total lateness of all orders, by sequence",
            Column("sequence"),
            Column("total lateness", "h"),
            tuple(bars),
        ),
    )


def _notes(found: Promise) -> Sequence[str]:
    """How percentiles and chances are known, and what the model leaves out."""
    needed = runs_for_both_ends(0.9, found.level)
    ends = (
        f" With {found.runs} runs the 10th and 90th percentiles have only one end (?);"
        f" {needed} runs have both."
        if found.runs < needed
        else ""
    )
    return (
        f"In brackets: {100 * found.level:.0f} % intervals, of percentiles by order statistics, of"
        f" chances by Clopper and Pearson 1934: they assume no shape of distribution.{ends}",
        "An order is done when its last ream has left the wrappers. Every order gets fresh reels"
        " where width or grade change; part reels go back and are not taken again. Reels on the"
        " stands at the start are counted.",
    )
