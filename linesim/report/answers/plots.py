"""The charts of an answer, drawn by matplotlib: in reports and files, and for who writes Python.

One drawing for all of them. Sizes of type are those of the figure that the axes belong to
(:mod:`linesim.report.picture_style` for a report), colours those of a report.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Sequence
from typing import Any

from linesim.interactive import axes_or_new
from linesim.report.answers.cells import Column, Figure, cell_text
from linesim.report.answers.charts import (
    Bars,
    Chart,
    Curve,
    Map,
    Scatter,
    Tornado,
    bar_text,
    outside_band,
    spans_much,
)
from linesim.report.answers.dates import date_ticks
from linesim.report.colours import LIGHT

MOST_BARS = 30
"""More of them nobody reads; a table has all."""
_LABEL, _LINES = 20, 3
"""Letters in a line of a bar's label, and lines."""
_ROW = 51
"""Letters of a row: its label, the plane, and what is said beside it."""
_BESIDE = 17
"""Letters of a figure with the ends of its interval that stand in one line, as with ± they do."""
_HEADING = 46
_ACROSS = 38
"""Letters beside each other along an axis."""
_ONE_LINE = 26
"""Of what is said of the best."""
_DATE = 11
"""Letters that a date takes along an axis."""
_SMALL = "small"


def plot_chart(chart: Chart, axes: Any = None) -> Any:
    """Draw the chart on ``axes``, or on those of a new figure, and give these back."""
    from matplotlib import rc_context

    axes = axes_or_new(axes)
    # Whatever a user calls a thing is a name, not a formula.
    with rc_context({"text.parse_math": False}):
        draw_chart(chart, axes)
        axes.set_title(chart.title, pad=18)
        if axes.get_legend_handles_labels()[0]:
            axes.legend()
    return axes


def draw_chart(chart: Chart, axes: Any) -> None:
    """Draw the chart on ``axes``, without its title."""
    kinds = {Curve: _curve, Bars: _bars, Map: _map, Scatter: _scatter, Tornado: _tornado}
    draw: Any = kinds[type(chart)]
    draw(chart, axes)


def _curve(chart: Curve, axes: Any) -> None:
    run = [(point.x, point.figure) for point in chart.points if point.figure is not None]
    if not run:
        _nothing(axes, "no point could be run")
        return
    xs, figures = [x for x, _ in run], [figure for _, figure in run]
    theory = [(point.x, point.theory) for point in chart.points if point.theory is not None]
    means = [figure.mean for figure in figures]
    ends = [end for figure in figures for end in (*figure.inner, *figure.outer)]
    values = [*means, *filter(math.isfinite, ends), *(y for _, y in theory)]
    marked = [] if chart.present is None else [chart.present]
    units = (
        number_axis(axes, "x", chart.x, [*(point.x for point in chart.points), *marked]),
        number_axis(axes, "y", chart.y, [*values, *([0.0] if chart.gain else [])], above=0.16),
    )
    axes.grid(axis="y")
    low, high = axes.get_ylim()
    inner = [_within(figure.inner, low, high) for figure in figures]
    label = f"{chart.of}, with intervals"
    if len(run) > 1:
        bottoms, tops = zip(*inner, strict=True)
        axes.fill_between(xs, bottoms, tops, color=LIGHT["band"], linewidth=0)
    else:
        # One point has no area.
        axes.plot([xs[0]] * 2, inner[0], color=LIGHT["band"], linewidth=6, solid_capstyle="butt")
    if any(figure.doubt for figure in figures):
        outer = [_within(figure.outer, low, high) for figure in figures]
        for n, edge in enumerate(zip(*outer, strict=True)):
            said = {} if n else {"label": "with what is not known"}
            axes.plot(xs, edge, "--", color=LIGHT["quiet"], linewidth=0.8, **said)
    if chart.gain:
        _zero_line(axes, chart.gain)
    _stretches(axes, chart)
    if theory:
        style = {"color": LIGHT["down"], "linewidth": 1.2, "label": chart.theory_name}
        axes.plot(*zip(*theory, strict=True), "--", **style)
    stays = bool(chart.gain) and chart.best is not None and chart.best == chart.present
    if chart.present is not None:
        axes.axvline(chart.present, color=LIGHT["blocked"], linewidth=1.2)
    if chart.present is not None and not stays:
        _beside_line(axes, chart.present, "now")
    markers = {"marker": "o", "markersize": 4, "markeredgewidth": 0}
    axes.plot(xs, means, color=LIGHT["accent"], linewidth=1.6, label=label, **markers)
    if chart.best is not None and chart.best in xs:
        name = f"now, {chart.best_name}" if stays else chart.best_name
        colour = LIGHT["accent" if chart.best_shown else "quiet"]
        _best(axes, name, chart.best, figures[xs.index(chart.best)], units, colour)


def _zero_line(axes: Any, words: str) -> None:
    """What gains are counted from."""
    axes.axhline(0, color=LIGHT["quiet"], linewidth=1.0)
    _note(axes, words, (1, 0), (0, -2), ("axes fraction", "data"), ha="right", va="top")


def _beside_line(axes: Any, x: float, words: str) -> None:
    """Words beside an upright line, at its top."""
    right = _part(axes, x) > 0.5
    place = {"ha": "right" if right else "left", "va": "top"}
    _note(axes, words, (x, 1), (-3 if right else 3, 0), ("data", "axes fraction"), **place)


def _stretches(axes: Any, chart: Curve) -> None:
    """Parts of the plane shaded, the words for them at the foot of the widest.

    That of a single point is as wide as the point.
    """
    from_plane = axes.transAxes + axes.transData.inverted()
    parts = []
    for start, end in chart.pays:
        left, right = _part(axes, start), _part(axes, end)
        left, right = min(left, right - 0.03), max(right, left + 0.03)
        parts.append((right - left, (left + right) / 2))
        (start, _), (end, _) = from_plane.transform([(left, 0), (right, 0)])
        axes.axvspan(start, end, facecolor=LIGHT["planned"], edgecolor="none", zorder=0)
    if parts:
        # Words of so many letters reach no further than the plane.
        half = 0.5 * len(chart.pays_name) / _ACROSS
        middle = min(max(max(parts)[1], half), 1 - half)
        where = "axes fraction"
        _note(axes, chart.pays_name, (middle, 0), (0, 3), where, ha="center", va="bottom")


def _best(
    axes: Any, name: str, x: float, figure: Figure, units: tuple[float, float], colour: str
) -> None:
    """A ring round the best, and what it is, in the units of both axes."""
    look = {"marker": "o", "markersize": 8, "markeredgewidth": 1.6, "linestyle": "none"}
    colours = {"markerfacecolor": LIGHT["card"], "markeredgecolor": colour}
    axes.plot([x], [figure.mean], **look, **colours, zorder=3)
    (across, up), part = units, _part(axes, x)
    align = "left" if part < 0.3 else "right" if part > 0.7 else "center"
    shown = Figure(figure.mean / up, figure.half_width / up, figure.shown, figure.doubt / up)
    at = x / across
    words = f"{name}, {_number(round(at) if abs(at) >= 1000 else at)}"
    if figure.mean or figure.half_width:
        words += f": {cell_text(shown)}"
    if len(words) > _ONE_LINE:
        words = words.replace(": ", ":\n")
    place = {"ha": align, "va": "bottom", "weight": "bold"}
    look = {"color": colour, "fontsize": "medium"}
    _note(axes, words, (x, figure.mean), (0, 8), "data", **place, **look)


def _part(axes: Any, x: float) -> float:
    """Which part of the plane lies to the left of ``x``."""
    at = axes.transData.transform((x, axes.get_ylim()[0]))
    return float(axes.transAxes.inverted().transform(at)[0])


def _note(
    axes: Any, words: str, at: tuple[float, float], off: tuple[float, float], by: Any, **look: Any
) -> None:
    """Words within the plane, so many points off a place; the plane does not make room for them."""
    look = {"color": LIGHT["quiet"], "fontsize": _SMALL} | look
    note = axes.annotate(words, at, off, xycoords=by, textcoords="offset points", **look)
    note.set_in_layout(False)


def _bars(chart: Bars, axes: Any) -> None:
    bars = chart.bars[:MOST_BARS]
    figures = [bar.figure for bar in bars if bar.figure is not None]
    values = [end for figure in figures for end in (figure.mean, *figure.outer)]
    values += [bar.theory for bar in bars if bar.theory is not None]
    if not values or not chart.bands:
        values.append(0.0)
    number_axis(axes, "x", chart.y, values, room=row_room(chart_rows(chart)))
    axes.grid(axis="x")
    axes.spines[["left", "bottom"]].set_visible(False)
    low, high = axes.get_xlim()
    if chart.starts is not None:
        letters = row_room(chart_rows(chart))[0]
        ticks = date_ticks(chart.starts, low, high, max(2, letters // _DATE))
        axes.set_xticks([at for at, _ in ticks], [words for _, words in ticks])
        axes.set_xlabel(chart.y.name)
    if not chart.bands:
        axes.axvline(0, color=LIGHT["quiet"], linewidth=0.8)
    for n, bar in enumerate(bars):
        if bar.figure is not None:
            _bar(chart, bar.figure, n, (low, high), axes)
        if bar.theory is not None:
            said = {"label": chart.theory_name or "closed form"} if n == 0 else {}
            as_it_should = chart.bands and not outside_band(chart, bar)
            colour = LIGHT["ink" if as_it_should else "down"]
            axes.plot([bar.theory] * 2, [n - 0.4, n + 0.4], color=colour, lw=1.6, **said)
    label_rows(axes, [(bar.label, bar_text(chart, bar), False) for bar in bars])


def chart_rows(chart: Bars | Tornado) -> list[tuple[str, str]]:
    """The name of each row and what is said beside it, in the lines in which they stand."""
    if isinstance(chart, Bars):
        rows = [(bar.label, bar_text(chart, bar)) for bar in chart.bars[:MOST_BARS]]
    else:
        rows = [(bar.label, bar.ends) for bar in chart.bars[:MOST_BARS]]
    return [(wrapped(name), _beside(text)) for name, text in rows]


def row_room(rows: Sequence[tuple[str, str]]) -> tuple[int, int]:
    """Letters along the axis between names and texts, and of what the axis is, also below texts."""
    name, text = (
        max((len(line) for row in rows for line in row[n].split("\n")), default=0) for n in (0, 1)
    )
    return max(8, _ROW - name - text), max(20, _ROW - name)


def _beside(text: str) -> str:
    """What stands beside a bar: a long interval or what is held against it has a line of its own.

    One such row makes all rows as high, and many of them a picture that is shrunk to fit its page.
    """
    text = text.replace(", ", ",\n")
    return text if len(text) <= _BESIDE else text.replace(" (", "\n(")


def _tornado(chart: Tornado, axes: Any) -> None:
    bars = chart.bars[:MOST_BARS]
    ends = [end for bar in bars for end in (bar.at_low, bar.at_high)]
    values = [*ends, chart.now]
    number_axis(axes, "x", chart.y, values, room=row_room(chart_rows(chart)), may_be_log=False)
    axes.grid(axis="x")
    axes.spines[["left", "bottom"]].set_visible(False)
    low, high = axes.get_xlim()
    if low < 0 < high:
        axes.axvline(0, color=LIGHT["down"], linewidth=1.2)
    for n, bar in enumerate(bars):
        left, right = sorted((bar.at_low, bar.at_high))
        look = {"facecolor": LIGHT["band"], "edgecolor": LIGHT["accent"], "linewidth": 0.8}
        if bar.assumed:
            look = {"facecolor": LIGHT["card"], "edgecolor": LIGHT["accent"], "hatch": "//"}
        axes.barh(n, right - left, left=left, height=0.56, **look)
    axes.axvline(chart.now, color=LIGHT["ink"], linewidth=1.0)
    label_rows(axes, [(bar.label, bar.ends, False) for bar in bars])


def key_below(axes: Any, columns: int = 1) -> None:
    """What each mark is, below the plane and in room of its own."""
    look = {"ncols": columns, "labelcolor": LIGHT["quiet"]}
    axes.figure.legend(*axes.get_legend_handles_labels(), loc="outside lower left", **look)


def label_rows(axes: Any, rows: Sequence[tuple[str, str, bool]], letters: int = _LABEL) -> None:
    """Rows from the top down: a name on the left, a text on the right, both bold or neither."""
    names = [wrapped(name, letters) for name, _, _ in rows]
    axes.set_yticks(range(len(rows)), names, color=LIGHT["ink"])
    beside = axes.get_yaxis_transform()
    for n, (label, (_, text, bold)) in enumerate(zip(axes.get_yticklabels(), rows, strict=True)):
        weight = "bold" if bold else "normal"
        label.set_weight(weight)
        axes.text(1.03, n, _beside(text), transform=beside, va="center_baseline", weight=weight)
    axes.set_ylim(max(len(rows), 1) - 0.4, -0.6)


def _bar(chart: Bars, figure: Figure, n: int, ends: tuple[float, float], axes: Any) -> None:
    """A bar with its interval, hollow where nothing is shown, or a band alone."""
    thick = 5.0
    if not chart.bands:
        look: dict[str, Any] = {"facecolor": LIGHT["band"], "edgecolor": LIGHT["accent"]}
        if not figure.shown:
            look = {"facecolor": LIGHT["card"], "edgecolor": LIGHT["quiet"], "hatch": "//"}
        axes.barh(n, figure.mean, height=0.56, linewidth=0.8, **look)
        thick = 2.6 if figure.doubt else 1.4
    if chart.plain:
        return
    colour = LIGHT["accent" if chart.bands else "ink"]
    strokes = [(figure.inner, thick)] + [(figure.outer, 0.9)] * bool(figure.doubt)
    for stroke, width in strokes:
        across = _within(stroke, *ends)
        axes.plot(across, [n, n], color=colour, linewidth=width, solid_capstyle="butt")


def _map(chart: Map, axes: Any) -> None:
    known = [cell.mean for row in chart.rows for cell in row if cell is not None]
    low, high = (min(known), max(known)) if known else (0.0, 1.0)
    rows, columns = len(chart.down_values), len(chart.across_values)
    for i, down in enumerate(chart.down_values):
        for j, across in enumerate(chart.across_values):
            figure, marks = chart.rows[i][j], chart.marks((down, across))
            if figure is None:
                axes.text(j, i, "–", ha="center", va="center", color=LIGHT["quiet"])
                continue
            part = (figure.mean - low) / (high - low) if high > low else 1.0
            size = 3 + 13 * part
            look = {"marker": "o", "markersize": size, "color": LIGHT["accent"]}
            rim = {"markeredgecolor": LIGHT["blocked"], "markeredgewidth": 2.0 if marks else 0.0}
            axes.plot([j], [i], **look, **rim)
            if marks:
                _note(axes, marks, (j, i), (0, -size / 2 - 2), "data", ha="center", va="top")
    most = max((len(_number(value)) for value in chart.across_values), default=1)
    every = math.ceil(columns * (most + 1) / _ACROSS) or 1
    shown = range(0, columns, every)
    axes.set_xticks(shown, [_number(chart.across_values[n]) for n in shown], color=LIGHT["ink"])
    axes.set_yticks(range(rows), [_number(v) for v in chart.down_values], color=LIGHT["ink"])
    axes.set_xlim(-0.5, columns - 0.5)
    axes.set_ylim(rows - 0.5, -0.5)
    axes.grid(True)
    _name(axes, "x", f"across: {chart.across.heading}", _ACROSS)
    _name(axes, "y", f"down: {chart.down.heading}", _ACROSS)


def _scatter(chart: Scatter, axes: Any) -> None:
    low_x, high_x, low_y, high_y = chart.ends
    number_axis(axes, "x", chart.x, (low_x, high_x), may_be_log=False)
    number_axis(axes, "y", chart.y, (low_y, high_y), may_be_log=False)
    if chart.x_ticks:
        axes.set_xticks([tick.at for tick in chart.x_ticks], [tick.text for tick in chart.x_ticks])
    if chart.y_ticks:
        axes.set_yticks([tick.at for tick in chart.y_ticks], [tick.text for tick in chart.y_ticks])
    axes.grid(True)
    line, dot = {"linestyle": "-"}, {"linestyle": "none", "marker": "o", "color": LIGHT["ink"]}
    hollow = {"markerfacecolor": LIGHT["card"], "markeredgewidth": 1.2, "markersize": 6}
    styles: dict[str, dict[str, Any]] = {
        "points": {**dot, "markersize": 3.2, "markeredgewidth": 0},
        "cut_off": {**dot, **hollow},
        "line": {**line, "color": LIGHT["accent"], "linewidth": 1.6},
        "thin": {**line, "color": LIGHT["down"], "linewidth": 1.0},
    }
    drawn = {
        "points": chart.points,
        "cut_off": chart.cut_off,
        "line": chart.line,
        "band": chart.band,
        "thin": chart.thin,
    }
    # From the back to the front.
    for kind, words in sorted(chart.key, key=lambda each: each[0] not in ("band", "thin")):
        xs, ys = zip(*drawn[kind], strict=True)
        said = textwrap.fill(words, _HEADING - 4)
        if kind == "band":
            axes.fill(xs, ys, facecolor=LIGHT["band"], edgecolor="none", label=said)
        else:
            axes.plot(xs, ys, label=said, **styles[kind])


def number_axis(
    axes: Any,
    way: str,
    column: Column,
    values: Iterable[float],
    *,
    above: float = 0.05,
    may_be_log: bool = True,
    room: tuple[int, int] | None = None,
) -> float:
    """Ends with a little room beyond the values, round numbers between, and what it is.

    Along x an axis of values that span much is logarithmic. Millions, or millionths, are counted
    as such: gives what the numbers are divided by. ``room`` is that of :func:`row_room` where the
    plane stands between words.
    """
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

    found = sorted(value for value in values if math.isfinite(value))
    low, high = (found[0], found[-1]) if found else (0.0, 1.0)
    log = way == "x" and may_be_log and spans_much((low, high))
    set_ends = axes.set_xlim if way == "x" else axes.set_ylim
    if log:
        axes.set_xscale("log")
        beyond = (high / low) ** 0.03
        set_ends(low / beyond, high * beyond)
    else:
        reach = (high - low) or abs(high) * 0.1 or 1.0
        set_ends(low - 0.05 * reach, high + (0.05 if way == "x" else above) * reach)
    most = max(abs(low), abs(high))
    unit, counted = (1e6, " (millions)") if most >= 1e6 else (1.0, "")
    if 0 < most < 1e-3:
        unit, counted = 1e-6, " (millionths)"
    low, high = axes.get_xlim() if way == "x" else axes.get_ylim()
    marks = _powers(low, high) if log else _round(low, high)
    axis = axes.xaxis if way == "x" else axes.yaxis
    letters, heading = room or (_ACROSS, _ACROSS)
    if way == "x":
        longest = max(len(_number(mark / unit)) for mark in marks)
        marks = _fitting(marks, letters // (longest + 2))
    axis.set_major_locator(FixedLocator(marks))
    axis.set_minor_locator(NullLocator())
    axis.set_major_formatter(FuncFormatter(lambda value, _: _number(value / unit)))
    _name(axes, way, column.heading + counted, heading)
    if room:
        # Beside names there is room to the right alone.
        axis.label.set(x=0, ha="left")
    return unit


def _round(low: float, high: float) -> list[float]:
    """Round numbers of an even axis."""
    from matplotlib.ticker import MaxNLocator

    marks = MaxNLocator(5, steps=[1, 2, 5, 10]).tick_values(low, high)
    return [float(mark) for mark in marks if low <= mark <= high]


def _powers(low: float, high: float) -> list[float]:
    """Round numbers of a logarithmic axis."""
    from matplotlib.ticker import LogLocator

    found: list[float] = []
    for factors in ((1, 2, 5), (1, 3), (1,)):
        marks = LogLocator(subs=factors, numticks=9).tick_values(low, high)
        found = [float(mark) for mark in marks if low * 0.999 <= mark <= high * 1.001]
        if len(found) <= 7:
            break
    return found if len(found) > 1 else _round(low, high)


def _fitting(marks: list[float], count: int) -> list[float]:
    """So many of the marks as have room, 0 among them; two in any case."""
    if len(marks) <= max(count, 2):
        return marks
    first = marks.index(0.0) if 0.0 in marks else 0
    if count < 3:
        return [marks[first], marks[-1] if first < len(marks) - 1 else marks[0]]
    every = math.ceil(len(marks) / count)
    return marks[first % every :: every]


def _name(axes: Any, way: str, heading: str, letters: int) -> None:
    if way == "x":
        words = textwrap.fill(heading, letters)
        axes.set_xlabel(words)
    else:
        words = textwrap.fill(heading, _HEADING)
        # Upright words take room from the plane, and the neck.
        axes.set_ylabel(words, rotation=0, ha="left", va="bottom")
        axes.yaxis.set_label_coords(0, 1.02)


def _number(value: float) -> str:
    """A round number along an axis, as numbers are written here."""
    return f"{value + 0.0:,.10g}".replace("-", "−")


def wrapped(label: str, letters: int = _LABEL) -> str:
    """A label in a few lines."""
    lines = textwrap.wrap(label, letters, max_lines=_LINES, placeholder="…") or [""]
    return "\n".join(lines)


def _within(ends: tuple[float, float], low: float, high: float) -> tuple[float, float]:
    """Ends as far as the plane reaches: of a single run an interval has none."""
    return max(ends[0], low), min(ends[1], high)


def _nothing(axes: Any, words: str) -> None:
    axes.set_axis_off()
    look = {"ha": "center", "va": "center", "color": LIGHT["quiet"]}
    axes.text(0.5, 0.5, words, transform=axes.transAxes, **look)
