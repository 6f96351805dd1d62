"""What the page of a shared shift holds of its run: its scripts draw that and add no figure."""

from __future__ import annotations

from calendar import timegm
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from linesim.record import LOUD, Disturbance, Record, Ripple, State, StopEvent, ripple
from linesim.report.answers.cells import cell_text
from linesim.report.disturbance_in_words import WITHOUT_THE_STOP
from linesim.report.moment_words import WRAPPED
from linesim.report.order_words import OrderInTime, orders_in_time
from linesim.report.page.state_looks import LOOKS
from linesim.report.plain import bridge_levels, brought_words, station_name
from linesim.report.ripple_in_words import duration_words, ripple_table, ripple_words
from linesim.report.shared.packing import Texts, packed_changes, packed_column, packed_numbers
from linesim.report.shared.samples import (
    MS,
    Column,
    Lane,
    Picture,
    Progress,
    States,
    curves,
    in_ms,
    lanes_of,
)
from linesim.scenario import HOUR, WEB_STATIONS, Scenario

_LEAST_MS = 1
"""A stop shorter than that is shown as that long."""
WAITS_FOR_PACE = "waits for a slower station"


def contents(
    record: Record,
    events: Sequence[StopEvent],
    at_ns: Column,
    progress: Progress | None,
    disturbance: Disturbance | None,
    without: Record | None,
) -> dict[str, Any]:
    """Everything the page plays: texts by number, columns by moment, stops in order.

    Raises ``StoppedError`` when ``progress`` gives it up.
    """
    texts, states = Texts(), States()
    lanes = lanes_of(record, states, at_ns)
    picture = Picture(record, texts)
    picture.take(at_ns, progress)
    order, lanes = _by_use(states, lanes)
    looks = [[states.rows[row][0].value, states.rows[row][1]] for row in order]
    said = [texts.number(states.rows[row][2]) for row in order]
    stops = _stops(record, events, lanes, texts)
    return {
        "hours": record.hours,
        "starts": _starts_ms(record.scenario),
        "plan": _plan(record.scenario),
        "states": [
            {"words": state.words, "look": LOOKS[state][0], "hatch": LOOKS[state][1]}
            for state in State
        ],
        "loud": [state.value for state in LOUD],
        "pace": WAITS_FOR_PACE,
        "wrapped": WRAPPED,
        "looks": looks,
        "says": packed_column(said),
        "at": packed_column(at_ns // MS),
        "lanes": [
            {
                "name": lane.name,
                "title": lane.title,
                "part": lane.part,
                "changes": packed_changes(lane.from_ms, lane.states, at_ns // MS),
            }
            for lane in lanes
        ],
        "orders": [_order(record.scenario, order) for order in orders_in_time(record)],
        "curves": _packed(curves(record, at_ns)),
        "put in": _put_in(record, events, disturbance),
        "without": None
        if without is None
        else {"title": WITHOUT_THE_STOP, "curves": _packed(curves(without, at_ns))},
        "numbers": {name: packed_column(values) for name, values in picture.numbers.items()},
        "words": {name: packed_column(values) for name, values in picture.words.items()},
        "travelling": packed_numbers(picture.travelling),
        "stops": stops,
        "texts": texts.packed(),
    }


def _packed(columns: dict[str, Column]) -> dict[str, str]:
    return {name: packed_column(values) for name, values in columns.items()}


def _starts_ms(scenario: Scenario) -> int | None:
    """The time of day at which a run starts, as if it were universal time, where it is known."""
    starts = scenario.calendar.start
    return None if starts is None else timegm(starts.timetuple()) * 1000


def _order(scenario: Scenario, order: OrderInTime) -> dict[str, Any]:
    """Its moments in ms, and what is said of it."""
    moments = {"begun": order.begun_h, "done": order.done_h, "due": order.due_h}
    found = {
        name: None if hours is None else round(hours * HOUR / MS) for name, hours in moments.items()
    }
    says = ", ".join(order.words(scenario).split("\n"))
    return {**found, "late": order.late_h is not None, "titles": order.titles, "says": says}


def _put_in(record: Record, events: Sequence[StopEvent], disturbance: Disturbance | None) -> int:
    """Which of the stops was put in; -1: none that is to be seen."""
    if disturbance is None or disturbance.began_ns is None:
        return -1
    found = (
        number
        for number, event in enumerate(events)
        if record.causes[event.cause] == disturbance.cause
        and event.start_ns <= disturbance.began_ns < event.end_ns
    )
    return next(found, -1)


def _by_use(states: States, lanes: Sequence[Lane]) -> tuple[list[int], list[Lane]]:
    """The rows of states, those that change most often first: small numbers are short ones."""
    uses = np.zeros(len(states.rows), dtype=np.int64)
    for lane in lanes:
        np.add.at(uses, lane.states, 1)
    order = np.argsort(-uses, kind="stable")
    place = np.empty_like(order)
    place[order] = np.arange(len(order))
    renumbered = [replace(lane, states=place[lane.states]) for lane in lanes]
    return order.tolist(), renumbered


def _plan(scenario: Scenario) -> dict[str, Any]:
    """What there is of the line, for its drawing."""
    reels = scenario.reels
    behind = {
        station_name(scenario, place): list(names) for place, names in scenario.end_places.items()
    }
    return {
        "webs": scenario.unwind.webs,
        "spares": scenario.unwind.spare_stands or 0,
        "brought": brought_words(scenario),
        # Reels are cut at three times their spread.
        "largest": round(reels.diameter_mm + 3 * reels.diameter_sd_mm),
        "core": round(reels.core_diameter_mm),
        "held": scenario.overlap_belt.hold_cuts,
        "most": scenario.most_set_reams,
        "places": scenario.bridge_places,
        "tracks": scenario.bridge.tracks,
        "levels": [list(level) for level in bridge_levels(scenario)],
        "wrappers": [wrapper.name for wrapper in scenario.wrapper],
        "behind": [[title, names] for title, names in behind.items()],
        "on webs": [name for name in WEB_STATIONS if name not in ("unwind", "pockets")],
    }


def _stops(
    record: Record, events: Sequence[StopEvent], lanes: Sequence[Lane], texts: Texts
) -> dict[str, Any]:
    """The stops in order of their start, each with its ripple in words and as a table."""
    place = {lane.name: number for number, lane in enumerate(lanes)}
    columns: dict[str, list[int]] = {
        name: [] for name in ("start", "length", "lane", "state", "cause", "stood", "told", "until")
    }
    cells: list[int] = []
    reached: list[int] = []
    heads: list[str] = []
    for event in events:
        found = ripple(record, event, events)
        table = ripple_table(record, found, in_words=True)
        heads = heads or [
            f"{head.name}, {head.unit}" if head.unit else head.name for head in table.columns
        ]
        start = in_ms(event.start_ns)
        columns["start"].append(start)
        columns["length"].append(max(_LEAST_MS, in_ms(event.end_ns) - start))
        columns["lane"].append(place[record.stations[event.station]])
        columns["state"].append(_state_of(record, event))
        columns["cause"].append(texts.number(record.causes[event.cause]))
        columns["stood"].append(texts.number(duration_words(event.length_ns)))
        columns["told"].append(texts.number(ripple_words(record, found)))
        columns["until"].append(in_ms(_until(found)) - start)
        cells.append(len(table.rows))
        cells += [texts.number(cell_text(cell)) for row in table.rows for cell in row]
        reached.append(len(found.reached))
        for each in found.reached:
            begun = max(0, in_ms(each.starts_ns[0]) - start)
            wait = max(_LEAST_MS, in_ms(max(each.ends_ns)) - start - begun)
            reached += [place[record.stations[each.station]], begun, wait]
    return {
        "count": len(events),
        "columns": {name: packed_column(values) for name, values in columns.items()},
        "heads": heads,
        "cells": packed_numbers(cells),
        "reached": packed_numbers(reached),
    }


def _state_of(record: Record, event: StopEvent) -> int:
    """What the station does as the stop begins."""
    spans = record.recorded.spans.of(event.station)
    row = int(np.searchsorted(spans.start_ns, event.start_ns, side="right")) - 1
    return int(spans.state[row])


def _until(found: Ripple) -> int:
    """When the last wait for it was over, and itself."""
    ends = [max(each.ends_ns) for each in found.reached]
    return max([found.event.end_ns, *ends])
