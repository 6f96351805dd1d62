"""How many reams lie on the bridge, put onto a plot: what is there, and how far it swings."""

from __future__ import annotations

from typing import Any

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPen

import linesim
from gui.charts.items import band_item
from gui.charts.keys import Key
from gui.charts.pens import DASHES
from gui.charts.plot import Plot
from gui.charts.scales import Scale
from gui.charts.shapes import Stroke
from gui.look import mixed
from gui.strip.curves import Stretch
from gui.strip.reduce import StepCurve
from gui.strip.rows import level_marks
from gui.strip.time_axis import put_time
from linesim.report import Column

TITLE = "Reams on the bridge"
_FEW = 3
"""Changes in one column up to which each of them can be told."""
_LEAD_PX = 12
"""Over so much of the curve a line leads from its words to where it belongs."""
_ROWS = 480
"""Rows of the table of its figures."""
Heights = NDArray[np.floating[Any]]


def draw_level(plot: Plot, stretch: Stretch, *, in_row: bool = False) -> None:
    """Put it onto the plot: by itself, or in a row of the strip, whose axis says the time."""
    look, level, ghost = plot.look, stretch.curves.level, stretch.ghost
    marks = level_marks(stretch.record.scenario)
    swung = [level.highest, 0 if ghost is None else ghost.level.highest]
    most = max([*swung, 1, *(reams for reams, _ in marks)])
    columns = round((plot.width() - plot.left_px) * plot.sharpness)
    edges = stretch.edges_ns(columns)
    # The words of the highest level have room.
    line_part = QFontMetricsF(plot.chart_font).height() / max(1, plot.height())
    plot.put_scales(plot.across, Scale(0, most * (1 + line_part / 2), 0, 1))
    put_time(plot, stretch.window, in_row=in_row)
    low, high = (plot.up.at(1) * each for each in level.extremes(edges))
    for heights, part in ((high, 0.35), (low, 0.15)):
        across, up = _corners(heights)
        fill = QBrush(QColor(mixed(look.ground, look.curve, part)))
        plot.put(band_item(across, up, np.zeros_like(up), fill))
    if ghost is not None:
        below, above = (plot.up.at(1) * each for each in ghost.level.extremes(edges))
        few = ghost.level.changes(edges) <= _FEW
        for edge in (below, above):
            # As a band it would hide the run itself: where it is one, only its edges.
            plot.put(_steps(edge, plot.pen(look.ghost), np.ones_like(few), few))
    # Where the level changes many times in a column, the band says more than its outline.
    few = level.changes(edges) <= _FEW
    plot.put(_steps(high, plot.pen(look.curve, 1.5), few, few))
    line = plot.pen(look.text, 1, DASHES)
    places = [(plot.up.at(reams), words) for reams, words in marks]
    if in_row:
        # Above its line: below it begins the next lane.
        names = _with_room([*places, (line_part / 2, "empty")], 1.06 * line_part)
        plot.put_names("left", names)
        lead = _LEAD_PX / max(1.0, plot.width() - plot.left_px)
        words_at = {words: at for at, words in names}
        thin = plot.pen(look.text)
        for at, words in places:
            plot.put_shapes(
                [
                    Stroke(0, words_at.get(words, at), lead, at, thin, 0),
                    Stroke(lead, at, 1, at, line, 0),
                ]
            )
        return
    plot.put_shapes([Stroke(0, at, 1, at, line, 0) for at, _ in places])
    plot.put_axis("left", "reams")
    plot.put_names("right", places)
    keys = [Key("this run", plot.pen(look.curve, 1.5))]
    if ghost is not None:
        keys.append(Key(ghost.title, plot.pen(look.ghost)))
    plot.put_keys(*keys)


def _with_room(names: list[tuple[float, str]], each: float) -> list[tuple[float, str]]:
    """Where the words of each stand: at its line, or as near as others leave room.

    The lowest is out where there is no room for all.
    """
    names = sorted(names, reverse=True)[: int(1 / each)]
    places = [at for at, _ in names]
    for n in range(1, len(places)):
        places[n] = min(places[n], places[n - 1] - each)
    least = each / 2
    for n in reversed(range(len(places))):
        places[n] = max(places[n], least)
        least = places[n] + each
    return [(at, words) for at, (_, words) in zip(places, names, strict=True)]


def _corners(heights: Heights) -> tuple[Heights, Heights]:
    """Both corners of the top of each column, from the left edge to the right one."""
    edges = np.linspace(0.0, 1.0, len(heights) + 1)
    return np.repeat(edges, 2)[1:-1], np.repeat(heights, 2)


def _steps(
    heights: Heights, line: QPen, tops: NDArray[np.bool_], sides: NDArray[np.bool_]
) -> pg.PlotCurveItem:
    """The outline of the columns: the ``tops`` of these, the right ``sides`` of those."""
    connect = np.column_stack([tops, sides]).ravel()
    return pg.PlotCurveItem(*_corners(heights), pen=line, connect=connect)


def level_table(stretch: Stretch) -> linesim.report.AnswerTable:
    """Its figures: the lowest and the highest level, stretch by stretch of the same length."""
    edges = stretch.edges_ns(_ROWS)
    hours = np.round(edges / linesim.scenario.HOUR, 5).tolist()
    curves: list[tuple[str, StepCurve]] = [("", stretch.curves.level)]
    if stretch.ghost is not None:
        curves.append((f", {stretch.ghost.title}", stretch.ghost.level))
    columns, cells = [Column("from", "h"), Column("to", "h")], [hours[:-1], hours[1:]]
    for what, curve in curves:
        for end, found in zip(("lowest", "highest"), curve.extremes(edges), strict=True):
            columns.append(Column(f"{end}{what}", "reams"))
            cells.append(found.tolist())
    return linesim.report.AnswerTable(
        "bridge-level", TITLE, tuple(columns), tuple(zip(*cells, strict=True))
    )
