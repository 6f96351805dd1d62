"""Pens and fills of charts, from the colours of the window."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush, QColor, QPen

from gui.look import Palette

SOLID, DASHES, DOTS = Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine, Qt.PenStyle.DotLine
_FAINT = 60
_FULL = 150


def pen(colour: str, width: float = 1.0, style: Qt.PenStyle = SOLID) -> QPen:
    """A pen as wide as said, however far the chart is zoomed."""
    made = QPen(QColor(colour), width, style)
    made.setCosmetic(True)
    return made


def faint(colour: str) -> QBrush:
    """The see-through fill of a band."""
    return _see_through(colour, _FAINT)


def full(colour: str) -> QBrush:
    """The fill of a bar, through which the lines of the axis are seen."""
    return _see_through(colour, _FULL)


def _see_through(colour: str, weight: int) -> QBrush:
    shade = QColor(colour)
    shade.setAlpha(weight)
    return QBrush(shade)


def readable(shade: QColor, look: Palette) -> str:
    """The colour of letters that stands out more on a see-through shade."""
    ground, text = QColor(look.ground).lightnessF(), QColor(look.text).lightnessF()
    part = shade.alphaF()
    seen = part * shade.lightnessF() + (1 - part) * ground
    return look.ground if abs(seen - ground) > abs(seen - text) else look.text
