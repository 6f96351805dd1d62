"""Sentences and figures for people: every simulated figure with its interval."""

from __future__ import annotations

import math
import re

from linesim.record.capacity import station_rates
from linesim.record.states import PRODUCING
from linesim.report.plain import station_name
from linesim.scenario import CURRENCY, Scenario, in_currency
from linesim.scenario.wages import crew_paid, wages_of_the_crew
from linesim.statistics import Interval, counted, rough
from linesim.statistics.formatting import ROUNDING
from linesim.studies import Replicated, RunFigures
from linesim.studies.energy import energy_use, stations_with_energy
from linesim.studies.figures import LINE, RATED
from linesim.studies.settling import Settled

NO_INTERVAL = "one run: no interval"

MEASURES = {
    "good_reams_per_hour": ("good reams per hour", "wrapped well, or saved by rework"),
    "availability": ("availability", "actual production time / planned busy time"),
    "performance": ("performance", "planned run time of what was made / actual production time"),
    "quality": ("quality", "good / produced"),
    "oee": ("OEE", "availability × performance × quality"),
    "avoidable_waste_fraction": ("avoidable waste", "paper lost that need not be / paper used"),
    "trim_and_surplus_fraction": (
        "trim and surplus",
        "trim and sheets above the count of good reams / paper used",
    ),
}
"""What the measures of a line are called, and what each is."""

LOSS_STEPS = (
    "breakdowns",
    "set-up and adjustment",
    "idling and minor stops",
    "reduced speed",
    "start-up rejects",
    "process rejects",
)


TWO_PARTS = (
    "First ±: chance in the runs, which more runs narrow. Second ±: what is not known of the line,"
    " which only measuring narrows"
)

TWO_PARTS_OF_MONEY = (
    "First ±: chance in the runs, which more runs narrow. Second ±: what is not known of prices"
)


def mean_words(count: int, level: float, *, crossed: bool) -> str:
    """What a figure with its ± is."""
    ends = f"± half width of the {100 * level:.0f} % interval"
    if crossed:
        return (
            f"Mean of {count} runs in plants that agree with what is known, {ends}. {TWO_PARTS}."
            " One ± alone: both together"
        )
    return f"Mean of {count} runs {ends}"


def hours(interval: Interval) -> str:
    """Hours, no finer than a thousandth (3.6 s), so that stations fit side by side.

    Both parts of the interval are in one.
    """
    interval = interval.together
    width = interval.half_width
    if abs(interval.mean) < 0.0005 and (width < 0.0005 or width == math.inf):
        return "0"
    if ROUNDING * abs(interval.mean) < width < 0.0095:
        sign = "−" if interval.mean < -0.0005 else ""
        return f"{sign}{abs(interval.mean):.3f} ± {max(width, 0.001):.3f}"
    return interval.text()


def percent(interval: Interval) -> str:
    """A fraction in per cent, both parts of its interval in one."""
    return f"{interval.together.text(100)} %"


def measure(result: Replicated, name: str) -> str:
    """A measure of the line: reams per hour, or a fraction in per cent."""
    found = result.measure(name)
    return found.text() if name == "good_reams_per_hour" else f"{found.text(100)} %"


def share_of_planned(result: Replicated, step: str) -> Interval:
    """A step of the line's losses as a fraction of its planned busy time."""

    def share(run: RunFigures) -> float:
        planned = run.losses_h[LINE]["planned busy time"]
        return run.losses_h[LINE][step] / planned if planned else 0.0

    return result.over_runs(share, "1")


def factor(result: Replicated, station: str, name: str) -> Interval | None:
    """A factor of a station's effectiveness, or its rated speed; None where it has none."""
    if result.runs[0].effectiveness[station][name] is None:
        return None
    return result.over_runs(lambda run: run.effectiveness[station][name] or 0.0, "1")


def without_web(cause: str) -> str:
    """A cause without the number of its web: all webs count together.

    >>> without_web("tension control (web 2)")
    'tension control'
    """
    return re.sub(r" \(web \d+\)$", "", cause)


def hours_by_cause(result: Replicated, station: str) -> dict[str, Interval]:
    """Hours a station lost, by cause; a cause that every web has for itself taken together."""

    def folded(run: RunFigures) -> dict[str, float]:
        sums: dict[str, float] = {}
        for cause, lost in run.cause_hours[station].items():
            name = without_web(cause)
            sums[name] = sums.get(name, 0.0) + lost
        return sums

    return result.over_table(folded, "h")


def energy_sentence(result: Replicated) -> str:
    """What the energy costs, and in which states most of what serves nothing is drawn."""
    use = energy_use(result, stations_with_energy(result))
    price, per_1000 = result.scenario.money.energy_price_per_kwh, use.per_1000_reams
    parts = []
    if price is not None and per_1000 is not None:
        cost = per_1000.times(price).text()
        parts.append(
            f"At {price:g} {CURRENCY} a kWh, energy costs {cost} {CURRENCY} for 1,000 good reams."
        )
    running = {state.words for state in PRODUCING}
    idle = {state: kwh for state, kwh in use.by_state.items() if state not in running}
    if use.standing is not None and any(kwh.mean for kwh in idle.values()):
        most = max(idle, key=lambda state: idle[state].mean)
        parts.append(
            f"While nothing is made {percent(use.standing)} is drawn, most of it {most}"
            f" ({idle[most].together.text()} kWh)."
        )
    return in_currency(" ".join(parts), result.scenario.money.currency)


def wages_sentence(scenario: Scenario) -> str:
    """What the crew is paid in a year, and of whom that is the sum; empty where nobody says."""
    total = wages_of_the_crew(scenario)
    if not total:
        return ""
    parts = [
        f"{each.name + ': ' if each.name else ''}{counted(each.people, 'person', 'people')} for"
        f" {rough(each.hours)} h{' each' if each.people > 1 else ''} at"
        f" {each.wage_per_h:,.10g} {CURRENCY}"
        for each in crew_paid(scenario)
    ]
    return in_currency(
        "Wages of the crew, paid whether the line runs or not:"
        f" {total:,.0f} {CURRENCY} a year ({'; '.join(parts)} an hour).",
        scenario.money.currency,
    )


def rated_speed(result: Replicated, station: str) -> str:
    """What a station is measured against, reams a minute; empty where it sets no pace.

    Over several products it is the mean for what was made: it differs from run to run.
    """
    rated = factor(result, station, RATED)
    return "" if rated is None else rated.text()


def how_judged(result: Replicated) -> str:
    """What performance, quality and OEE count, for this line."""
    scenario = result.scenario
    said = (
        "Work still on the line is neither good nor lost yet, so it is listed by itself and not"
        " counted as produced. Work that was on the line when counting began counts when it is"
        " delivered, as far as the station's own time covers it."
    )
    if len(scenario.order) > 1:
        said += " The planned run time of a ream is that of its own product."
    if any(rate.catch_up > 1 for rate in station_rates(scenario)):
        said += " Wrappers are measured at the speed they have when they catch up."
    names = result.runs[0].effectiveness
    passed = [name for name in names if any(_passes(run, name) for run in result.runs)]
    if passed:
        shown = (station_name(scenario, name) for name in passed)
        said += (
            f" Performance passes 100 % at {', '.join(shown)}: the times for a piece vary there,"
            " and in these runs were shorter than their mean."
        )
    return said


def _passes(run: RunFigures, name: str) -> bool:
    performance = run.effectiveness[name]["performance"]
    return performance is not None and performance > 1 + 1e-6


def constraint_sentence(result: Replicated) -> str:
    """What holds the line, by net rate and by the pattern of waiting, and whether they differ."""
    by_net = result.constraint_by_net_rate()
    by_pattern = result.constraint_by_pattern()
    slow = station_name(result.scenario, by_net.station)
    waited_for = station_name(result.scenario, by_pattern)
    net = f"{rough(by_net.net)} reams a minute after its own stops"
    if by_net.station == by_pattern:
        return (
            f"What holds the line: the {waited_for}. Its net rate is the lowest ({net}), and in the"
            " runs the other stations wait for it."
        )
    return (
        f"What holds the line: the two signs differ. The lowest net rate is at the {slow} ({net}),"
        f" but in the runs the pattern of waiting points to the {waited_for}. The net rate leaves"
        " out waiting for people and reels, restarts, and a bridge too short to keep a stop from"
        " the next station; linesim what-holds weighs them."
    )


def settled_words(settled: Settled) -> str:
    """How long the runs had to be, what was left out at their start, and how that was found."""
    *short, last = (f"{hours:g} h" for hours in settled.tried_h)
    text = (
        f"Long run: runs of {settled.hours:g} h; the first {settled.warm_up_h:g} h of each are"
        f" left out (MSER-5, White 1997). In {settled.pilot_runs} pilot runs of {last} successive"
        f" parts show no trend (p = {settled.steadiness.trend:.2f}) and no correlation"
        f" (p = {settled.steadiness.succession:.2f}) beyond chance."
    )
    if short:
        text += f" Too short: {', '.join(short)}."
    if settled.slowest:
        text += (
            f" The rarest stop cause, {settled.slowest}, comes about every"
            f" {rough(settled.slowest_h)} h."
        )
    return text


def narrow_words(result: Replicated, within_percent: float) -> str:
    """Whether the interval of good reams came out as narrow as was asked for."""
    good = result.measure("good_reams_per_hour")
    found = 100 * good.relative_half_width
    reached = "reached" if found <= within_percent else "not reached"
    said = (
        f"Good reams to ± {within_percent:g} %: {reached}, ± {found:.2g} % with"
        f" {counted(len(result.runs), 'run')}."
    )
    if good.doubt and good.mean:
        said += f" What is not known, ± {100 * good.doubt / abs(good.mean):.2g} %, no run narrows."
    return said


def balance_sentence(result: Replicated) -> str:
    """Whether the books balance, and the reams of the first run."""
    run = result.runs[0]
    faults = [fault for each in result.runs for fault in each.balance["faults"]]
    if faults:
        return "The books do NOT balance: " + "; ".join(faults)
    reams = run.balance["reams"]
    good = reams["wrapped"] + reams["reworked"]
    lost = reams["repulped"] + reams["set_aside"]
    start = f" + {reams['at_start']:,} on the line before" if reams["at_start"] else ""
    text = (
        f"The books balance to the sheet and the micrometre in every run. Run {run.replication}:"
        f" {reams['made']:,} reams made{start} = {good:,} good + {lost:,} lost +"
        f" {reams['at_end']:,} still on the line."
    )
    book = run.balance.get("cartons")
    if book is None:
        return text
    start = f" + {book['at_start']:,} on the way before" if book["at_start"] else ""
    where = f"in {counted(book['cartons'], 'carton')}"
    if result.scenario.palletiser is not None:
        where = f"on {counted(book['pallets'], 'full pallet')}"
    return (
        f"{text} Behind the wrappers: {book['came']:,} came{start} = {book['delivered']:,} {where}"
        f" + {book['at_end']:,} on the way."
    )
