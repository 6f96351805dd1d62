"""A figure of matplotlib as a drawing, so that the page, its print and files show the same lines.

The library's own SVG and PDF would each need their colours, fonts and names put right afterwards,
and a print takes neither in as lines. Here the library lays a figure out and says what to paint;
the marks are those of :mod:`linesim.report.page.drawing`, as of every other drawing of a page:
classes of colours that follow light and dark, text that is text in the fonts of the page, names of
its own for each, and the same bytes from the same figure.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any

import matplotlib
import numpy as np
from matplotlib.backend_bases import FigureCanvasBase, RendererBase
from matplotlib.colors import to_hex
from matplotlib.figure import Figure
from matplotlib.path import Path as Outline
from matplotlib.transforms import Affine2D
from reportlab.pdfbase.pdfmetrics import stringWidth

from linesim.report.colours import LIGHT
from linesim.report.page.drawing import Circle, Drawing, Hatch, Path, Rect, Text
from linesim.report.page.pdf_styles import BOLD, REGULAR, prepare_fonts
from linesim.report.picture_style import STYLE

_POINTS_PER_INCH = 72
_NAMES = {value: name for name, value in LIGHT.items()}
_HATCHES: dict[str, Hatch] = {"\\": "left", "/": "right", "x": "cross"}
_BOLD_FROM = 600


def figure_drawing(
    paint: Callable[[Any], None], width: float, height: float, title: str, description: str
) -> Drawing:
    """What ``paint`` draws on axes of its own, in a drawing so many points wide and high.

    Raises ``ValueError`` for a colour that the page does not have.
    """
    drawing = Drawing(width, height, title, description)
    with matplotlib.rc_context():
        # What a user's own settings say is not for a report.
        matplotlib.rcdefaults()
        matplotlib.rcParams.update(STYLE)
        size = (width / _POINTS_PER_INCH, height / _POINTS_PER_INCH)
        figure = Figure(size, dpi=_POINTS_PER_INCH, layout="constrained")
        canvas = _Canvas(figure, _Marks(drawing))
        paint(figure.subplots())
        figure.draw(canvas.get_renderer())
    return drawing


class _Canvas(FigureCanvasBase):  # type: ignore[misc]
    """Lends its renderer to whoever measures texts to lay the figure out."""

    def __init__(self, figure: Figure, renderer: _Marks) -> None:
        super().__init__(figure)
        self._renderer = renderer

    def get_renderer(self) -> _Marks:
        """The library asks for it by this name."""
        return self._renderer


class _Marks(RendererBase):  # type: ignore[misc]
    """Lays down what a figure paints as marks; the library counts upwards, a drawing down."""

    def __init__(self, drawing: Drawing) -> None:
        super().__init__()
        self._drawing = drawing
        self._down = Affine2D().scale(1, -1).translate(0, drawing.height)
        prepare_fonts()

    def get_canvas_width_height(self) -> tuple[float, float]:
        return self._drawing.width, self._drawing.height

    def points_to_pixels(self, points: float) -> float:
        return points

    def get_text_width_height_descent(
        self, s: str, prop: Any, ismath: Any
    ) -> tuple[float, float, float]:
        size = prop.get_size_in_points()
        # Heights of the font of the print; a viewer's own sans serif is no wider.
        return stringWidth(s, BOLD if _bold(prop) else REGULAR, size), 0.93 * size, 0.2 * size

    def draw_path(self, gc: Any, path: Outline, transform: Any, rgbFace: Any = None) -> None:  # noqa: N803
        fill = _named(rgbFace, gc.get_alpha() if gc.get_forced_alpha() else None)
        stroke = _named(gc.get_rgb()) if gc.get_linewidth() > 0 else ""
        if not fill and not stroke:
            return
        thick = gc.get_linewidth()
        whole, corners = transform + self._down, _corners(path)
        if path.codes is not None and Outline.CURVE4 in path.codes and fill + stroke:
            box = path.get_extents(whole)
            middle = ((box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2)
            self._drawing.marks.append(Circle(*middle, box.width / 2, fill, stroke, thick))
            return
        clip = gc.get_clip_rectangle()
        if clip is not None:
            clip = clip.transformed(self._down)
        if corners and fill:
            (x0, y0), (x1, y1) = np.sort(whole.transform(path.vertices[[0, 2]]), axis=0)
            if clip is not None:
                (x0, x1), (y0, y1) = (
                    np.clip((x0, x1), *clip.intervalx),
                    np.clip((y0, y1), clip.ymin, clip.ymax),
                )
            hatch = _HATCHES.get((gc.get_hatch() or "")[:1], "")
            size = float(x1 - x0), float(y1 - y0)
            self._drawing.marks.append(
                Rect(float(x0), float(y0), *size, fill, stroke, hatch, 0.0, thick)
            )
            return
        moved = path.transformed(whole)
        if clip is not None:
            moved = (
                moved.clip_to_bbox(clip)
                if fill
                else moved.cleaned(
                    clip=(clip.xmin, clip.ymin, clip.xmax, clip.ymax), remove_nans=True
                )
            )
        dashed = gc.get_dashes()[1] is not None
        for points in moved.to_polygons(closed_only=bool(fill)):
            places = tuple((float(x), float(y)) for x, y in points)
            self._drawing.marks.append(Path(places, stroke, fill, thick, dashed, bool(fill)))

    def draw_text(
        self,
        gc: Any,
        x: float,
        y: float,
        s: str,
        prop: Any,
        angle: float,
        ismath: Any = False,
        mtext: Any = None,
    ) -> None:
        bold = _bold(prop)
        size = prop.get_size_in_points()
        anchor = "start"
        if mtext is not None and not angle:
            # A viewer's own font is narrower: the end that was aimed at stays where it is.
            anchor = {"center": "middle", "right": "end"}.get(mtext.get_ha(), "start")
            part = {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
            x += part * stringWidth(s, BOLD if bold else REGULAR, size)
        colour = _named(gc.get_rgb())
        self._drawing.marks.append(
            Text(float(x), float(y), s, colour, float(size), anchor, bold, float(angle))  # type: ignore[arg-type]
        )


def _bold(prop: Any) -> bool:
    weight = prop.get_weight()
    return weight in ("bold", "semibold", "heavy") or (
        isinstance(weight, int) and weight >= _BOLD_FROM
    )


def _corners(path: Outline) -> bool:
    """Whether it is a rectangle along the axes, corner by corner."""
    found = path.vertices[:4]
    if len(path.vertices) != 5 or path.codes is None or path.codes[-1] != Outline.CLOSEPOLY:
        return False
    across, up = np.diff(found, axis=0).T
    return bool((across[[1]] == 0).all() and (up[[0, 2]] == 0).all() and (up[1] != 0))


def _named(colour: Any, alpha: float | None = None) -> str:
    """What the page calls a colour; nothing where it is not to be seen."""
    if colour is None or (len(colour) > 3 and colour[3] == 0) or alpha == 0:
        return ""
    return _name(to_hex(colour[:3]))


@lru_cache(maxsize=64)
def _name(value: str) -> str:
    if value not in _NAMES:
        raise ValueError(f"{value} is no colour of the page; linesim/report/colours.py has them")
    return _NAMES[value]
