"""The answer of ``plan-orders``."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from linesim.report.answers.answer import AnswerContent, bounded_text, few_runs_words, verdict
from linesim.report.answers.cells import Column, Figure, Found
from linesim.report.answers.charts import Bar, Bars, bars
from linesim.report.answers.dates import date_words
from linesim.report.answers.tables import AnswerTable
from linesim.scenario import Scenario
from linesim.statistics import runs_for_both_ends
from linesim.statistics.formatting import counted
from linesim.studies.best_sequence import AIMS, BestSequence
from linesim.studies.differences import Difference
from linesim.studies.promise import OrderPromise, Promise, SequenceFigures
from linesim.studies.supplies_needed import PaperNeed, RollNeed
from linesim.studies.what_to_measure import MainFigure


def plan_orders_answer(scenario: Scenario, found: Promise) -> AnswerContent:
    """The answer of ``plan-orders``."""
    words, tables = _words(scenario, found), _tables(scenario, found)
    return AnswerContent(
        found,
        words,
        tables,
        _charts(scenario, found),
        _notes(scenario, found),
        brief=1,
        main=MainFigure.output(found.sequences[0].last_h, "hours until the last order is done"),
    )


def _words(scenario: Scenario, found: Promise) -> list[str]:
    """What can be promised, what is late, and whether another sequence is better."""
    names = f"“{scenario.line.name}”: {len(found.orders)} orders in the sequence as written."
    names += _late(found)
    last = found.sequences[0].last_h
    if last is not None:
        names += f" The last is done after {last.text()} h by the calendar."
    if found.best is not None:
        names += _better(found.best)
    if found.not_known is not None:
        names += (
            f" Of how far that varies, {100 * found.not_known:.0f} % is what is not known of the"
            " line; the rest is chance."
        )
    words = [names]
    words += [_promise(scenario, order) for order in found.orders]
    words += [text for each in found.sequences[1:] if (text := _sequence(each))]
    words += _best(scenario, found.best) if found.best is not None else []
    unfinished = [order for order in found.orders if order.unfinished]
    if unfinished:
        words.append(
            f"Not every order gets done within {found.hours:g} h: "
            + ", ".join(f"{o.name} not in {o.unfinished} of {found.runs} runs" for o in unfinished)
            + ". Such a run counts as later than all others; lateness has no mean then. Ask for"
            " more hours, or for none to have them found."
        )
    return words


def _late(found: Promise) -> str:
    """Which orders were late, in all runs and in some."""
    due = [(each.name, each.late) for each in found.orders if each.late is not None]
    always = [name for name, late in due if late.count == late.n]
    at_times = [name for name, late in due if 0 < late.count < late.n]
    said = f" Late in every run: {', '.join(always)}." if always else ""
    said += f" Late in some of the runs: {', '.join(at_times)}." if at_times else ""
    return said or (" None was late in any run." if due else "")


_BRINGS = (
    ("late_orders_against", "{} fewer late orders", "{} more late orders"),
    ("late_h_against", "{} h less lateness in all", "{} h more lateness in all"),
    ("last_h_against", "all done {} h sooner", "all done {} h later"),
)
"""What a sequence brings and takes, by what is known of it."""


def _better(best: BestSequence) -> str:
    """Whether another sequence is better, and what it takes in return."""
    chosen = best.tried[0]
    if chosen.late_h_against is None and chosen.last_h is not None:
        return " No better sequence was found."
    told: tuple[list[str], list[str]] = [], []
    for name, less, more in _BRINGS:
        found: Difference | None = getattr(chosen, name)
        if found is not None and found.shown:
            interval = found.interval
            worse = interval.mean > 0
            size = interval.times(1 if worse else -1).text()
            told[worse].append((more if worse else less).format(size))
    brings, takes = ("; ".join(each) for each in told)
    if not brings:
        return " No other sequence is shown to be better."
    return (
        f" Better is the sequence {_numbers(chosen.order)}: {brings}{takes and f', but {takes}'}."
    )


def _best(scenario: Scenario, best: BestSequence) -> list[str]:
    """The best sequence found, how sure that is, and what it gives."""
    chosen, names = best.tried[0], [order.name for order in scenario.order]
    sequence = ", ".join(names[n] for n in chosen.order)
    share = bounded_text(chosen.best_in, "%")
    found = (
        f"Best by {AIMS[best.aim]}: {sequence} ({_numbers(chosen.order)})."
        f" In {best.runs} runs with fresh random numbers it is the best of"
        f" {counted(len(best.tried), 'sequence')}, or as good, in {share} %."
    )
    against = (
        ("late", chosen.late_orders_against, "orders"),
        ("total lateness", chosen.late_h_against, "h"),
        ("time until all is done", chosen.last_h_against, "h"),
    )
    parts = [f"{what}: {verdict(gain, unit, of='')}" for what, gain, unit in against if gain]
    if parts:
        found += f" Against the one as written: {'; '.join(parts)}."
    elif chosen.last_h is not None:
        found += " It is the one as written."
    how = "all" if best.every else "the best that steps from one to another found"
    return [
        found,
        f"{counted(best.reckoned, 'sequence')} ({how}) reckoned with mean times,"
        f" {best.run} run with the same random numbers, {len(best.tried)} with fresh ones.",
    ]


def _numbers(order: Sequence[int]) -> str:
    return ", ".join(str(n + 1) for n in order)


def _promise(scenario: Scenario, order: OrderPromise) -> str:
    enough = order.done_h[-1]
    if enough.value is None and enough.low is None:
        text = f"{order.name}: not done often enough within the runs to promise anything."
    else:
        value = "later than the runs" if enough.value is None else moment(scenario, enough.value)
        text = (
            f"{order.name}: done by {value} in 9 of 10 cases, that is after"
            f" {bounded_text(enough)} h."
        )
    if order.due_h is None:
        return f"{text} No due time is given."
    due = f"due {moment(scenario, order.due_h)}"
    late = order.late
    if late is None:
        return f"{text} It is {due}, when the runs have ended."
    chance = f"chance {bounded_text(late, '%')} %"
    runs = {0: f"none of {late.n} runs", late.n: "every run"}
    many = runs.get(late.count, f"{late.count} of {late.n} runs")
    return f"{text} It is {due}: late in {many}, {chance}."


def _sequence(each: SequenceFigures) -> str:
    if each.same_as is not None:
        return f"The sequence {each.name} is the same as the one {each.same_as}."
    against = (
        ("total lateness", each.late_h_against),
        ("time until all is done", each.last_h_against),
    )
    parts = [f"{what}: {verdict(found, 'h', of='')}" for what, found in against if found]
    if not parts:
        return ""
    name = f"{each.name} ({_numbers(each.order)})"
    return f"Sequence {name}, against the one as written: {'; '.join(parts)}."


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
    return date_words(start + dt.timedelta(hours=hours))


def _tables(scenario: Scenario, found: Promise) -> tuple[AnswerTable, ...]:
    """Orders, sequences, paper, paper by day, wrapping rolls."""
    tables = [_orders(scenario, found), _sequences(found)]
    if found.best is not None:
        tables.append(_tried(found.best))
    if found.paper:
        tables += [_paper(scenario, found), _paper_by_day(scenario, found)]
    if found.rolls:
        tables.append(_rolls(found))
    return tuple(tables)


def moment_column(scenario: Scenario, name: str, rank: int = 0) -> Column:
    """A column of moments, in hours after the start: dates where the scenario says when that is."""
    start = scenario.calendar.start
    return Column(name, "h", left=start is not None, rank=rank, starts=start)


def _orders(scenario: Scenario, found: Promise) -> AnswerTable:
    return AnswerTable.of(
        "orders",
        "When each order is done: in 1, 5 and 9 of 10 cases; chance that it is late",
        found.orders,
        ("order", lambda order: order.name),
        (Column("reams", rank=2), lambda order: order.reams),
        (moment_column(scenario, "due"), lambda order: order.due_h),
        (moment_column(scenario, "1 of 10 by", rank=1), lambda order: order.done_h[0]),
        (moment_column(scenario, "half by"), lambda order: order.done_h[1]),
        (moment_column(scenario, "9 of 10 by"), lambda order: order.done_h[2]),
        (Column("late", "%"), lambda order: order.late),
    )


_AGAINST = "against as written"


def _sequences(found: Promise) -> AnswerTable:
    return AnswerTable.of(
        "sequences",
        "What another sequence gives (paired: all meet the same random numbers)",
        found.sequences,
        ("sequence", lambda each: each.name),
        (Column("orders", left=True), lambda each: " ".join(str(n + 1) for n in each.order)),
        (Column("change-over", "min", rank=1), lambda each: f"{each.change_over_min:,.0f}"),
        (Column("total lateness", "h"), lambda each: each.late_h),
        (
            Column("against first", said=f"lateness {_AGAINST}"),
            lambda each: None if each.same_as else each.late_h_against,
        ),
        (Column("last done", "h", rank=2), lambda each: each.last_h),
        (
            Column("against first ", said=f"last done {_AGAINST}", rank=2),
            lambda each: None if each.same_as else each.last_h_against,
        ),
    )


def _tried(best: BestSequence) -> AnswerTable:
    return AnswerTable.of(
        "best-sequence",
        f"Best by {AIMS[best.aim]}: with fresh random numbers (paired); on top the one chosen",
        best.tried,
        (Column("orders", left=True), lambda each: " ".join(str(n + 1) for n in each.order)),
        (Column("best in", "%", rank=2), lambda each: each.best_in),
        (Column("change-over", "min", rank=1), lambda each: f"{each.change_over_min:,.0f}"),
        ("late orders", lambda each: each.late_orders),
        (Column("total lateness", "h"), lambda each: each.late_h),
        (Column("last done", "h", rank=3), lambda each: each.last_h),
        (
            Column("against first", said=f"last done {_AGAINST}", rank=3),
            lambda each: each.last_h_against,
        ),
    )


def _paper(scenario: Scenario, found: Promise) -> AnswerTable:
    return AnswerTable.of(
        "paper",
        "Reels to have ready: the mean, and what is enough in 9 of 10 cases; needed from: 1 of 10"
        " cases",
        found.paper,
        ("paper", _grade),
        (moment_column(scenario, "needed from"), lambda each: each.first_h),
        ("reels", lambda each: each.reels.mean),
        ("9 of 10", lambda each: each.reels.enough),
        (Column("on them", "t", rank=1), lambda each: each.tonnes),
        (Column("back in part reels", "t", rank=2), lambda each: each.back_tonnes),
    )


def _grade(each: PaperNeed) -> str:
    return f"{each.web_width_mm:g} mm {each.grammage_g_per_m2:g} g/m² {each.thickness_um:g} µm"


def _paper_by_day(scenario: Scenario, found: Promise) -> AnswerTable:
    rows = [(day, each, need) for each in found.paper for day, need in each.reels_by_day.items()]
    return AnswerTable.of(
        "paper-by-day",
        "Reels taken from the store, day by day (a day is 24 h from the start of the run)",
        sorted(rows, key=lambda row: row[0]),
        ("day", lambda row: str(row[0])),
        (Column("from", left=True, rank=1), lambda row: moment(scenario, 24.0 * (row[0] - 1))),
        (Column("paper", left=True), lambda row: _grade(row[1])),
        ("reels", lambda row: row[2].mean),
        ("9 of 10", lambda row: row[2].enough),
    )


def _rolls(found: Promise) -> AnswerTable:
    def by_day(each: RollNeed) -> str:
        return "; ".join(
            f"day {day}: {need.mean.text()}" for day, need in each.rolls_by_day.items()
        )

    return AnswerTable.of(
        "rolls",
        "Wrapping rolls to have ready (those on the wrappers at the start counted)",
        found.rolls,
        ("wrapper", lambda each: each.wrapper),
        (
            Column("sheet", "mm", left=True, rank=1),
            lambda each: f"{each.sheet_width_mm:g} x {each.sheet_length_mm:g}",
        ),
        ("rolls", lambda each: each.rolls.mean),
        ("9 of 10", lambda each: each.rolls.enough),
        (Column("by day", left=True), by_day),
    )


def _charts(scenario: Scenario, found: Promise) -> tuple[Bars, ...]:
    """When each order is done beside when it is due, and how late each sequence is in all."""
    return (_timeline(scenario, found), *_lateness(found))


def _timeline(scenario: Scenario, found: Promise) -> Bars:
    def bar(order: OrderPromise) -> Bar:
        early, late = order.done_h[0].value, order.done_h[-1].value
        band = None
        if early is not None and late is not None:
            band = Figure((early + late) / 2, (late - early) / 2)
        return Bar(order.name, band, order.due_h)

    return Bars(
        "done",
        "When each order is done: from 1 of 10 cases to 9 of 10, and when it is due",
        Column("order"),
        Column("last ream wrapped", "h"),
        tuple(bar(order) for order in found.orders),
        theory_name="due",
        bands=True,
        starts=scenario.calendar.start,
        empty="not done in time to say",
    )


def _lateness(found: Promise) -> tuple[Bars, ...]:
    rows: list[tuple[str, Found]] = [
        (each.name, each.late_h)
        for each in found.sequences
        if each.late_h is not None and each.same_as is None
    ]
    if found.best is not None and (best := found.best.tried[0]).late_h_against is not None:
        rows.append((f"best by {AIMS[found.best.aim]}, fresh runs", best.late_h))
    if len(rows) < 2:
        return ()
    title, lateness = "Total lateness of all orders, by sequence", Column("total lateness", "h")
    return (bars("lateness", title, "sequence", lateness, rows),)


def _notes(scenario: Scenario, found: Promise) -> Sequence[str]:
    """How percentiles and chances are known, and what the model leaves out."""
    needed = runs_for_both_ends(0.9, found.level, crossed=found.crossed)
    ends = f" {few_runs_words(found.runs, needed)}" if found.runs < needed else ""
    twos = (
        " Two runs of one plant, or of the same random numbers, count as one."
        if found.crossed
        else ""
    )
    reels = (
        "Where width or grade change, part reels go back, and go on again before fresh ones when"
        " their web runs that paper again."
        if scenario.changeover.part_reels == "taken_again"
        else "Every order gets fresh reels where width or grade change; part reels go back and are"
        " not taken again."
    )
    return (
        f"In brackets: {100 * found.level:.0f} % intervals, of percentiles by order statistics, of"
        f" chances by Clopper and Pearson 1934: they assume no shape of distribution.{twos}{ends}",
        f"An order is done when its last ream has left the wrappers. {reels} Reels on the stands at"
        " the start are counted.",
    )
