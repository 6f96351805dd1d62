"""What a line will have made by a moment to come, from the state in which it is now."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import cast

import numpy as np

from linesim.line.state_of import not_told
from linesim.scenario import LineState, Scenario
from linesim.scenario.contradictions_of_state import order_in_hand
from linesim.scenario.shifts import manned_ns, shift_starts
from linesim.scenario.state_tables import calendar_ns
from linesim.scenario.units import HOUR
from linesim.statistics import Proportion, Quantile, counted, exact_proportion, quantile_of
from linesim.studies.ahead import Ahead
from linesim.studies.differences import is_crossed, share_not_known
from linesim.studies.runner import Runner

LONGEST_H = 1000.0
_MOST_STEPS = 200
_YEAR_H = 8766


@dataclass(frozen=True)
class FanPoint:
    """Good reams that are made by a moment, those made before included."""

    hours: float
    """After the moment of the state."""
    reams: tuple[Quantile, ...]


@dataclass(frozen=True)
class TargetAhead:
    """How likely so many good reams are made in time, those made before included."""

    reams: int
    chance: Proportion


@dataclass(frozen=True)
class OrderAhead:
    """An order that is not done yet. Hours after the moment of the state."""

    name: str
    reams: int
    done_h: tuple[Quantile, ...]
    due_h: float | None
    in_time: Proportion | None
    """None where no due time is given, or the runs end before it."""
    by_then: Proportion
    """Chance that it is done by the end of what is asked for."""


@dataclass(frozen=True)
class NextAhead:
    """A reel or a roll that is used up: when, and how likely before the end."""

    what: str
    at_h: tuple[Quantile, ...]
    chance: Proportion


@dataclass(frozen=True)
class Forecast:
    """Everything. ``shares`` are those of all quantiles: least, half, most."""

    state: LineState
    until: dt.datetime
    hours: float
    shares: tuple[float, float, float]
    reams: tuple[Quantile, ...]
    fan: tuple[FanPoint, ...]
    targets: tuple[TargetAhead, ...]
    orders: tuple[OrderAhead, ...]
    next: tuple[NextAhead, ...]
    """In the order in which half of the runs come to them."""
    not_told: tuple[str, ...]
    runs: int
    level: float
    crossed: bool
    not_known: float | None
    """Of the variance of the reams, the share of what is not known of the line."""
    nobody_h: float
    """Hours from the moment of the state until somebody is on shift; 0: at the moment."""

    @property
    def band(self) -> float:
        """Share of what may come that lies between the outer quantiles."""
        return self.shares[-1] - self.shares[0]


def read_until(text: str, moment: dt.datetime) -> dt.datetime:
    """``22:00`` (the next), ``2026-03-03 06:00`` or ``+6h`` after the moment.

    Raises ``ValueError``, in words, for anything else, or a time that is not after the moment.
    """
    text = text.strip()
    hours = re.fullmatch(r"\+\s*(\d+(?:\.\d+)?)\s*h?", text)
    try:
        if hours is not None:
            until = moment + dt.timedelta(hours=min(float(hours[1]), 1e6))
        elif re.fullmatch(r"\d{1,2}:\d{2}", text):
            until = dt.datetime.combine(moment.date(), dt.time.fromisoformat(text.zfill(5)))
            if until <= moment:
                until += dt.timedelta(days=1)
        else:
            until = dt.datetime.fromisoformat(text)
            if until.tzinfo is not None:
                raise ValueError
    except (ValueError, OverflowError):
        raise ValueError(
            f"{text!r} is no time: 22:00, 2026-03-03 06:00 or +6h after the moment of the state"
        ) from None
    ahead = (until - moment).total_seconds() / 3600
    if ahead <= 0:
        raise ValueError(f"{text} is not after the moment of the state, {moment:%Y-%m-%d %H:%M}")
    if ahead > LONGEST_H:
        raise ValueError(f"{text} is more than {LONGEST_H:,.0f} h after the moment of the state")
    return until


def forecast(
    scenario: Scenario,
    runner: Runner,
    state: LineState,
    until: dt.datetime,
    *,
    band: float = 0.8,
    step_min: float = 15.0,
    targets: Sequence[int] = (),
) -> Forecast:
    """Run the line from the state to ``until``, and say what is made by then as a band.

    The ``band`` (0 to 1) is where the one stretch of time to come ends in that share of all runs:
    it is of single runs, not of their mean. ``step_min`` is the time from one point of the fan to
    the next.
    """
    hours = (until - state.at).total_seconds() / 3600
    runner.settings = replace(runner.settings, hours=hours)
    steps = _steps(hours, step_min)
    found = runner.outcomes(
        {"": scenario},
        buckets=steps,
        last=True,
        state=state.model_dump_json(exclude_defaults=True),
    )
    runs = [cast(Ahead, run) for run in found[""]]
    level, crossed = runner.settings.level, is_crossed(runs)
    tail = (1 - band) / 2
    shares = (tail, 0.5, 1 - tail)
    over = _Over(shares, level, crossed)

    made = [state.reams_made + run.good_reams for run in runs]
    so_far = state.reams_made + np.cumsum([run.buckets for run in runs], axis=1)
    fan = [FanPoint(0.0, over.quantiles([float(state.reams_made)] * len(runs)))]
    fan += [
        FanPoint(hours * (step + 1) / steps, over.quantiles(so_far[:, step].tolist()))
        for step in range(steps)
    ]
    return Forecast(
        state=state,
        until=until,
        hours=hours,
        shares=shares,
        reams=over.quantiles(made),
        fan=tuple(fan),
        targets=tuple(TargetAhead(t, over.chance([reams >= t for reams in made])) for t in targets),
        orders=tuple(_orders(scenario, state, runs, hours, over)),
        next=tuple(_next(runs, over)),
        not_told=_not_told(state, scenario),
        runs=len(runs),
        level=level,
        crossed=crossed,
        not_known=share_not_known(runs, [float(each) for each in made]),
        nobody_h=_nobody_h(scenario, state),
    )


def _nobody_h(scenario: Scenario, state: LineState) -> float:
    """Hours until the shift in which somebody is there; infinite where none comes in a year."""
    now = calendar_ns(state, scenario.calendar.start)
    if manned_ns(scenario, now, now + 1):
        return 0.0
    year = round(_YEAR_H * HOUR)
    starts = (start for start in shift_starts(scenario, now + year) if start > now)
    return (next(starts, math.inf) - now) / HOUR


def _steps(hours: float, step_min: float) -> int:
    """Equal parts of whole minutes, no longer than asked for, where there are such."""
    minutes = round(hours * 60)
    if abs(minutes - hours * 60) < 1e-9:
        for length in range(int(step_min), 0, -1):
            if minutes % length == 0 and minutes // length <= _MOST_STEPS:
                return minutes // length
    return min(_MOST_STEPS, max(1, math.ceil(hours * 60 / step_min)))


@dataclass(frozen=True)
class _Over:
    """What runs say of one figure of each."""

    shares: tuple[float, ...]
    level: float
    crossed: bool

    def quantiles(self, values: Sequence[float | None]) -> tuple[Quantile, ...]:
        return tuple(
            quantile_of(values, share, self.level, crossed=self.crossed) for share in self.shares
        )

    def chance(self, hits: Sequence[bool]) -> Proportion:
        return exact_proportion(sum(hits), len(hits), self.level, crossed=self.crossed)


def _orders(
    scenario: Scenario, state: LineState, runs: Sequence[Ahead], hours: float, over: _Over
) -> Iterator[OrderAhead]:
    start_h = calendar_ns(state, scenario.calendar.start) / HOUR
    for place, order in enumerate(scenario.order):
        if place < order_in_hand(state, scenario):
            continue
        ends = [run.orders[place].wrapped_ns for run in runs]
        done = [None if end is None else end / HOUR - start_h for end in ends]
        due = scenario.due_h(order)
        due = None if due is None else due - start_h
        in_time = None
        if due is not None and (due <= hours or None not in done):
            in_time = over.chance([at is not None and at <= due for at in done])
        by_then = over.chance([at is not None for at in done])
        yield OrderAhead(order.name, order.reams, over.quantiles(done), due, in_time, by_then)


def _next(runs: Sequence[Ahead], over: _Over) -> list[NextAhead]:
    """Reels and rolls that are used up within the runs, in at least one of them."""
    when: dict[str, list[float | None]] = {}
    for web in range(len(runs[0].reel_h)):
        when[f"reel of web {web + 1}"] = [run.reel_h[web] for run in runs]
    for wrapper in runs[0].roll_h:
        when[f"roll of {wrapper}"] = [run.roll_h[wrapper] for run in runs]
    found = [
        NextAhead(what, over.quantiles(at), over.chance([each is not None for each in at]))
        for what, at in when.items()
        if any(each is not None for each in at)
    ]
    return sorted(found, key=_how_soon)


def _how_soon(each: NextAhead) -> float:
    half = each.at_h[1].value
    return LONGEST_H * (2 - each.chance.value) if half is None else half


def _not_told(state: LineState, scenario: Scenario) -> tuple[str, ...]:
    """What a state leaves to chance, in words; what it may leave out because it is so is not."""
    found = [_WORDS[name] for name in not_told(state, scenario)]
    reels = {r.web for r in state.reel if r.left_m is not None or r.diameter_mm is not None}
    webs = [str(web + 1) for web in range(scenario.unwind.webs) if web + 1 not in reels]
    if webs:
        found.append(f"how much is left on the reel of web {', '.join(webs)}")
    rolls = {roll.wrapper for roll in state.roll}
    found += [
        f"how much is left on the roll of {wrapper.name}"
        for wrapper in scenario.wrapper
        if wrapper.roll_length_m is not None and wrapper.name not in rolls
    ]
    if scenario.unwind.spare_stands is not None:
        found.append("whether the spare stands are prepared (taken to be)")
    if scenario.reel_truck is not None:
        found.append("which reels are on their way or beside the line (taken to be none)")
    worn = {wear.cause for wear in state.wear}
    unknown = [stop.cause for stop in scenario.stop if stop.cause not in worn]
    if unknown:
        found.append(f"when {counted(len(set(unknown)), 'stop cause')} last happened")
    if scenario.order and state.order is None:
        found.append("which order is in hand (taken to be the first, not begun)")
    if scenario.calendar.starts is None and state.into_shift_h is None:
        found.append("how far the shift is (taken to begin at the moment)")
    return tuple(found)


_WORDS = {
    "bridge.reams": "reams on the bridge",
    "reel.partner_ready": "whether the next reels are ready",
    "behind.reams_at_outfeed": "reams before the outfeed",
    "behind.reams_at_packer": "reams before the carton packer",
    "behind.cartons_at_palletiser": "cartons before the palletiser",
    "behind.cartons_on_pallet": "cartons on the pallet",
    "behind.full_pallets": "full pallets that wait",
}
