"""Fills and pens of the drawing, from the palette of the window."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen

from gui.look import Hatch, Palette, StateLook, calm, state_look
from linesim.record import StationNow

_PATTERNS = {
    # The hatch leans to where the trouble came from: paper moves to the right.
    Hatch.FROM_UPSTREAM: Qt.BrushStyle.FDiagPattern,
    Hatch.FROM_DOWNSTREAM: Qt.BrushStyle.BDiagPattern,
    Hatch.CROSSED: Qt.BrushStyle.DiagCrossPattern,
    Hatch.UPRIGHT: Qt.BrushStyle.VerPattern,
    Hatch.LEVEL: Qt.BrushStyle.HorPattern,
    Hatch.SQUARED: Qt.BrushStyle.CrossPattern,
}


def station_look(station: StationNow, palette: Palette) -> StateLook:
    """Colour and hatch of what a station does."""
    look = state_look(station.state, palette)
    return calm(look, palette) if station.for_pace else look


def fill_state(painter: QPainter, area: QRectF, station: StationNow, palette: Palette) -> None:
    """Fill an area with the colour and hatch of what a station does."""
    look = station_look(station, palette)
    painter.fillRect(area, QColor(look.fill))
    pattern = _PATTERNS.get(look.hatch)
    if pattern is not None:
        painter.fillRect(area, QBrush(QColor(look.line), pattern))


def outline(palette: Palette, width: float = 1.2) -> QPen:
    """The pen that machines are drawn with."""
    return QPen(QColor(palette.text), width)


def faint(palette: Palette, width: float = 1.0) -> QPen:
    """The pen for what only shows where things could be."""
    return QPen(QColor(palette.ghost), width)


def body(painter: QPainter, area: QRectF, station: StationNow, palette: Palette) -> None:
    """A machine as a box: filled by its state, outlined."""
    fill_state(painter, area, station, palette)
    painter.setPen(outline(palette))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(area)
