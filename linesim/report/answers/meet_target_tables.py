"""Tables and chart of ``meet-target``: what was checked, what was tried, money against output."""

from __future__ import annotations

from collections.abc import Callable

from linesim.report.answers.cells import Cell, Column, figure_of
from linesim.report.answers.charts import Curve, curve
from linesim.report.answers.money_tables import sum_table, worth_table
from linesim.report.answers.tables import AnswerTable
from linesim.scenario import Scenario
from linesim.scenario.buffers import bridge_of
from linesim.studies.meet_target import Checked, MetTarget, TriedSetting
from linesim.studies.target_settings import Setting
from linesim.studies.worth import prices_of

_CLEAR = {True: "reaches", False: "falls short", None: "not clear"}


def target_tables(scenario: Scenario, found: MetTarget) -> tuple[AnswerTable, ...]:
    """What was checked on fresh draws, against the present; all that was tried; levels beside."""
    walked = [each for each in found.tried if not each.beside]
    beside = [each for each in found.tried if each.beside]
    tables = []
    if found.present_checked is not None:
        tables = [_checked(scenario, found, found.present_checked), *_sums(scenario, found)]
    title = "What the search tried, cheapest first (a week of 168 h)"
    tables.append(_tried(scenario, found, "tried", title, walked))
    if beside:
        title = "Bridge levels the search tried as well (a week of 168 h)"
        tables.append(_tried(scenario, found, "levels", title, beside))
    return tuple(tables)


def _sums(scenario: Scenario, found: MetTarget) -> list[AnswerTable]:
    """The money of what was checked, against the line as it is."""
    rows = [
        (f"no. {_number(found, each.setting)}", each.worth)
        for each in found.checked
        if each.worth is not None
    ]
    if not rows or found.market is None:
        return []
    return [sum_table(rows, prices_of(scenario), found.market), worth_table(rows)]


def _number(found: MetTarget, setting: Setting) -> int:
    """The number of a setting in all tables: its place by cost."""
    return 1 + [each.setting for each in found.tried].index(setting)


def _tried(
    scenario: Scenario, found: MetTarget, name: str, title: str, rows: list[TriedSetting]
) -> AnswerTable:
    return AnswerTable.of(
        name,
        title,
        rows,
        *_setting_columns(scenario, found),
        (_COST, lambda each: _cost_cell(found, each)),
        ("good reams", lambda each: each.reams_per_week),
        (_REACHES, lambda each: _mark(found, each.setting) + _CLEAR[each.reaches]),
        (_WASTE, lambda each: each.waste_kg_per_week),
    )


def _checked(scenario: Scenario, found: MetTarget, now: Checked) -> AnswerTable:
    present = found.present.setting
    return AnswerTable.of(
        "checked",
        "Checked with fresh random numbers (a week of 168 h)",
        [now, *(each for each in found.checked if each.setting != present)],
        *_setting_columns(scenario, found),
        (_COST, lambda each: _money(found, each.fixed_cost)),
        ("good reams", lambda each: each.reams_per_week),
        (_REACHES, lambda each: _mark(found, each.setting) + _CLEAR[each.reaches]),
        ("against the present", lambda each: None if each.setting == present else each.gain),
        (Column("single runs that reach", "%"), lambda each: each.weeks_that_reach),
        (_WASTE, lambda each: each.waste_kg_per_week),
        (
            Column("more waste", "money a year"),
            lambda each: None if each.setting == present else each.paper_cost,
        ),
    )


_COST = Column("cost", "money a year")
_REACHES = Column("asked output", left=True)
_WASTE = Column("avoidable waste", "kg")


def _mark(found: MetTarget, setting: Setting) -> str:
    """What is particular about a row."""
    marks = []
    if setting == found.present.setting:
        marks.append("present")
    if found.answer is not None and setting == found.answer.setting:
        marks.append("answer")
    return f"{', '.join(marks)}: " if marks else ""


def _setting_columns(
    scenario: Scenario, found: MetTarget
) -> tuple[tuple[str | Column, Callable[[TriedSetting | Checked], Cell]], ...]:
    return (
        ("no.", lambda each: str(_number(found, each.setting))),
        ("places", lambda each: each.setting.places),
        (Column("bridge", "m"), lambda each: bridge_of(scenario).metres(each.setting.places)),
        ("stop at", lambda each: each.setting.levels.stop),
        ("restart at", lambda each: each.setting.levels.restart),
        ("slow from", lambda each: each.setting.levels.slow),
        (
            Column("together below", "m"),
            lambda each: float(f"{each.setting.change_together_below_m:.10g}"),
        ),
        ("crew", lambda each: each.setting.crew),
        ("wrappers", lambda each: each.setting.wrappers),
    )


def _money(found: MetTarget, amount: float) -> Cell:
    return round(amount) if found.prices.known else None


def _cost_cell(found: MetTarget, each: TriedSetting) -> Cell:
    if each.paper_cost is None:
        return _money(found, each.fixed_cost)
    paper = figure_of(each.paper_cost)
    return paper._replace(mean=each.fixed_cost + paper.mean)


def target_charts(found: MetTarget) -> tuple[Curve, ...]:
    """Cost against output, or places against output where places have no price.

    Only what changes reels together as the answer does: another curve would go with another length.
    """
    at = (found.answer or found.best).setting
    by_cost = found.prices.place > 0
    best: dict[float, TriedSetting] = {}
    for each in found.tried:
        setting = each.setting
        same = (
            setting.change_together_below_m == at.change_together_below_m
            and (found.prices.person > 0 or setting.crew == at.crew)
            and (by_cost or setting.wrappers == at.wrappers)
            and not each.beside
        )
        if not same and setting != found.present.setting:
            continue
        paper = each.paper_cost.mean if each.paper_cost else 0.0
        x = each.fixed_cost + paper if by_cost else float(setting.places)
        if x not in best or each.reams_per_week.mean > best[x].reams_per_week.mean:
            best[x] = each
    return (
        curve(
            "output",
            "What the money brings" if by_cost else "What the places bring",
            Column("cost beyond the present line", "money a year")
            if by_cost
            else Column("places on the bridge"),
            Column("good reams", "reams a week"),
            ((x, best[x].reams_per_week) for x in sorted(best)),
            0.0 if by_cost else float(found.present.setting.places),
            theory=dict.fromkeys(best, found.asked),
            theory_name="asked output",
        ),
    )
