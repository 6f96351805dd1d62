"""The answer of a study as JSON: sorted, and the same bytes for the same seed."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from linesim.record.capacity import line_rates, station_rates
from linesim.record.energy import KWH_PER_1000_REAMS
from linesim.report.answers.exports import table_mapping
from linesim.report.answers.what_to_measure import NAME, measure_table
from linesim.report.help_words import reams_more, time_of_gains
from linesim.report.story import story
from linesim.report.words import constraint_sentence
from linesim.scenario import Scenario
from linesim.scenario.wages import crew_paid, wages_of_the_crew
from linesim.statistics import Interval
from linesim.studies import Replicated, RunFigures, WhatHelps
from linesim.studies.energy import energy_use, stations_with_energy
from linesim.studies.figures import GOOD_REAMS, RATED
from linesim.studies.outcome import UNITS
from linesim.studies.waiting import INSIDE
from linesim.version import __version__


def json_text(result: Replicated, helps: WhatHelps | None = None) -> str:
    """Everything the report says and more, as JSON with a line feed at the end."""
    return json.dumps(as_mapping(result, helps), indent=2, sort_keys=True, allow_nan=False) + "\n"


def as_mapping(result: Replicated, helps: WhatHelps | None = None) -> dict[str, Any]:
    """The mapping that becomes JSON. Every figure is {mean, half_width, level, unit}."""
    runs = result.runs
    by_net = result.constraint_by_net_rate().station
    by_pattern = result.constraint_by_pattern()
    found = result.what_to_measure()
    return (
        {} if found is None else {NAME.replace("-", "_"): table_mapping(measure_table(found))}
    ) | {
        "version": __version__,
        "scenario": result.scenario.line.name,
        "invented": result.scenario.line.invented,
        "seed": result.seed,
        "replications": len(runs),
        "replications_asked": result.asked,
        "warm_up_h": result.warm_up_h,
        "interrupted": result.interrupted,
        "hours": runs[0].hours,
        "story": _story(result, helps),
        "measures": _measures(result),
        "stations": {name: _station(result, name) for name in runs[0].state_hours},
        "effectiveness": {name: _factors(result, name) for name in runs[0].effectiveness},
        "products": {name: _of_product(result, name) for name in runs[0].products},
        "reference": runs[0].reference,
        "losses": {name: _losses(result, name) for name in runs[0].losses_h},
        "paper_kg": {
            name: _figure(value)
            for name, value in result.over_table(lambda run: run.paper_kg, "kg").items()
        },
        "constraint": {
            "by_net_rate": by_net,
            "by_pattern": by_pattern,
            "agree": by_net == by_pattern,
            "words": constraint_sentence(result),
            "starved_and_blocked": {
                each.station: {"starved": each.starved, "blocked": each.blocked}
                for each in result.waits()
                if each.station != INSIDE
            },
        },
        "rates": rates_mapping(result.scenario),
        **_energy(result),
        **_wages(result.scenario),
        "balance": {
            "balanced": not any(run.balance["faults"] for run in runs),
            "by_replication": [{"replication": run.replication} | run.balance for run in runs],
        },
    }


def _story(result: Replicated, helps: WhatHelps | None) -> dict[str, Any]:
    """The first paragraph, and its figures: reams of such a run, and money a year."""
    told, (hours, time) = story(result, helps or ""), time_of_gains(result)
    return {
        "text": told.text,
        "reams_missing": _figure(told.gap),
        "losses": [
            {"name": each.name, "causes": list(each.causes), "reams": _figure(each.reams)}
            for each in told.losses
        ],
        "helps": helps
        and {
            "levers": [
                {
                    "lever": each.key,
                    "change": each.words,
                    "reams_more": _figure(reams_more(each, hours)),
                    "money_per_year": each.worth and _figure(each.worth.yearly),
                    "capital": each.purchase and float(each.purchase.capital),
                }
                for each in helps.levers
            ],
            "reams_more_are": time,
            "levers_tried": helps.tried,
            "replications": helps.runs,
            "hours": helps.hours,
        },
    }


def rates_mapping(scenario: Scenario) -> list[dict[str, Any]]:
    """Rated and net rates of every station; null for a station without a limit of its own."""
    single = {rate.station: rate for rate in station_rates(scenario)}
    every = list(single.values()) + [r for r in line_rates(scenario) if r.station not in single]
    return [
        {
            "station": rate.station,
            "rated_reams_per_min": rate.rated if math.isfinite(rate.rated) else None,
            "net_reams_per_min": rate.net if math.isfinite(rate.net) else None,
            "minutes_per_running_h": rate.minutes_per_running_h,
        }
        for rate in every
    ]


def _figure(interval: Interval) -> dict[str, Any]:
    return {
        "mean": interval.mean,
        "half_width": interval.half_width if math.isfinite(interval.half_width) else None,
        "level": interval.level,
        "unit": interval.unit,
    } | ({"not_known": interval.doubt} if interval.doubt else {})


def _measures(result: Replicated) -> dict[str, Any]:
    """The measures of the line; energy for its reams among them where power is given."""
    found: dict[str, Any] = {name: _figure(result.measure(name)) for name in UNITS}
    if names := stations_with_energy(result):
        per_1000 = energy_use(result, names).per_1000_reams
        found[KWH_PER_1000_REAMS] = per_1000 and _figure(per_1000)
    return found


def _energy(result: Replicated) -> dict[str, Any]:
    """Only where the power of a station is given."""
    names = stations_with_energy(result)
    if not names:
        return {}
    found = _used(result, names)
    price = result.scenario.money.energy_price_per_kwh
    if price is not None:
        found |= {"price_per_kwh": price} | _currency(result.scenario)
    stations = {name: _used(result, [name]) for name in names}
    return {"energy": found | {"stations": stations}}


def _wages(scenario: Scenario) -> dict[str, Any]:
    """Only where they are given."""
    total = wages_of_the_crew(scenario)
    if not total:
        return {}
    paid = [p._asdict() for p in crew_paid(scenario)]
    return {"wages": {"money_per_year": total, "paid": paid} | _currency(scenario)}


def _currency(scenario: Scenario) -> dict[str, str]:
    """Only where it is named."""
    return {"currency": scenario.money.currency} if scenario.money.currency else {}


def _used(result: Replicated, stations: Sequence[str]) -> dict[str, Any]:
    use = energy_use(result, stations)
    per_1000, standing = use.per_1000_reams, use.standing
    return {
        "kwh": _figure(use.kwh),
        KWH_PER_1000_REAMS: per_1000 and _figure(per_1000),
        "share_standing": standing and _figure(standing),
        "kwh_by_state": {state: _figure(kwh) for state, kwh in use.by_state.items()},
    }


def _hours(result: Replicated, pick: Callable[[RunFigures], Mapping[str, float]]) -> dict[str, Any]:
    return {name: _figure(value) for name, value in result.over_table(pick, "h").items()}


def _losses(result: Replicated, name: str) -> dict[str, Any]:
    return _hours(result, lambda run: run.losses_h[name])


def _station(result: Replicated, name: str) -> dict[str, Any]:
    found = {
        "part_of_sheeter": name in result.runs[0].parts_of_sheeter,
        "hours_by_state": _hours(result, lambda run: run.state_hours[name]),
        "hours_by_cause": _hours(result, lambda run: run.cause_hours[name]),
    }
    if name in result.runs[0].stop_counts:
        counts = result.over_table(lambda run: run.stop_counts[name], "stops")
        found["stops_by_cause"] = {cause: _figure(value) for cause, value in counts.items()}
    return found


def _of_product(result: Replicated, name: str) -> dict[str, Any]:
    """Its factors, those that every run has, and its good reams; a run that made none has 0."""
    tables = [run.products.get(name, {}) for run in result.runs]
    found: dict[str, Any] = {}
    for factor in tables[0]:
        values = [table.get(factor) for table in tables]
        known = [value for value in values if value is not None]
        if factor == GOOD_REAMS:
            reams = [value or 0.0 for value in values]
            found[factor] = _figure(result.estimate(reams, "reams"))
        else:
            every = len(known) == len(values)
            found[factor] = _figure(result.estimate(known, "1")) if every else None
    return found


def _factors(result: Replicated, name: str) -> dict[str, Any]:
    table = result.runs[0].effectiveness[name]
    simulated = {k: v for k, v in table.items() if v is not None and k != RATED}
    found: dict[str, Any] = {k: v for k, v in table.items() if k not in simulated}
    values = result.over_table(
        lambda run: {k: run.effectiveness[name][k] or 0.0 for k in simulated}, "1"
    )
    return found | {factor: _figure(value) for factor, value in values.items()}
