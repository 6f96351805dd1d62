"""Pictures of a fitted cause: each interval as it came, and values on probability paper."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from linesim.plant.fitting import CauseFit, FittedLaw
from linesim.plant.lifetimes import FEW
from linesim.plant.probability_plot import ProbabilityPlot, probability_plot, straight_line
from linesim.report.answers.cells import Column, p_text
from linesim.report.answers.charts import Scatter, Tick
from linesim.statistics import counted

_SHARES = (0.5, 0.9, 0.1, 0.99, 0.01, 0.75, 0.25, 0.95, 0.05, 0.999, 0.001)
"""Marks of a probability axis, those first that are to be there before others."""
_APART = 1 / 14
_BEYOND = 0.06
_NEIGHBOURS = 10
_FEWEST = 3
"""One or two values lie along any law."""
_MOST_TICKS = 9


def fit_charts(fit: CauseFit, *, changes: bool = False, seed: int = 1) -> tuple[Scatter, ...]:
    """Intervals over time, intervals and times to restore on probability paper.

    *changes* says whether a trend is shown, of all causes tested together.
    """
    cause, unit = fit.matched.cause, fit.meter.unit
    each = " for each web" if fit.webs > 1 else ""
    found = [_over_time(fit, changes)]
    for name, what, law, law_unit in (
        ("intervals", f"interval{each}", fit.interval, unit),
        ("restores", "time to restore", fit.restore_min, "min"),
    ):
        if law.sample is None or law.count < _FEWEST:
            continue
        plot = probability_plot(law.sample, law.fit, seed=seed)
        title = f"{cause}: {what} on probability paper"
        found.append(_on_paper(name, title, Column(what, law_unit), law, plot))
    return tuple(found)


def trend_sentence(fit: CauseFit, changes: bool) -> str:
    """What the Laplace test says of a cause; *changes* as in :func:`fit_charts`."""
    trend = fit.trend
    if trend is None:
        return f"Fewer than {FEW} stops: no trend can be tested."
    test = f"Laplace test, u = {trend.u:.2f}".replace("-", "−") + f", {p_text(trend.p)}"
    if changes:
        more = "more" if trend.u > 0 else "less"
        return f"Stops come {more} often as time goes on ({test}): it has no one mean."
    if trend.shown:
        return (
            f"A change by itself ({test}), but none is shown when all causes are tested together."
        )
    return f"No change over time is shown ({test})."


def _over_time(fit: CauseFit, changes: bool) -> Scatter:
    sample = fit.interval.sample
    assert sample is not None
    # Intervals of all webs together, as the meter shows them.
    values = sample.above_zero / fit.webs
    ends = fit.readings[len(fit.readings) - sample.count :]
    complete, rest = values[sample.complete], values[~sample.complete]
    # Those cut off by plan come before the one cut off by the end.
    changed = 0 if sample.by_plan is None else int(sample.by_plan.sum())
    cut_at = [*fit.changed_at[len(fit.changed_at) - changed :], fit.meter.total]
    low, high = fit.interval.intervals.get("mean", (math.nan, math.nan))
    mean, low, high = (value / fit.webs for value in (fit.interval.mean, low, high))
    total = fit.meter.total
    band: tuple[tuple[float, float], ...] = ()
    if math.isfinite(low) and math.isfinite(high) and low > 0:
        corners = ((0.0, low), (total, low), (total, high), (0.0, high))
        band = tuple((x, math.log10(y)) for x, y in corners)
    together = " of all webs" if fit.webs > 1 else ""
    drawn = [*values, mean, *([low, high] if band else [])]
    near = _moving(ends, complete.tolist())
    return Scatter(
        "over-time",
        f"{fit.matched.cause}: each interval{together} as it came",
        Column("meter of the station at its end", fit.meter.unit),
        Column("interval", fit.meter.unit),
        tuple((x, math.log10(y)) for x, y in zip(ends, complete, strict=True)),
        trend_sentence(fit, changes),
        "interval between two stops",
        cut_off=tuple((x, math.log10(y)) for x, y in zip(cut_at, rest, strict=False)),
        cut_off_name=f"{'changed by plan, or ' * bool(changed)}still running when the log ended",
        line=((0.0, math.log10(mean)), (total, math.log10(mean))),
        line_name="mean",
        band=band,
        band_name=f"its {100 * fit.interval.level:.0f} % interval",
        thin=near,
        thin_name=f"mean of {_NEIGHBOURS} neighbours",
        y_ticks=log_ticks(min(drawn), max(drawn)),
        values=(
            *zip(ends, complete.tolist(), strict=True),
            *zip(cut_at, rest.tolist(), strict=False),
        ),
    )


def _moving(ends: Sequence[float], values: Sequence[float]) -> tuple[tuple[float, float], ...]:
    if len(values) < 2 * _NEIGHBOURS:
        return ()
    weights = np.full(_NEIGHBOURS, 1 / _NEIGHBOURS)
    means = np.convolve(values, weights, mode="valid")
    places = np.convolve(ends, weights, mode="valid")
    return tuple((float(x), math.log10(y)) for x, y in zip(places, means, strict=True))


def _on_paper(name: str, title: str, x: Column, law: FittedLaw, plot: ProbabilityPlot) -> Scatter:
    across: Callable[[float], float] = math.log10 if plot.logarithmic else float
    heights = plot.height(plot.shares)
    places = [across(value) for value in plot.values]
    band_at = plot.height(plot.band_shares)
    left = [(across(v), float(h)) for v, h in zip(plot.band_low, band_at, strict=True)]
    right = [(across(v), float(h)) for v, h in zip(plot.band_high, band_at, strict=True)]
    span = float(np.ptp(heights)) or 1.0
    lowest, highest = heights.min() - _BEYOND * span, heights.max() + _BEYOND * span
    slope, rest = straight_line(law.fit)
    slope *= math.log(10) if plot.logarithmic else 1.0
    if not plot.logarithmic:
        lowest = 0.0
    line = tuple((float((h - rest) / slope), float(h)) for h in (lowest, highest))
    xs = [*places, *(each for each, _ in line), *(each for each, _ in [*left, *right])]
    x_ticks = log_ticks(10 ** min(xs), 10 ** max(xs)) if plot.logarithmic else ()
    called = "Weibull" if law.fit.law == "weibull" else law.fit.law
    article = "An" if called[0] in "aeiou" else "A"
    return Scatter(
        name,
        title,
        x,
        Column("shorter than that", "%"),
        tuple((a, float(b)) for a, b in zip(places, heights, strict=True)),
        f"{article} {called} law, {counted(law.count, 'value')}: {law.goodness}.",
        "value of the log",
        line=line,
        line_name=f"{called} law",
        band=(*left, *right[::-1]),
        band_name=f"where {100 * plot.level:.0f} of 100 such values stand",
        x_ticks=x_ticks,
        y_ticks=_share_ticks(plot, float(lowest), float(highest)),
        values=tuple(
            (float(value), 100 * float(share))
            for value, share in zip(plot.values, plot.shares, strict=True)
        ),
    )


def _share_ticks(plot: ProbabilityPlot, lowest: float, highest: float) -> tuple[Tick, ...]:
    found: list[Tick] = []
    for share in _SHARES:
        at = float(plot.height(np.array([share]))[0])
        if not lowest <= at <= highest:
            continue
        if all(abs(at - other.at) >= _APART * (highest - lowest) for other in found):
            found.append(Tick(at, f"{100 * share:g}"))
    return tuple(sorted(found))


def log_ticks(low: float, high: float) -> tuple[Tick, ...]:
    """Marks at 1, 2 and 5 times powers of ten, fewer where they would stand close.

    Where hardly one lies within, round numbers.

    >>> [tick.text for tick in log_ticks(0.4, 30)]
    ['0.5', '1', '2', '5', '10', '20']
    """
    powers = range(math.floor(math.log10(low)) - 1, math.ceil(math.log10(high)) + 1)
    values: list[float] = []
    for factors in ((1, 2, 5), (1, 3), (1,)):
        values = [f * 10.0**n for n in powers for f in factors]
        values = [value for value in values if low * 0.9999 <= value <= high * 1.0001]
        if len(values) <= _MOST_TICKS:
            break
    if len(values) < 2 and high > low:
        step = 10.0 ** math.floor(math.log10((high - low) / 2))
        step *= 5 if high - low > 10 * step else 2 if high - low > 5 * step else 1
        first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
        values = [float(f"{n * step:.10g}") for n in range(first, last + 1)]
    return tuple(Tick(math.log10(value), f"{value:,.10g}") for value in values)
