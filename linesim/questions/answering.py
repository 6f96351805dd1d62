"""How each question is answered: a study is made, and its findings put in words and tables."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from linesim.money import Uncertainty
from linesim.plant.causes_matched import logged_stops
from linesim.plant.date_order import ORDERS
from linesim.plant.kept_columns import open_log
from linesim.plant.machine_names import station_of
from linesim.plant.production import read_counts
from linesim.plant.stop_log import LogSettings, StopLog, Told
from linesim.plant.validate import ValidationError, validate
from linesim.questions.options import (
    AddWrapperOptions,
    MeetTargetOptions,
    NoOptions,
    PlanOrdersOptions,
    QuestionError,
    SizeBridgeOptions,
    ValidateOptions,
    VaryOptions,
    WhatHoldsOptions,
)
from linesim.questions.places import is_list, places_for, places_from_present
from linesim.report.answers import (
    AnswerTable,
    Chart,
    bridge,
    comparison,
    holding,
    orders,
    stops,
    target,
    target_tables,
    validation,
    varied,
    wrapper,
)
from linesim.report.answers.bridge_sizes import BridgeSizes, bridge_sizes
from linesim.scenario import Scenario
from linesim.studies.add_wrapper import add_wrapper
from linesim.studies.bridge_levels import BestLevels, best_levels
from linesim.studies.compare import compare
from linesim.studies.meet_target import meet_target
from linesim.studies.promise import promise
from linesim.studies.rank_stops import rank_stops
from linesim.studies.runner import Runner, StoppedError
from linesim.studies.sequences import (
    SequenceError,
    as_written,
    by_due_date,
    least_change_over,
    read_sequence,
)
from linesim.studies.size_bridge import size_bridge
from linesim.studies.vary import read_span, vary
from linesim.studies.what_holds import what_holds

Scenarios = Mapping[str, Scenario]


@dataclass(frozen=True)
class Said:
    """What a study says, before the facts and notes that all studies share."""

    words: Sequence[str]
    tables: Sequence[AnswerTable]
    charts: Sequence[Chart]
    notes: Sequence[str] = ()
    scenario: str | None = None
    sizes: BridgeSizes | None = None


def _only(scenarios: Scenarios) -> Scenario:
    return next(iter(scenarios.values()))


def _size_bridge(
    scenarios: Scenarios, runner: Runner, options: SizeBridgeOptions, partial: bool
) -> Said:
    scenario = _only(scenarios)
    tried = places_for(scenario, options.places, options.points)
    if len(tried) < 2:
        raise QuestionError("places", f"{tried[0]} places alone make no curve: name another length")
    found = size_bridge(
        scenario,
        runner,
        tried,
        asked_fraction=options.fraction_percent / 100,
        years=options.years,
    )
    best = None
    if options.levels and not partial and not runner.interrupted:
        best = _levels(scenario, runner)
    return Said(
        bridge.bridge_words(scenario, found, best),
        bridge.bridge_tables(scenario, found, best),
        bridge.bridge_charts(found),
        bridge.bridge_notes(scenario, found),
        sizes=bridge_sizes(scenario, found),
    )


def _meet_target(
    scenarios: Scenarios, runner: Runner, options: MeetTargetOptions, partial: bool
) -> Said:
    scenario = _only(scenarios)
    if not options.reams_per_week:
        raise QuestionError(
            "reams-per-week", "say how many good reams a week are asked for, such as 300000"
        )
    found = meet_target(
        scenario,
        runner,
        options.reams_per_week,
        certainty=options.certainty_percent / 100,
        places=places_from_present(scenario, options.places),
        more_people=options.more_people,
        person_cost=options.person_cost_per_year,
        years=options.years,
        fill=not is_list(options.places),
        check=not partial,
    )
    return Said(
        target.target_words(scenario, found),
        target_tables.target_tables(scenario, found),
        target_tables.target_charts(found),
        target.target_notes(scenario, found),
    )


def _levels(scenario: Scenario, runner: Runner) -> BestLevels | None:
    try:
        return best_levels(scenario, runner)
    except StoppedError:
        # The curve is complete and worth having without the levels.
        return None


def _rank_stops(scenarios: Scenarios, runner: Runner, _: NoOptions, __: bool) -> Said:
    scenario = _only(scenarios)
    found = rank_stops(scenario, runner)
    return Said(
        stops.stops_words(scenario, found),
        stops.stops_tables(found),
        stops.stops_charts(found),
        stops.stops_notes(found),
    )


def _add_wrapper(scenarios: Scenarios, runner: Runner, options: AddWrapperOptions, _: bool) -> Said:
    scenario = _only(scenarios)
    _refuse_doubt_about_nothing(scenario, options)
    found = add_wrapper(
        scenario,
        runner,
        within_years=options.payback_years,
        years=options.years,
        uncertainty=Uncertainty(
            contribution=options.contribution_percent / 100,
            demand=options.demand_percent / 100,
            capital=options.capital_percent / 100,
            running_cost=options.running_cost_percent / 100,
        ),
    )
    return Said(
        wrapper.wrapper_words(scenario, found),
        wrapper.wrapper_tables(scenario, found),
        wrapper.wrapper_charts(found),
        wrapper.wrapper_notes(found),
    )


def _refuse_doubt_about_nothing(scenario: Scenario, options: AddWrapperOptions) -> None:
    """What the scenario does not state cannot be uncertain: it would have no effect."""
    money, asked = scenario.money, options.model_dump()
    stated: dict[str, tuple[str, object]] = {
        "contribution": ("contribution_per_ream", money.contribution_per_ream),
        "demand": ("demand_reams_per_year", money.demand_reams_per_year),
        "capital": ("wrapper_price", money.wrapper_price or money.ream_place_cost),
        "running_cost": ("wrapper_cost_per_year", money.wrapper_cost_per_year),
    }
    for name, (field, value) in stated.items():
        if asked[f"{name}_percent"] and not value:
            raise QuestionError(
                "uncertain",
                f"{name.replace('_', ' ')}: the scenario has no {field} in [money], so there is"
                " nothing to be uncertain about",
            )


def _what_holds(scenarios: Scenarios, runner: Runner, options: WhatHoldsOptions, _: bool) -> Said:
    scenario = _only(scenarios)
    found = what_holds(scenario, runner, step=options.step_percent / 100)
    return Said(
        holding.holds_words(scenario, found),
        holding.holds_tables(found),
        holding.holds_charts(found),
        holding.HOLDS_NOTES,
    )


def _vary(scenarios: Scenarios, runner: Runner, options: VaryOptions, _: bool) -> Said:
    scenario = _only(scenarios)
    found = vary(scenario, runner, [read_span(scenario, text) for text in options.fields])
    return Said(
        varied.vary_words(scenario, found), varied.vary_tables(found), varied.vary_charts(found)
    )


def _compare(scenarios: Scenarios, runner: Runner, _: NoOptions, __: bool) -> Said:
    found = compare(scenarios, runner)
    return Said(
        comparison.compare_words(found),
        comparison.compare_tables(found),
        comparison.compare_charts(found),
        comparison.COMPARE_NOTES,
        scenario=", ".join(scenarios),
    )


def _plan_orders(scenarios: Scenarios, runner: Runner, options: PlanOrdersOptions, _: bool) -> Said:
    scenario = _only(scenarios)
    if not scenario.order:
        raise QuestionError("", "the scenario has no [[order]]: there is nothing to promise")
    ways = {
        "as written": as_written(scenario),
        "by due date": by_due_date(scenario),
        "by least change-over": least_change_over(scenario),
    }
    for text in options.sequences.split(";") if options.sequences else ():
        try:
            ways[f"as told: {text.strip()}"] = read_sequence(scenario, text)
        except SequenceError as error:
            raise QuestionError("sequence", str(error)) from None
    found = promise(scenario, runner, ways, find_hours=options.find_hours)
    return Said(
        orders.orders_words(scenario, found),
        orders.orders_tables(scenario, found),
        orders.orders_charts(found),
        orders.orders_notes(found),
    )


def _validate(scenarios: Scenarios, runner: Runner, options: ValidateOptions, _: bool) -> Said:
    scenario = _only(scenarios)
    since, until = _date("from", options.since), _date("to", options.until)
    if not options.against:
        raise QuestionError("against", "name the file with the plant's production counts")
    told = _told(options, scenario)
    counts = read_counts(options.against, told.date_order)
    log = (
        open_log(options.log, LogSettings(told=told, counts=options.against))
        if options.log
        else None
    )
    if log is not None and not log.dated:
        problem = "the log tells time by a counter, so its stops have no dates to be compared by"
        raise QuestionError("log", problem)
    try:
        found = validate(
            scenario,
            runner,
            counts.shifts,
            since=since,
            until=None if until is None else until + dt.timedelta(days=1),
            log=None
            if log is None
            else logged_stops(log.stops, scenario, log.told.causes, log.told.stations),
        )
    except ValidationError as error:
        raise QuestionError("", str(error)) from None
    return Said(
        validation.validation_words(scenario, found),
        validation.validation_tables(found),
        validation.validation_charts(found),
        [
            *validation.validation_notes(found),
            *filter(None, [counts.dates.words(options.against)]),
            *_log_notes(log),
        ],
    )


def _told(options: ValidateOptions, scenario: Scenario) -> Told:
    """What is told of the log; a pair of names with = between is one telling."""

    def pairs(option: str, text: str | None) -> dict[str, str]:
        found = {}
        for each in filter(str.strip, (text or "").split(";")):
            name, equals, meant = (part.strip() for part in each.partition("="))
            if not (name and equals and meant):
                raise QuestionError(option, f"{each.strip()!r} is not two names with = between")
            found[name] = meant
        return found

    if options.dates and options.dates not in ORDERS:
        raise QuestionError("dates", f"{options.dates!r} is none of {', '.join(ORDERS)}")
    stations = pairs("station", options.stations)
    for station in stations.values():
        if station_of(station, scenario) is None:
            raise QuestionError("station", f"there is no station {station!r}")
    order = ORDERS[options.dates] if options.dates else None
    return Told(order, pairs("cause", options.causes), stations)


def _log_notes(log: StopLog | None) -> Sequence[str]:
    if log is None:
        return ()
    if not log.left_out:
        return log.notes
    return (
        *log.notes,
        f"{len(log.left_out)} of {log.rows} rows of the log cannot be used, so fewer stops are"
        " compared than there were; linesim fit-stops lists them with their reasons.",
    )


def _date(option: str, text: str | None) -> dt.datetime | None:
    try:
        return None if not text else dt.datetime.fromisoformat(text)
    except ValueError:
        raise QuestionError(
            option, f"{text!r} is no date; right would be year-month-day, such as 2026-03-16"
        ) from None


ANSWERS: dict[str, Callable[[Scenarios, Runner, Any, bool], Said]] = {
    "size-bridge": _size_bridge,
    "meet-target": _meet_target,
    "rank-stops": _rank_stops,
    "add-wrapper": _add_wrapper,
    "what-holds": _what_holds,
    "vary": _vary,
    "compare": _compare,
    "plan-orders": _plan_orders,
    "validate": _validate,
}
