"""Lines, bands, dots and upright lines with words, between 0 and 1 across and up."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QBrush, QFont, QPen
from PySide6.QtWidgets import QGraphicsPathItem

from gui.look import Palette

Places = NDArray[np.floating[Any]]


def line_item(places: Sequence[QPointF], line: QPen) -> pg.PlotCurveItem:
    """A line through these places."""
    return pg.PlotCurveItem(*_columns(places), pen=line, antialias=True)


def band_item(across: Places, upper: Places, lower: Places, fill: QBrush) -> QGraphicsPathItem:
    """What lies between two curves; of many points, since it takes them as they are."""
    up = np.concatenate([upper, lower[::-1]])
    band = QGraphicsPathItem(pg.arrayToQPath(np.concatenate([across, across[::-1]]), up))
    band.setPen(QPen(Qt.PenStyle.NoPen))
    band.setBrush(fill)
    return band


def dots_item(
    places: Sequence[QPointF], size: float, line: QPen, fill: QBrush
) -> pg.ScatterPlotItem:
    """A dot at each of these places, ``size`` pixels across."""
    made = pg.ScatterPlotItem(*_columns(places), size=size, pen=line, brush=fill)
    # Whether they are filled says something: they lie over lines that come after them.
    made.setZValue(0.5)
    return made


def upright_item(
    at: float, words: str, height: float, line: QPen, look: Palette, font: QFont
) -> pg.InfiniteLine:
    """A line up the plot, with its words so high up."""
    options = {"position": height, "color": look.text, "fill": look.ground}
    options["anchors"] = [(0.0, 0.5), (1.0, 0.5)]
    made = pg.InfiniteLine(at, 90, line, label=words, labelOpts=options)
    made.label.setFont(font)
    # Its words lie over curves, not below.
    made.setZValue(1)
    return made


def _columns(places: Sequence[QPointF]) -> tuple[list[float], list[float]]:
    return [place.x() for place in places], [place.y() for place in places]
