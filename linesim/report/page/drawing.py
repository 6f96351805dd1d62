"""A figure as plain marks, so that the page and its print show the same lines.

Lengths are in units of the drawing, x to the right and y downwards. Colours are named by what
they are for, and each renderer knows them by :mod:`linesim.report.colours`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Concatenate, Literal, NamedTuple, ParamSpec

Point = tuple[float, float]
Hatch = Literal["", "left", "right", "cross", "upright", "level", "square"]
"""Strokes leaning to the left (trouble came from upstream), to the right (from downstream), or
both (own trouble); upright, level, or both."""


class Rect(NamedTuple):
    """A rectangle; ``round`` is the radius of its corners."""

    x: float
    y: float
    width: float
    height: float
    fill: str = ""
    stroke: str = ""
    hatch: Hatch = ""
    round: float = 0.0
    thick: float = 1.0

    def moved(self, down: float) -> Rect:
        """The same further down."""
        return self._replace(y=self.y + down)


class Circle(NamedTuple):
    """A circle round (x, y)."""

    x: float
    y: float
    radius: float
    fill: str = ""
    stroke: str = ""
    thick: float = 1.0

    def moved(self, down: float) -> Circle:
        """The same further down."""
        return self._replace(y=self.y + down)


class Path(NamedTuple):
    """Straight lines through points; ``closed`` with a ``fill`` is an area."""

    points: tuple[Point, ...]
    stroke: str = ""
    fill: str = ""
    thick: float = 1.0
    dashed: bool = False
    closed: bool = False

    def moved(self, down: float) -> Path:
        """The same further down."""
        return self._replace(points=tuple((x, y + down) for x, y in self.points))


class Text(NamedTuple):
    """A line of text with its baseline at y; ``anchor`` says which end stands at x.

    ``angle`` is how far it is turned round that end, degrees to the left.
    """

    x: float
    y: float
    text: str
    colour: str = "ink"
    size: float = 13.0
    anchor: Literal["start", "middle", "end"] = "start"
    bold: bool = False
    angle: float = 0.0

    def moved(self, down: float) -> Text:
        """The same further down."""
        return self._replace(y=self.y + down)


Mark = Rect | Circle | Path | Text


P = ParamSpec("P")


def _lays_down(kind: Callable[P, Mark]) -> Callable[Concatenate[Drawing, P], None]:
    def lay_down(drawing: Drawing, /, *args: P.args, **options: P.kwargs) -> None:
        drawing.marks.append(kind(*args, **options))

    return lay_down


@dataclass
class Drawing:
    """Marks in the order in which they are laid down, with what they show in words."""

    width: float
    height: float
    title: str
    description: str
    marks: list[Mark] = field(default_factory=list)

    rect = _lays_down(Rect)
    circle = _lays_down(Circle)
    text = _lays_down(Text)

    def line(
        self, *points: Point, colour: str = "ink", thick: float = 1.0, dashed: bool = False
    ) -> None:
        """Lay down a line through points."""
        self.marks.append(Path(points, colour, "", thick, dashed))

    def area(self, *points: Point, fill: str, stroke: str = "") -> None:
        """Lay down an area."""
        self.marks.append(Path(points, stroke, fill, closed=True))


HATCH_OPACITY = 0.45
"""Of the strokes of a hatch: the colour below them is seen through them."""


def shortened(text: str, room: float, size: float) -> str:
    """The text, or its beginning and an ellipsis where it would be wider than ``room``.

    A letter is taken to be 0.58 of the size wide, about the mean of a sans serif.
    """
    most = max(2, int(room / (0.58 * size)))
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"
