"""A wearing part changed by plan against run to failure: the answer of ``plan-changes``."""

from __future__ import annotations

from typing import Any

from linesim.report.answers.answer import AnswerContent, more_runs, verdict
from linesim.report.answers.cells import Column, set_value
from linesim.report.answers.charts import PAIRED, Chart, curve, stretches
from linesim.report.answers.money_tables import sum_table
from linesim.report.answers.tables import AnswerTable
from linesim.scenario import CURRENCY, Scenario
from linesim.scenario.laws import Exponential
from linesim.statistics import counted, rough
from linesim.studies.plan_changes import MoneyOfPlans, Plan, PlannedChanges
from linesim.studies.worth import prices_of

_FEW = 40
"""So few stops of a part in all runs tell little."""
_SOURCE = "Barlow and Proschan 1965"


def plan_changes_answer(scenario: Scenario, found: PlannedChanges) -> AnswerContent:
    """The answer of ``plan-changes``."""
    words = plan_changes_words(scenario, found)
    tables = [_table(found)]
    if found.money is not None:
        tables += [_money_table(scenario, found), *_sum_tables(scenario, found, found.money)]
    return AnswerContent(found, words, tables, _charts(found), _notes(found))


def plan_changes_words(scenario: Scenario, found: PlannedChanges) -> list[str]:
    """The best plan, what it saves, and what the formula says."""
    best, cause = found.best, found.stop.cause
    made = best.reams_per_week.text()
    gain, on_present = best.gain, found.gain_on_present
    line, ways = f"“{scenario.line.name}”", counted(len(found.plans), "way")
    most = f"{cause} {_every(found, best)} makes most"
    if best.every is None:
        first = f"for {cause}, run to failure makes most of {ways} tried: no plan makes more."
        words = [f"{line}: {first} It makes {made} good reams a week."]
    elif gain is not None and not gain.shown:
        first = f"of {ways} tried none is shown to make more than run to failure; {most}"
        words = [f"{line}: {first}, {made} good reams a week."]
    else:
        words = [f"{line}: of {ways} tried, {most}, {made} good reams a week."]
    if gain is not None:
        words.append(f"Against run to failure: {verdict(gain, 'reams a week')}.")
    if found.present.every is not None and on_present is not None:
        plan = f"the present plan (every {_amount(found, found.present.every)})"
        words.append(f"Against {plan}: {verdict(on_present, 'reams a week')}.")
    if found.alike:
        alike = ", ".join(_every(found, plan) for plan in found.alike)
        told = [p.short for p in found.alike if p.short is not None and p.short.more_runs]
        more = f"; {more_runs(min(told, key=lambda d: d.more_runs or 0))}" if told else ""
        words.append(f"No difference is shown between it and {alike}{more}.")
    words.append(_formula(found))
    if found.money is not None:
        words += _in_money(found, found.money)
    if found.seen < _FEW:
        words.append(
            f"The part was changed or failed {counted(found.seen, 'time')} in all runs of the best"
            " plan: longer runs (hours) or more of them would tell more."
        )
    return words


def _every(found: PlannedChanges, plan: Plan) -> str:
    if plan.every is None:
        return "run to failure"
    return f"changed every {_amount(found, plan.every)}"


def _amount(found: PlannedChanges, every: float) -> str:
    return f"{set_value(every)} {found.unit}"


def _formula(found: PlannedChanges) -> str:
    """What the closed form says of the station alone."""
    every, formula = found.formula_every, found.formula
    head = f"By the formula for the station alone (age replacement, {_SOURCE})"
    if every is None:
        why = "what is lost falls the longer it is left in use"
        if isinstance(formula.life, Exponential):
            why = "the chance to fail does not rise with age"
        elif formula.planned >= formula.failed:
            why = "a planned change takes as long as a failure"
        return f"{head} no plan pays: {why}."
    saved = 1 - formula.lost_per_unit(every) / formula.lost_per_unit(None)
    return (
        f"{head} it is best changed every {rough(every)} {found.unit}; that saves"
        f" {100 * saved:.0f} % of the minutes lost running to failure."
    )


def _in_money(found: PlannedChanges, money: MoneyOfPlans) -> list[str]:
    """Which plan is best in money, and what a part then costs for each unit of its use."""
    best, formula, every = money.best, money.formula, money.formula_every
    words = ["In money, parts counted, no plan tried brings more than run to failure."]
    if best.every is not None and best.worth is not None:
        clear = ", which is not clear yet" if best.worth.contains(0) else ""
        words = [
            f"In money, parts counted, {found.stop.cause} {_every(found, best)} brings most:"
            f" {best.worth.text()} {CURRENCY} a year more than run to failure{clear}."
        ]
    unit = f"{CURRENCY} for each {found.one} of use"
    to_failure = f"{rough(formula.lost_per_unit(None))} {unit} to failure"
    minute = f"{rough(money.minute)} {CURRENCY}"
    head = f"By the formula in money, with a minute of the station at {minute},"
    if every is None:
        return [*words, f"{head} no plan pays: {to_failure}."]
    return [
        *words,
        f"{head} it is best changed every {rough(every)} {found.unit}:"
        f" {rough(formula.lost_per_unit(every))} against {to_failure}.",
    ]


def _money_table(scenario: Scenario, found: PlannedChanges) -> AnswerTable:
    assert found.money is not None
    formula = found.money.formula
    return AnswerTable.of(
        "plans-in-money",
        "What each interval of the plan costs (a year of"
        f" {scenario.money.hours_per_year:,.10g} manned hours)",
        found.plans,
        (Column("changed every", found.unit), _interval),
        (Column("parts", "money", rank=2), lambda p: p.parts),
        (
            Column("more than run to failure", "money"),
            lambda p: None if p.every is None else p.worth,
        ),
        (
            Column("by formula", f"money a {found.one} of use", rank=1),
            lambda p: formula.lost_per_unit(p.every),
        ),
    )


def _sum_tables(
    scenario: Scenario, found: PlannedChanges, money: MoneyOfPlans
) -> list[AnswerTable]:
    """How the sum of the best plan adds up, and of the present one where that is another."""
    plans = {plan.every: plan for plan in (money.best, found.present) if plan.every is not None}
    rows = [(_every(found, plan), plan.sum) for plan in plans.values() if plan.sum is not None]
    return [sum_table(rows, prices_of(scenario), money.market)] if rows else []


def _interval(plan: Plan) -> str:
    return "never" if plan.every is None else set_value(plan.every)


def _table(found: PlannedChanges) -> AnswerTable:
    hour = "h by the clock" if found.stop.meter == "every_clock_h" else "h running"
    return AnswerTable.of(
        "plans",
        "What each interval of the plan gives (a week of 168 h)",
        found.plans,
        (Column("changed every", found.unit), _interval),
        ("changed by plan", lambda p: p.changes),
        ("failed", lambda p: p.failures),
        (Column("lost", "h", rank=1), lambda p: p.lost_h),
        (Column("lost", f"min per {hour}", rank=3), lambda p: p.lost_min),
        (Column("by formula", rank=4), lambda p: p.formula_min),
        ("good reams", lambda p: p.reams_per_week),
        ("more than run to failure", lambda p: p.gain),
    )


def _charts(found: PlannedChanges) -> tuple[Chart, ...]:
    planned = [(p.every, p) for p in found.plans if p.every is not None]
    x, now = Column("changed every", found.unit), found.present.every
    theory = {every: plan.formula_min for every, plan in planned}
    against: dict[str, Any] = {"of": PAIRED, "gain": "run to failure"}
    pays = stretches(
        (every, plan.worth is not None and plan.worth.low > 0) for every, plan in planned
    )
    gain = curve(
        "gain",
        "What a plan brings against run to failure" + _none_brings_more(found.best),
        x,
        Column("more than run to failure", "reams a week"),
        ((every, plan.gain) for every, plan in planned),
        now,
        best=found.best.every,
        **against,
    )
    lost = curve(
        "lost",
        "What the part takes of its station",
        x,
        Column("lost", "min an hour"),
        ((every, plan.lost_min) for every, plan in planned),
        now,
        theory=theory,
        theory_name="by formula",
    )
    if found.money is None:
        return gain, lost
    worth = curve(
        "worth",
        "What a plan is worth against run to failure, parts counted"
        + _none_brings_more(found.money.best),
        x,
        Column("more than run to failure", "money a year"),
        ((every, plan.worth) for every, plan in planned),
        now,
        best=found.money.best.every,
        pays=pays,
        **against,
    )
    return worth, gain, lost


def _none_brings_more(best: Plan) -> str:
    """Run to failure has no place on the axis of intervals: where it is best, the title says so."""
    return ": none tried brings more" if best.every is None else ""


def _parts(found: PlannedChanges) -> str:
    if found.money is None:
        return " Parts and their prices are not counted."
    return (
        " In money it takes for lost what the station makes in these minutes, and no more than the"
        " line by its lowest net rate, at the contribution of a ream, and parts at their prices."
        " The runs count reams that somebody buys, and avoidable waste, besides."
    )


def _notes(found: PlannedChanges) -> list[str]:
    """What was assumed."""
    stop = found.stop
    change = stop.change_min.average() if stop.change_min is not None else 0.0
    return [
        f"A planned change takes {rough(change)} min and spoils nothing, a failure"
        f" {rough(stop.restore_min.average())} min. The formula counts these minutes at the station"
        " at rated speed. The runs count besides what is spoiled, who is waited for, run-ups, and"
        f" what buffers swallow: where they say otherwise, believe the runs.{_parts(found)}",
        "The best is chosen by the runs that measured it, which flatters it a little.",
    ]
