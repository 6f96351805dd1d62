"""The figures of a line in one row, the staircase of its losses, the V of its rates.

For who looks at one run on a screen while many runs are still being made: each figure says
whether it comes from one run or is a mean with an interval.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from linesim.record.capacity import line_rates, reference, slowest_net
from linesim.record.record import Record
from linesim.report import words
from linesim.report.answers.answer import plus
from linesim.report.plain import plain_hours, station_name
from linesim.report.run_tables import KWH_PER_1000
from linesim.scenario import Scenario
from linesim.statistics import Interval, counted, rough
from linesim.studies import Replicated
from linesim.studies.differences import between
from linesim.studies.energy import energy_use, stations_with_energy
from linesim.studies.figures import LINE, figures_of
from linesim.studies.outcome import Outcome
from linesim.studies.replications import LEVEL

_ROW = (
    "good_reams_per_hour",
    "oee",
    "availability",
    "performance",
    "quality",
    "avoidable_waste_fraction",
)


@dataclass(frozen=True)
class GlanceFigure:
    """One figure of the row: its name, itself in words, and what it means."""

    name: str
    value: str
    meaning: str
    change: str = ""
    """Against a line before, where there is one."""
    change_meaning: str = ""
    """What the change rests on."""


@dataclass(frozen=True)
class Glance:
    """The row: figures, what they rest on, and what holds the line."""

    figures: tuple[GlanceFigure, ...]
    basis: str
    holds: str
    """The station in a word or two."""
    holds_because: str


@dataclass(frozen=True)
class LossStep:
    """One step from planned time to good output, in hours of the line.

    The step reaches from ``top_h`` down to ``bottom_h``; for a whole (planned time, good output)
    ``bottom_h`` is 0. A loss below 0 reaches up.
    """

    name: str
    top_h: float
    bottom_h: float
    half_width_h: float
    """Of luck; infinite where one run cannot tell."""
    both_h: float
    """With what is not known."""
    whole: bool
    value: str
    share: str
    """Of planned time, in per cent."""


@dataclass(frozen=True)
class LossChange:
    """A step of the line before, from ``top_h`` down to ``bottom_h``, and what has changed."""

    name: str
    top_h: float
    bottom_h: float
    value: str
    """Hours now less hours before, over runs on the same draws; with its interval where there are
    two or more."""


@dataclass(frozen=True)
class RateBar:
    """Rated and net rate of a station of the line, reams per minute; from the scenario alone."""

    station: str
    rated_reams_per_min: float
    """Infinite for a station that sets no pace."""
    net_reams_per_min: float
    value: str
    mark: str
    """Said of the station that is slowest; empty for others."""


def as_one_run(record: Record) -> Replicated:
    """A single run in the shape of many: its figures have no interval."""
    runs = (figures_of(record),)
    return Replicated(record.scenario, record.seed, 1, LEVEL, runs)


def glance(result: Replicated) -> Glance:
    """The row of a line, from one run or from many."""
    figures: list[GlanceFigure] = []
    for name in _ROW:
        label, meaning = words.MEASURES[name]
        if name == "performance":
            meaning += f". {words.how_judged(result)}"
        if name == "oee":
            label = "effectiveness (OEE)"
        # The first alone in two parts: so the row stays a row.
        said = words.percent(result.measure(name)) if figures else words.measure(result, name)
        figures.append(GlanceFigure(label, said, meaning))
    figures += _energy(result)
    by_net = station_name(result.scenario, result.constraint_by_net_rate().station)
    by_pattern = station_name(result.scenario, result.constraint_by_pattern())
    holds = by_net if by_net == by_pattern else f"{by_pattern}, or {by_net}"
    return Glance(tuple(figures), _basis(result), holds, words.constraint_sentence(result))


def _energy(result: Replicated) -> list[GlanceFigure]:
    """Energy for the reams made; nothing where no station has its power given."""
    stations = stations_with_energy(result)
    if not stations:
        return []
    found = energy_use(result, stations).per_1000_reams
    said = "–" if found is None else found.together.text()
    count = counted(len(stations), "station whose power is given", "stations whose power is given")
    return [GlanceFigure(KWH_PER_1000, said, f"drawn by {count}, standing, too")]


def _basis(result: Replicated) -> str:
    run, count = result.runs[0], len(result.runs)
    hours = f"{plain_hours(run.hours)} h"
    if count < 2:
        what = "shift" if run.hours == result.scenario.line.shift_hours else "run"
        return f"this {what} of {hours}: one run, no interval"
    ends = f"± half width of the {100 * result.level:.0f} % interval"
    if result.crossed:
        ends = f"± chance ± what is not known, {100 * result.level:.0f} % each; one ±: both"
    return f"mean of {count} runs of {hours} {ends}"


def key_figures(result: Replicated, before: Replicated | None = None) -> tuple[GlanceFigure, ...]:
    """Good reams of a run, effectiveness, and what holds the line.

    Each with its change against a line ``before``, run by run with the same random numbers; of
    single runs that of the one run, which has no interval. Runs of both are of plants that agree
    with what is known, or of neither: see ``Replicated.crossed``.
    """
    hours, row = result.runs[0].hours, glance(result)
    effective = next(each for each in row.figures if each.name == "effectiveness (OEE)")
    good = result.over_runs(_good_reams, "reams")
    rate = row.figures[0]
    in_time = f"good reams in {hours:,.4g} h"
    found = (
        GlanceFigure(in_time, good.text(), f"{rate.value} an hour: {rate.meaning}"),
        effective,
        GlanceFigure("holds the line", row.holds, row.holds_because),
    )
    if before is None:
        return found
    was = glance(before).holds
    held = "as before" if was == row.holds else f"before: {was}"
    changes = (_change(result, before, _good_reams), _change(result, before, _points, " points"))
    return (
        *(
            replace(each, change=change, change_meaning=meaning)
            for each, (change, meaning) in zip(found, changes, strict=False)
        ),
        replace(found[-1], change=held),
    )


def _change(
    result: Replicated, before: Replicated, pick: Callable[[Outcome], float], unit: str = ""
) -> tuple[str, str]:
    """A change in a few words, and what it rests on."""
    both = min(len(result.runs), len(before.runs))
    now, was = (each.runs[:both] for each in (result, before))
    apart = [pick(a) - pick(b) for a, b in zip(now, was, strict=True)]
    if both < 2:
        sign = "−" if apart[0] < 0 else "+"
        by = abs(apart[0])
        # Reams of one run are counted, not known to some digits.
        text = f"{by:,.0f}" if by == round(by) else rough(by, 2)
        said = f"{sign}{text}{unit}" if by else "no change"
        return f"{said} (one run)", "One run on the same random numbers: it has no interval."
    pairs = f"{both} pairs of runs with the same random numbers"
    if not any(apart):
        return "no change", f"The same in each of {pairs}."
    found = between(now, was, pick, result.level)
    if found.shown:
        return f"{plus(found)}{unit}", f"{pairs}."
    more = "" if found.more_runs is None else f" About {found.more_runs:,} more would tell."
    return "no change shown", f"{plus(found)}{unit}, {pairs}.{more}"


def _good_reams(run: Outcome) -> float:
    return run.measures["good_reams_per_hour"] * run.hours


def _points(run: Outcome) -> float:
    return 100 * run.measures["oee"]


def loss_staircase(result: Replicated) -> tuple[LossStep, ...]:
    """From planned time down to good output, on the line's terms; see ``line_effectiveness``."""
    hours = result.over_table(lambda run: run.losses_h[LINE], "h")
    planned = hours["planned busy time"]
    steps = [_step(result, "planned busy time", planned.mean, 0.0, planned, whole=True)]
    level = planned.mean
    for name, value in hours.items():
        if name in ("counted time", "planned stops", "planned busy time", "good output"):
            continue
        steps.append(_step(result, name, level, level - value.mean, value, whole=False))
        level -= value.mean
    good = hours["good output"]
    steps.append(_step(result, "good output", good.mean, 0.0, good, whole=True))
    return tuple(steps)


def _step(
    result: Replicated, name: str, top: float, bottom: float, value: Interval, *, whole: bool
) -> LossStep:
    texts = f"{words.hours(value)} h", words.percent(words.share_of_planned(result, name))
    if value.mean < 0 and value.contains(0):
        # No loss is below nothing: chance alone, such as what the line held when the count began.
        texts = _about_0(texts[0]), _about_0(texts[1])
    return LossStep(name, top, bottom, value.half_width, value.both, whole, *texts)


def _about_0(text: str) -> str:
    """A figure with its interval, without a value that would read as less than nothing."""
    _, sign, rest = text.partition(" ± ")
    return f"about 0 ± {rest}" if sign else text


def loss_changes(result: Replicated, before: Replicated) -> tuple[LossChange, ...]:
    """The staircase of the line before, each step with its paired difference, as in ``result``.

    Runs are paired by number, as far as both have runs. A step that only the line before had is
    left out: the wholes tell of it.
    """
    was = {step.name: step for step in loss_staircase(before)}
    both = min(len(result.runs), len(before.runs))
    changes = []
    for step in loss_staircase(result):
        old = was.get(step.name)
        if old is None:
            continue
        deltas = [
            run.losses_h[LINE].get(step.name, 0.0) - other.losses_h[LINE].get(step.name, 0.0)
            for run, other in zip(result.runs[:both], before.runs[:both], strict=True)
        ]
        text = words.hours(result.estimate(deltas, "h"))
        sign = "" if text.startswith(("−", "-")) or text == "0" else "+"
        value = f"{sign}{text} h".replace("-", "−")
        changes.append(LossChange(step.name, old.top_h, old.bottom_h, value))
    return tuple(changes)


def rate_bars(scenario: Scenario) -> tuple[RateBar, ...]:
    """Rated and net rate of each station of the line, in the order of the paper."""
    slow, slowest = slowest_net(scenario), reference(scenario)
    bars = []
    for rate in line_rates(scenario):
        name = station_name(scenario, rate.station)
        marks = ["lowest net rate"] if rate.station == slow.station else []
        if rate.station == slowest.station:
            marks.append("lowest rated speed")
        value = "sets no pace"
        if math.isfinite(rate.rated):
            value = f"rated {rough(rate.rated)}, net {rough(rate.net)} reams/min"
        bars.append(RateBar(name, rate.rated, rate.net, value, " and ".join(marks)))
    return tuple(bars)
