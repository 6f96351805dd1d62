"""A curve with its band, the closed form beside it, and a line where the line is now."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPen

import linesim
from gui.charts.figures import ends, spoken
from gui.charts.keys import Key
from gui.charts.pens import DASHES, DOTS, faint
from gui.charts.plot import Plot
from gui.charts.readout import Spot
from gui.charts.scales import along, upwards
from gui.charts.shapes import Box

_DOT, _RING = 6.0, 13.0
_LEAST = 0.02
_FOOT = 0.06
"""How high what pays is hatched, of the plot."""
_HIGH = 0.75
_NOW, _NOW_BELOW = 0.94, 0.4
"""How high "now" stands: above the curve, or below one that is up there, above the mark's words."""
_NONE = "No point has been run."
Run = tuple[float, linesim.report.Figure]


def known_points(chart: linesim.report.Curve) -> list[Run]:
    """The points that were run."""
    return [(p.x, p.figure) for p in chart.points if p.figure is not None]


def draw_curve(plot: Plot, chart: linesim.report.Curve, level: float) -> None:
    """Put it onto the plot; ``level`` is that of its intervals."""
    known = known_points(chart)
    theory = [(p.x, p.theory) for p in chart.points if p.theory is not None]
    if not known and not theory:
        plot.put_nothing(_NONE)
        return
    look = plot.look
    xs = [p.x for p in chart.points] + ([] if chart.present is None else [chart.present])
    limits = [end for _, figure in known for end in ends(figure)]
    means = [figure.mean for _, figure in known]
    up = upwards([*means, *(value for _, value in theory)], limits, 0, 1, zero=bool(chart.gain))
    plot.put_scales(along(xs, 0, 1), up, columns=True)
    plot.put_axis(
        "bottom", chart.x.heading + (" (logarithmic)" if linesim.report.spans_much(xs) else "")
    )
    plot.put_axis("left")
    _shade(plot, chart)
    if up.low < 0 < up.high:
        plot.put_level(0, plot.pen(look.text))
    if chart.present is not None:
        ways = [(x, up.at(figure.mean)) for x, figure in known] or [(chart.present, 0.0)]
        high = np.interp(chart.present, *zip(*ways, strict=True)) > _HIGH
        height = _NOW_BELOW if high else _NOW
        plot.put_upright(chart.present, "now", height, plot.pen(look.text, 1, DOTS))
    for stretch in _stretches(chart.points):
        _draw_stretch(plot, stretch)
    plot.put_line(theory, look.ghost, 1.6, DASHES)
    _draw_points(plot, known)
    if chart.best in dict(known):
        best = [(x, figure.mean) for x, figure in known if x == chart.best]
        plot.put_dots(best, _RING, _ring(plot, chart), QBrush(Qt.BrushStyle.NoBrush))
    plot.reading.spots = tuple(
        Spot(plot.place(x, figure.mean), _words(chart, x, figure, dict(theory).get(x)))
        for x, figure in known
    )
    _put_keys(plot, chart, known, level, with_theory=bool(theory and chart.theory_name))


def _ring(plot: Plot, chart: linesim.report.Curve) -> QPen:
    """Round the best; grey where it is not shown to be one."""
    return plot.pen(plot.look.curve if chart.best_shown else plot.look.quiet, 2)


def _best_words(chart: linesim.report.Curve) -> str:
    return chart.best_name if chart.best_shown else f"~ {chart.best_name}: not shown"


def _shade(plot: Plot, chart: linesim.report.Curve) -> None:
    """The stretches that pay, along the foot, so that they cover no curve though all of it pays.

    That of a single point is as wide as a point.
    """
    boxes = []
    for start, end in chart.pays:
        left, right = plot.place(start, 0).x(), plot.place(end, 0).x()
        left, right = min(left, right - _LEAST), max(right, left + _LEAST)
        boxes.append(Box(QRectF(left, 0, right - left, _FOOT), pays_fill(plot)))
    if boxes:
        plot.put_shapes(boxes)


def pays_fill(plot: Plot) -> QBrush:
    """Hatched, so that it is told from a band."""
    return QBrush(QColor(plot.look.ghost), Qt.BrushStyle.BDiagPattern)


def _words(
    chart: linesim.report.Curve, x: float, figure: linesim.report.Figure, theory: float | None
) -> str:
    said = f"{chart.x.label} {x:g}: {spoken(figure, chart.y.unit)}"
    if theory is not None:
        said += f"\n{chart.theory_name}: {linesim.report.cell_text(theory)} {chart.y.unit}"
    marks = [_best_words(chart)] if x == chart.best else []
    marks += [chart.pays_name] if any(start <= x <= end for start, end in chart.pays) else []
    return said.rstrip() + "".join(f"\n{mark}" for mark in marks)


def _draw_stretch(plot: Plot, stretch: list[Run]) -> None:
    _draw_band(plot, [(x, ends(figure, inner=True)) for x, figure in stretch])
    if any(figure.doubt for _, figure in stretch):
        _draw_band(plot, [(x, ends(figure)) for x, figure in stretch])
        for side in (0, 1):
            edge = [(x, ends(figure)[side]) for x, figure in stretch]
            plot.put_line(edge, plot.look.curve, 1, DOTS)
    if len(stretch) == 1:
        # A band of one point has no width.
        ((x, figure),) = stretch
        plot.put_line([(x, end) for end in ends(figure)], plot.look.curve, 1.4)
    plot.put_line([(x, figure.mean) for x, figure in stretch], plot.look.curve, 2)


def _draw_band(plot: Plot, pairs: list[tuple[float, tuple[float, float]]]) -> None:
    upper = [(x, high) for x, (_, high) in pairs]
    lower = [(x, low) for x, (low, _) in reversed(pairs)]
    plot.put_band([*upper, *lower])


def _draw_points(plot: Plot, known: list[Run]) -> None:
    """Filled; hollow where no difference is shown."""
    line = plot.pen(plot.look.curve, 1.4)
    for shown, fill in ((True, plot.look.curve), (False, plot.look.ground)):
        points = [(x, figure.mean) for x, figure in known if figure.shown is shown]
        plot.put_dots(points, _DOT, line, QBrush(QColor(fill)))


def _put_keys(
    plot: Plot, chart: linesim.report.Curve, known: list[Run], level: float, *, with_theory: bool
) -> None:
    look = plot.look
    band = faint(look.curve)
    two = any(figure.doubt for _, figure in known)
    told = "; inner band: chance" if two else f", with its {100 * level:.0f} % interval"
    keys = [Key(chart.of + told, plot.pen(look.curve, 2), band)]
    if two:
        outer = "outer band: with what is not known"
        keys.append(Key(outer, plot.pen(look.curve, 1, DOTS), band))
    if not all(figure.shown for _, figure in known):
        hollow = QBrush(QColor(look.ground))
        keys.append(Key("hollow: no difference shown", plot.pen(look.curve, 1.4), hollow, "dot"))
    if with_theory:
        keys.append(Key(chart.theory_name, plot.pen(look.ghost, 1.6, DASHES)))
    if chart.pays:
        keys.append(Key(chart.pays_name, None, pays_fill(plot)))
    if chart.best in dict(known):
        keys.append(Key(_best_words(chart), _ring(plot, chart), None, "ring"))
    plot.put_keys(*keys)


def _stretches(points: tuple[linesim.report.CurvePoint, ...]) -> Iterator[list[Run]]:
    """Points without a gap between them."""
    stretch: list[Run] = []
    for point in points:
        if point.figure is not None:
            stretch.append((point.x, point.figure))
        elif stretch:
            yield stretch
            stretch = []
    if stretch:
        yield stretch
