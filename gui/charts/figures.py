"""A figure with its interval, as charts say and draw it."""

from __future__ import annotations

import math

import linesim


def plain(figure: linesim.report.Figure) -> linesim.report.Figure:
    """The same; an interval of which nothing is known has no ends."""
    half, doubt = (math.inf if math.isnan(part) else part for part in figure[1::2])
    return figure._replace(half_width=half, doubt=doubt)


def spoken(figure: linesim.report.Figure, unit: str) -> str:
    """A figure with its interval and unit."""
    return f"{linesim.report.cell_text(plain(figure))} {unit}".rstrip()


def ends(figure: linesim.report.Figure, *, inner: bool = False) -> tuple[float, float]:
    """The ends to draw: of both parts of its interval, or of luck alone."""
    return plain(figure).inner if inner else plain(figure).outer
