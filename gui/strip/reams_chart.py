"""Good reams against the nameplate, put onto a plot: the gap between them by loss."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtGui import QBrush, QColor, QFontMetricsF

import linesim
from gui.charts.items import band_item
from gui.charts.keys import BETWEEN, Key
from gui.charts.pens import DASHES
from gui.charts.plot import Plot
from gui.charts.scales import Scale
from gui.strip.curves import Stretch, loss_tints
from gui.strip.time_axis import put_time
from linesim.report import Column

TITLE = "Good reams against the nameplate"
_COLUMNS = 240
"""Points of its lines: no more than can be told apart."""
_LINES_A_KEY = 2.5
"""So many lines of text a row is high for each line of keys above its curves."""
Reams = NDArray[np.float64]


@dataclass(frozen=True)
class _Sums:
    """Reams since the left edge; ``steps`` are the curves between nameplate and good reams."""

    promised: Reams
    good: Reams
    before: Reams | None
    losses: dict[str, Reams]


def _sums(stretch: Stretch, edges: NDArray[np.int64]) -> _Sums:
    out, ghost = stretch.curves.out, stretch.ghost
    good = (out.good(edges) - out.good(edges[:1])).astype(np.float64)
    losses = {step: lost - lost[0] for step, lost in out.gap(edges).items()}
    promised = good + np.sum(list(losses.values()), axis=0)
    before = None
    if ghost is not None:
        before = (ghost.out.good(edges) - ghost.out.good(edges[:1])).astype(np.float64)
    return _Sums(promised, good, before, losses)


def draw_reams(plot: Plot, stretch: Stretch, *, in_row: bool = False) -> None:
    """Put it onto the plot: by itself, or in a row of the strip, whose axis says the time."""
    look = plot.look
    sums = _sums(stretch, stretch.edges_ns(_COLUMNS))
    lines = [sums.promised, sums.good, *([] if sums.before is None else [sums.before])]
    most = max(1.0, *(float(line.max()) for line in lines))
    least = min(0.0, *(float(line.min()) for line in lines))
    plot.put_scales(plot.across, Scale(least, most * 1.02, 0, 1))
    put_time(plot, stretch.window, in_row=in_row)
    across = np.linspace(0.0, 1.0, _COLUMNS + 1)

    def heights(reams: Reams) -> Reams:
        return (reams - least) * (plot.up.at(most) / (most - least))

    upper = sums.promised
    for lost, tint in zip(sums.losses.values(), loss_tints(look), strict=True):
        lower = upper - lost
        plot.put(band_item(across, heights(upper), heights(lower), QBrush(QColor(tint))))
        upper = lower
    drawn = [
        (sums.promised, plot.pen(look.text, 1.2, DASHES)),
        (sums.good, plot.pen(look.curve, 2)),
    ]
    if sums.before is not None:
        drawn.insert(1, (sums.before, plot.pen(look.ghost, 1.2)))
    for reams, line in drawn:
        plot.put(pg.PlotCurveItem(across, heights(reams), pen=line, antialias=True))
    plot.put_axis("left", "" if in_row else "reams")
    lines, bands = _keys(plot, stretch, sums)
    if in_row:
        # What stands at the side says how large each loss is, in its colour.
        metrics = QFontMetricsF(plot.chart_font)
        rows = max(1, int(plot.height() / (_LINES_A_KEY * metrics.height())))
        plot.put_keys(*_in_rows(lines, metrics, plot.width() - plot.left_px, rows))
    else:
        plot.put_keys(*lines, *bands)


def _keys(plot: Plot, stretch: Stretch, sums: _Sums) -> tuple[list[Key], list[Key]]:
    """Lines and bands that are drawn, with the sums at the right edge."""
    look, window, since = plot.look, stretch.window, ""
    if window.start_ns != window.first_ns:
        since = f"since {linesim.report.clock_words(window.start_ns, window.starts)}"
    lines = [
        Key(f"good {sums.good[-1]:,.0f}", plot.pen(look.curve, 2)),
        Key(f"nameplate {sums.promised[-1]:,.0f}", plot.pen(look.text, 1.2, DASHES)),
    ]
    if sums.before is not None and stretch.ghost is not None:
        words = f"{stretch.ghost.title} {sums.before[-1]:,.0f}"
        lines.append(Key(words, plot.pen(look.ghost, 1.2)))
    if since:
        # By itself: where there is no room for it, what each line is still stands there.
        lines.append(Key(since))
    bands = [
        Key(f"{step} {lost[-1]:,.0f}", None, QBrush(QColor(tint)))
        for (step, lost), tint in zip(sums.losses.items(), loss_tints(look), strict=True)
    ]
    return lines, bands


def _in_rows(keys: list[Key], metrics: QFontMetricsF, width: float, rows: int) -> list[Key]:
    """The first of them, as many as so many rows have room for; more rows for all that is drawn."""
    kept: list[Key] = []
    left = width
    for key in keys:
        wide = key.wide(metrics)
        if wide - BETWEEN > left and left < width:
            rows, left = rows - 1, width
        if rows < 1 and key.line is None:
            break
        kept.append(key)
        left -= wide
    return kept


def reams_table(stretch: Stretch) -> linesim.report.AnswerTable:
    """Its figures."""
    edges = stretch.edges_ns(_COLUMNS)
    sums = _sums(stretch, edges)
    named = {"good": sums.good, "nameplate": sums.promised, **sums.losses}
    if sums.before is not None and stretch.ghost is not None:
        named[stretch.ghost.title] = sums.before
    hours = np.round(edges / linesim.scenario.HOUR, 5).tolist()
    columns = (Column("at", "h"), *(Column(name, "reams") for name in named))
    cells = [hours, *(np.round(found, 1).tolist() for found in named.values())]
    return linesim.report.AnswerTable("reams", TITLE, columns, tuple(zip(*cells, strict=True)))
