"""The charts of an answer, drawn by matplotlib for whoever writes Python."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from linesim.interactive import axes_or_new
from linesim.report.answers.cells import Column, Figure
from linesim.report.answers.charts import Bars, Chart, Curve, Map, Scatter

_GREY = "0.45"
_OUTER = "with what is not known"


def plot_chart(chart: Chart, axes: Any = None) -> Any:
    """Draw the chart on ``axes``, or on those of a new figure, and give these back."""
    axes = axes_or_new(axes)
    draw: Any = {Curve: _curve, Bars: _bars, Map: _map, Scatter: _scatter}[type(chart)]
    draw(chart, axes)
    axes.set_title(chart.title)
    if axes.get_legend_handles_labels()[0]:
        axes.legend()
    return axes


def _curve(chart: Curve, axes: Any) -> None:
    run = [(point.x, point.figure) for point in chart.points if point.figure is not None]
    xs, means = [x for x, _ in run], [figure.mean for _, figure in run]
    inner, outer = _half_widths([figure for _, figure in run])
    label = f"{chart.of}, with intervals"
    axes.errorbar(xs, means, inner, fmt="o-", capsize=3, label=label)
    if outer != inner:
        axes.errorbar(xs, means, outer, fmt="none", elinewidth=0.6, ecolor=_GREY, label=_OUTER)
    theory = [(point.x, point.theory) for point in chart.points if point.theory is not None]
    if theory:
        axes.plot(*zip(*theory, strict=True), "--", color=_GREY, label=chart.theory_name)
    if chart.present is not None:
        axes.axvline(chart.present, color=_GREY, linestyle=":", label="as the line is now")
    _name(axes, chart.x, chart.y)


def _bars(chart: Bars, axes: Any) -> None:
    rows = [(n, bar.figure) for n, bar in enumerate(chart.bars) if bar.figure is not None]
    means, ys = [figure.mean for _, figure in rows], [n for n, _ in rows]
    inner, outer = _half_widths([figure for _, figure in rows])
    label = "band" if chart.bands else "mean, with interval"
    axes.errorbar(means, ys, xerr=inner, fmt="none" if chart.bands else "o", capsize=3, label=label)
    if outer != inner:
        axes.errorbar(means, ys, xerr=outer, fmt="none", elinewidth=0.6, ecolor=_GREY, label=_OUTER)
    theory = [(bar.theory, n) for n, bar in enumerate(chart.bars) if bar.theory is not None]
    if theory:
        axes.plot(*zip(*theory, strict=True), "|", color=_GREY, label=chart.theory_name)
    axes.set_yticks(range(len(chart.bars)), [bar.label for bar in chart.bars])
    axes.invert_yaxis()
    _name(axes, chart.y, chart.what)


def _map(chart: Map, axes: Any) -> None:
    means = [[math.nan if cell is None else cell.mean for cell in row] for row in chart.rows]
    image = axes.imshow(means, origin="lower", aspect="auto", cmap="Greys")
    axes.figure.colorbar(image, label=chart.y.heading)
    for i, down in enumerate(chart.down_values):
        for j, across in enumerate(chart.across_values):
            axes.text(j, i, chart.marks((down, across)), ha="center", va="center", color="C1")
    axes.set_xticks(range(len(chart.across_values)), [f"{v:g}" for v in chart.across_values])
    axes.set_yticks(range(len(chart.down_values)), [f"{v:g}" for v in chart.down_values])
    _name(axes, chart.across, chart.down)


def _scatter(chart: Scatter, axes: Any) -> None:
    styles = {
        "points": {"linestyle": "", "marker": "."},
        "cut_off": {"linestyle": "", "marker": ">", "fillstyle": "none"},
        "line": {"linestyle": "-"},
        "band": {"linestyle": ":", "color": _GREY},
        "thin": {"linestyle": "--", "color": _GREY},
    }
    for kind, words in chart.key:
        axes.plot(*zip(*getattr(chart, kind), strict=True), label=words, **styles[kind])
    if chart.x_ticks:
        axes.set_xticks([tick.at for tick in chart.x_ticks], [tick.text for tick in chart.x_ticks])
    if chart.y_ticks:
        axes.set_yticks([tick.at for tick in chart.y_ticks], [tick.text for tick in chart.y_ticks])
    _name(axes, chart.x, chart.y)


def _half_widths(figures: Sequence[Figure]) -> tuple[list[float], list[float]]:
    """Those of luck, and those of both parts."""
    # Of a single run the interval has no ends.
    inner = [each.half_width if math.isfinite(each.half_width) else 0.0 for each in figures]
    return inner, [math.hypot(w, f.doubt) for w, f in zip(inner, figures, strict=True)]


def _name(axes: Any, across: Column, up: Column) -> None:
    axes.set_xlabel(across.heading)
    axes.set_ylabel(up.heading)
