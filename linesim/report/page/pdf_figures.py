"""A drawing in a PDF: the same marks as on the screen, as lines and areas, not as a picture.

Each is marked content with its description as its alternate text (ISO 32000-1, 14.9.3). That is
not yet a tagged PDF, which the library cannot write; so the descriptions are printed as well.
"""

from __future__ import annotations

from typing import Any

from reportlab.platypus import Flowable

from linesim.report.page.drawing import HATCH_OPACITY, Circle, Drawing, Path, Rect, Text
from linesim.report.page.pdf_styles import BOLD, COLOURS, REGULAR, drawable

_TALLEST = 420.0


class DrawnFigure(Flowable):  # type: ignore[misc]
    """A drawing scaled to fit into a width and a height in points."""

    def __init__(self, drawing: Drawing, width: float, tallest: float = _TALLEST) -> None:
        super().__init__()
        self._drawing = drawing
        self._scale = min(width / drawing.width, tallest / drawing.height)
        self.width = drawing.width * self._scale
        self.height = drawing.height * self._scale

    def draw(self) -> None:
        """Lay the marks down; called by the library with the canvas in place."""
        canvas = self.canv
        alternate = f"{self._drawing.title}. {self._drawing.description}"
        # A text string of a PDF that takes letters of every script.
        any_script = f"<FEFF{alternate.encode('utf-16-be').hex().upper()}>"
        canvas.addLiteral(f"/Figure <</Alt {any_script}>> BDC")
        canvas.saveState()
        # The drawing counts downwards, a PDF upwards.
        canvas.translate(0, self.height)
        canvas.scale(self._scale, -self._scale)
        for mark in self._drawing.marks:
            if isinstance(mark, Text):
                _text(canvas, mark)
            else:
                _shape(canvas, mark)
        canvas.restoreState()
        canvas.addLiteral("EMC")


def _shape(canvas: Any, mark: Rect | Circle | Path) -> None:
    path = canvas.beginPath()
    dash = []
    if isinstance(mark, Circle):
        path.circle(mark.x, mark.y, mark.radius)
    elif isinstance(mark, Rect):
        path.roundRect(mark.x, mark.y, mark.width, mark.height, mark.round)
    else:
        for point in mark.points:
            (path.lineTo if path.getCode() else path.moveTo)(*point)
        if mark.closed:
            path.close()
        dash = [5, 4] if mark.dashed else []
    if mark.fill:
        canvas.setFillColor(COLOURS[mark.fill])
    if mark.stroke:
        canvas.setStrokeColor(COLOURS[mark.stroke])
        canvas.setLineWidth(mark.thick)
        canvas.setDash(dash)
    canvas.drawPath(path, stroke=bool(mark.stroke), fill=bool(mark.fill))
    if isinstance(mark, Rect) and mark.hatch:
        _hatch(canvas, mark)


def _hatch(canvas: Any, mark: Rect) -> None:
    canvas.saveState()
    clip = canvas.beginPath()
    clip.rect(mark.x, mark.y, mark.width, mark.height)
    canvas.clipPath(clip, stroke=0, fill=0)
    canvas.setStrokeColor(COLOURS["hatch"])
    canvas.setStrokeAlpha(HATCH_OPACITY)
    canvas.setLineWidth(1)
    canvas.setDash([])
    step, top, foot = 6.0, mark.y, mark.y + mark.height
    # One grid of strokes for the whole drawing, so that neighbours go on where one ends.
    at = (mark.x - mark.height) // step * step
    while at < mark.x + mark.width + mark.height:
        if mark.hatch in ("left", "cross"):
            canvas.line(at, top, at + mark.height, foot)
        if mark.hatch in ("right", "cross"):
            canvas.line(at + mark.height, top, at, foot)
        if mark.hatch in ("upright", "square"):
            canvas.line(at + step / 2, top, at + step / 2, foot)
        at += step
    if mark.hatch in ("level", "square"):
        down = top // step * step + step / 2
        while down < foot:
            canvas.line(mark.x, down, mark.x + mark.width, down)
            down += step
    canvas.restoreState()


def _text(canvas: Any, mark: Text) -> None:
    canvas.saveState()
    canvas.translate(mark.x, mark.y)
    canvas.scale(1, -1)
    canvas.rotate(mark.angle)
    canvas.setFillColor(COLOURS[mark.colour])
    canvas.setFont(BOLD if mark.bold else REGULAR, mark.size)
    names = {"start": "drawString", "middle": "drawCentredString", "end": "drawRightString"}
    getattr(canvas, names[mark.anchor])(0, 0, drawable(mark.text))
    canvas.restoreState()
