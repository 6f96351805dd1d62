"""Tables and chart of ``meet-target``: what was checked, what was tried, money against output."""

from __future__ import annotations

from linesim.report.answers.answer import AnswerTable, Chart, Column, Figure, change, figure, share
from linesim.report.answers.cells import Cell
from linesim.report.answers.charts import Curve, CurvePoint
from linesim.report.answers.money_tables import sum_table, worth_table
from linesim.scenario import Scenario
from linesim.studies.changes import bridge_metres
from linesim.studies.meet_target import MetTarget, TriedSetting
from linesim.studies.target_settings import Setting
from linesim.studies.worth import prices_of

_CLEAR = {True: "reaches", False: "falls short", None: "not clear"}


def target_tables(scenario: Scenario, found: MetTarget) -> tuple[AnswerTable, ...]:
    """What was checked on fresh draws, against the present; all that was tried; levels beside."""
    walked = _tried(
        scenario,
        found,
        "tried",
        "What the search tried, cheapest first (a week of 168 h)",
        [each for each in found.tried if not each.beside],
    )
    beside = [each for each in found.tried if each.beside]
    tables = (
        []
        if found.present_checked is None
        else [_checked(scenario, found), *_sums(scenario, found)]
    )
    tables.append(walked)
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
    return AnswerTable(
        name,
        title,
        (
            *_SETTING_COLUMNS,
            Column("cost", "money a year"),
            Column("good reams"),
            Column("asked output", left=True),
            Column("avoidable waste", "kg"),
        ),
        tuple(
            (
                *_setting_cells(scenario, found, each.setting),
                _cost_cell(found, each),
                figure(each.reams_per_week),
                _mark(found, each.setting) + _CLEAR[each.reaches],
                figure(each.waste_kg_per_week),
            )
            for each in rows
        ),
    )


def _checked(scenario: Scenario, found: MetTarget) -> AnswerTable:
    present, now = found.present.setting, found.present_checked
    rows = [] if now is None else [now]
    rows += [each for each in found.checked if each.setting != present]
    return AnswerTable(
        "checked",
        "Checked with fresh random numbers (a week of 168 h)",
        (
            *_SETTING_COLUMNS,
            Column("cost", "money a year"),
            Column("good reams"),
            Column("asked output", left=True),
            Column("against the present"),
            Column("single runs that reach", "%"),
            Column("avoidable waste", "kg"),
            Column("more waste", "money a year"),
        ),
        tuple(
            (
                *_setting_cells(scenario, found, each.setting),
                _money(found, each.fixed_cost),
                figure(each.reams_per_week),
                _mark(found, each.setting) + _CLEAR[each.reaches],
                None if each.setting == present else change(each.gain),
                share(each.weeks_that_reach),
                figure(each.waste_kg_per_week),
                None
                if each.paper_cost is None or each.setting == present
                else figure(each.paper_cost),
            )
            for each in rows
        ),
    )


def _mark(found: MetTarget, setting: Setting) -> str:
    """What is particular about a row."""
    marks = []
    if setting == found.present.setting:
        marks.append("present")
    if found.answer is not None and setting == found.answer.setting:
        marks.append("answer")
    return f"{', '.join(marks)}: " if marks else ""


_SETTING_COLUMNS = (
    Column("no."),
    Column("places"),
    Column("bridge", "m"),
    Column("stop at"),
    Column("restart at"),
    Column("slow from"),
    Column("together below", "m"),
    Column("crew"),
    Column("wrappers"),
)


def _setting_cells(scenario: Scenario, found: MetTarget, setting: Setting) -> tuple[Cell, ...]:
    return (
        str(_number(found, setting)),
        setting.places,
        bridge_metres(scenario, setting.places),
        *setting.levels,
        float(f"{setting.change_together_below_m:.10g}"),
        setting.crew,
        setting.wrappers,
    )


def _money(found: MetTarget, amount: float) -> Cell:
    return round(amount) if found.prices.known else None


def _cost_cell(found: MetTarget, each: TriedSetting) -> Cell:
    if each.paper_cost is None:
        return _money(found, each.fixed_cost)
    return Figure(each.fixed_cost + each.paper_cost.mean, each.paper_cost.half_width)


def target_charts(found: MetTarget) -> tuple[Chart, ...]:
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
    points = tuple(CurvePoint(x, figure(best[x].reams_per_week), found.asked) for x in sorted(best))
    return (
        Curve(
            "output",
            "What the money brings" if by_cost else "What the places bring",
            Column("cost beyond the present line", "money a year")
            if by_cost
            else Column("places on the bridge"),
            Column("good reams", "reams a week"),
            points,
            0.0 if by_cost else float(found.present.setting.places),
            "asked output",
        ),
    )
