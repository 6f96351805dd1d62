"""Distances, px: steps of a grid of eight, and one half step for what belongs together."""

from __future__ import annotations

from PySide6.QtWidgets import QLayout

CLOSE = 4
"""Between a word and what it names."""
NEAR = 8
"""Between controls of one row, and rows of one form."""
APART = 16
"""Between parts of a page, and around them."""
FAR = 24
"""Between groups."""


def spaced(layout: QLayout, between: int = NEAR, around: int = 0) -> None:
    """Give a layout its distances: ``between`` its items, and ``around`` them all."""
    layout.setSpacing(between)
    layout.setContentsMargins(around, around, around, around)
