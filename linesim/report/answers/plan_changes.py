"""A wearing part changed by plan against run to failure: the answer of ``plan-changes``."""

from __future__ import annotations

from linesim.report.answers.answer import AnswerContent, more_runs, verdict
from linesim.report.answers.cells import Column
from linesim.report.answers.charts import Chart, curve
from linesim.report.answers.tables import AnswerTable
from linesim.scenario import Scenario
from linesim.scenario.laws import Exponential
from linesim.statistics import counted, rough
from linesim.studies.plan_changes import Plan, PlannedChanges

_FEW = 40
"""So few stops of a part in all runs tell little."""
_SOURCE = "Barlow and Proschan 1965"


def plan_changes_answer(scenario: Scenario, found: PlannedChanges) -> AnswerContent:
    """The answer of ``plan-changes``."""
    words = plan_changes_words(scenario, found)
    return AnswerContent(found, words, (_table(found),), _charts(found), _notes(found))


def plan_changes_words(scenario: Scenario, found: PlannedChanges) -> list[str]:
    """The best plan, what it saves, and what the formula says."""
    best, cause = found.best, found.stop.cause
    made = best.reams_per_week.text()
    gain, on_present = best.gain, found.gain_on_present
    words = [
        f"{scenario.line.name}: of {counted(len(found.plans), 'way')} tried, {cause}"
        f" {_every(found, best)} makes most, {made} good reams a week."
    ]
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
    return f"{every:,.6g} {found.unit}"


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


def _table(found: PlannedChanges) -> AnswerTable:
    hour = "h by the clock" if found.stop.meter == "every_clock_h" else "h running"
    return AnswerTable.of(
        "plans",
        "What each interval of the plan gives (a week of 168 h)",
        found.plans,
        (
            Column("changed every", found.unit),
            lambda p: "never" if p.every is None else f"{p.every:,.6g}",
        ),
        ("changed by plan", lambda p: p.changes),
        ("failed", lambda p: p.failures),
        (Column("lost", "h"), lambda p: p.lost_h),
        (Column("lost", f"min per {hour}"), lambda p: p.lost_min),
        ("by formula", lambda p: p.formula_min),
        ("good reams", lambda p: p.reams_per_week),
        ("more than run to failure", lambda p: p.gain),
    )


def _charts(found: PlannedChanges) -> tuple[Chart, ...]:
    planned = [(p.every, p) for p in found.plans if p.every is not None]
    x = Column("changed every", found.unit)
    theory = {every: plan.formula_min for every, plan in planned}
    return (
        curve(
            "gain",
            "What a plan brings against run to failure",
            x,
            Column("more than run to failure", "reams a week"),
            ((every, plan.gain) for every, plan in planned),
            found.present.every,
            of="paired difference, same random numbers",
        ),
        curve(
            "lost",
            "What the part takes of its station",
            x,
            Column("lost", "min an hour"),
            ((every, plan.lost_min) for every, plan in planned),
            found.present.every,
            theory=theory,
            theory_name="age replacement",
        ),
    )


def _notes(found: PlannedChanges) -> list[str]:
    """What was assumed."""
    stop = found.stop
    change = stop.change_min.average() if stop.change_min is not None else 0.0
    return [
        f"A planned change takes {rough(change)} min and spoils nothing, a failure"
        f" {rough(stop.restore_min.average())} min. The formula counts these minutes at the station"
        " at rated speed. The runs count besides what is spoiled, who is waited for, run-ups, and"
        " what buffers swallow: where they say otherwise, believe the runs. Parts and their prices"
        " are not counted.",
        "The best is chosen by the runs that measured it, which flatters it a little.",
    ]
