"""Lines, dots and upright lines with words, between 0 and 1 across and up."""

from __future__ import annotations

from collections.abc import Sequence

import pyqtgraph as pg
from PySide6.QtCore import QPointF
from PySide6.QtGui import QBrush, QFont, QPen

from gui.look import Palette


def line_item(places: Sequence[QPointF], line: QPen) -> pg.PlotCurveItem:
    """A line through these places."""
    return pg.PlotCurveItem(*_columns(places), pen=line, antialias=True)


def dots_item(
    places: Sequence[QPointF], size: float, line: QPen, fill: QBrush
) -> pg.ScatterPlotItem:
    """A dot at each of these places, ``size`` pixels across."""
    return pg.ScatterPlotItem(*_columns(places), size=size, pen=line, brush=fill)


def upright_item(
    at: float, words: str, height: float, line: QPen, look: Palette, font: QFont
) -> pg.InfiniteLine:
    """A line up the plot, with its words so high up."""
    options = {"position": height, "color": look.text, "fill": look.ground}
    options["anchors"] = [(0.0, 0.5), (1.0, 0.5)]
    made = pg.InfiniteLine(at, 90, line, label=words, labelOpts=options)
    made.label.setFont(font)
    return made


def _columns(places: Sequence[QPointF]) -> tuple[list[float], list[float]]:
    return [place.x() for place in places], [place.y() for place in places]
