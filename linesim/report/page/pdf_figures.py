"""A drawing in a PDF: the same marks as on the screen, as lines and areas, not as a picture.

Each is marked content with its description as its alternate text (ISO 32000-1, 14.9.3). That is
not yet a tagged PDF, which the library cannot write; so the descriptions are printed as well.
"""

from __future__ import annotations

from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.pdfbase import pdfmetrics
from reportlab.platypus import Flowable

from linesim.report.page.colours import LIGHT
from linesim.report.page.drawing import Circle, Drawing, Mark, Rect, Text
from linesim.report.page.pdf_fonts import BOLD, REGULAR, drawable


class DrawnFigure(Flowable):  # type: ignore[misc]
    """A drawing scaled to fit into a width and a height, both in points."""

    def __init__(self, drawing: Drawing, width: float, most_height: float) -> None:
        super().__init__()
        self._drawing = drawing
        self._scale = min(width / drawing.width, most_height / drawing.height)
        self.width = drawing.width * self._scale
        self.height = drawing.height * self._scale

    def draw(self) -> None:
        """Lay the marks down; called by the library with the canvas in place."""
        canvas = self.canv
        alternate = f"{self._drawing.title}. {self._drawing.description}"
        canvas.addLiteral(f"/Figure <</Alt {_any_script(alternate)}>> BDC")
        canvas.saveState()
        # The drawing counts downwards, a PDF upwards.
        canvas.translate(0, self.height)
        canvas.scale(self._scale, -self._scale)
        for mark in self._drawing.marks:
            _lay_down(canvas, mark)
        canvas.restoreState()
        canvas.addLiteral("EMC")


def _any_script(text: str) -> str:
    """A text string of a PDF that takes letters of every script."""
    return f"<FEFF{text.encode('utf-16-be').hex().upper()}>"


def _lay_down(canvas: Any, mark: Mark) -> None:
    if isinstance(mark, Text):
        _text(canvas, mark)
        return
    fill, stroke = bool(mark.fill), bool(mark.stroke)
    if fill:
        canvas.setFillColor(HexColor(LIGHT[mark.fill]))
    if stroke:
        canvas.setStrokeColor(HexColor(LIGHT[mark.stroke]))
        canvas.setLineWidth(mark.thick)
    if isinstance(mark, Circle):
        canvas.circle(mark.x, mark.y, mark.radius, stroke=stroke, fill=fill)
    elif isinstance(mark, Rect):
        box = (mark.x, mark.y, mark.width, mark.height)
        if fill or stroke:
            canvas.roundRect(*box, mark.round, stroke=stroke, fill=fill)
        if mark.hatch:
            _hatch(canvas, mark)
    elif mark.points:
        path = canvas.beginPath()
        path.moveTo(*mark.points[0])
        for point in mark.points[1:]:
            path.lineTo(*point)
        if mark.closed:
            path.close()
        canvas.setDash([5, 4] if mark.dashed else [])
        canvas.drawPath(path, stroke=stroke, fill=fill)
        canvas.setDash([])


def _hatch(canvas: Any, mark: Rect) -> None:
    canvas.saveState()
    clip = canvas.beginPath()
    clip.rect(mark.x, mark.y, mark.width, mark.height)
    canvas.clipPath(clip, stroke=0, fill=0)
    canvas.setStrokeColor(HexColor(LIGHT["ink"]))
    canvas.setStrokeAlpha(0.45)
    canvas.setLineWidth(1)
    step, height = 6.0, mark.height
    lines = []
    # One grid of strokes for the whole drawing, so that neighbours go on where one ends.
    at = (mark.x - height) // step * step
    while at < mark.x + mark.width + height:
        if mark.hatch in ("left", "cross"):
            lines.append((at, mark.y, at + height, mark.y + height))
        if mark.hatch in ("right", "cross"):
            lines.append((at + height, mark.y, at, mark.y + height))
        at += step
    canvas.lines(lines)
    canvas.restoreState()


def _text(canvas: Any, mark: Text) -> None:
    font = BOLD if mark.bold else REGULAR
    text = drawable(mark.text)
    width = pdfmetrics.stringWidth(text, font, mark.size)
    x = mark.x - {"start": 0.0, "middle": width / 2, "end": width}[mark.anchor]
    canvas.saveState()
    canvas.translate(x, mark.y)
    canvas.scale(1, -1)
    canvas.setFillColor(HexColor(LIGHT[mark.colour]))
    canvas.setFont(font, mark.size)
    canvas.drawString(0, 0, text)
    canvas.restoreState()
