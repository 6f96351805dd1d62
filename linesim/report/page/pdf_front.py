"""Page one in print: always one page, since the picture gives way to the texts, and their size."""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape

from reportlab.platypus import Flowable, Spacer
from reportlab.platypus import Paragraph as Words

from linesim.report.page.model import FrontPage, PageModel
from linesim.report.page.pdf_figures import DrawnFigure
from linesim.report.page.pdf_grid import grid_flowables
from linesim.report.page.pdf_styles import (
    COLOURS,
    HEIGHT,
    WIDTH,
    drawable,
    paragraph,
    style,
    table,
)

_TALLEST, _LEAST = 235.0, 120.0
"""The picture, in points."""
_ENLARGED = 1.25
"""No picture more than this: its letters would be louder than the answer."""
_SCALES = (1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7)
_BETWEEN = 14.0


def front_flowables(page: PageModel) -> list[Flowable]:
    """All of page one, as high as a page; of a page that nobody signs what stands above it."""
    front = page.front
    if front is None:
        return [_marks(page, 1.0)]
    tries = [(1.0, front.beside), *((scale, "") for scale in _SCALES)]
    for scale, beside in tries:
        above, below = _above(page, front, scale, beside), _below(front, scale)
        room = HEIGHT - _height([*above, *below])
        if room >= _LEAST:
            break
    drawing = front.chart.drawing
    width = min(WIDTH, _ENLARGED * drawing.width)
    figure = DrawnFigure(drawing, width, max(min(room, _TALLEST), 1.0))
    figure.hAlign = "CENTER"
    spare = max(room - figure.height - 1, 0.0)
    # What is signed stands at the foot.
    *risks, signed = below
    return [*above, figure, *risks, Spacer(1, spare), signed]


def _marks(page: PageModel, scale: float) -> Flowable:
    return paragraph("  ·  ".join(page.marks), style(7.5 * scale, quiet=True))


def _above(page: PageModel, front: FrontPage, scale: float, beside: str) -> list[Flowable]:
    found: list[Flowable] = [_marks(page, scale), _Title(front.question, 15 * scale)]
    answer = [paragraph(front.answer, style(11.5 * scale, bold=True))]
    if beside:
        answer.append(paragraph(beside, style(8.5 * scale, quiet=True, spaceBefore=3)))
    bar = ("LINEBEFORE", (0, 0), (0, -1), 3, COLOURS["accent"])
    padding = (2, 0, 2, 9)
    found.append(table([[answer]], [WIDTH], bar, padding=padding, spaceBefore=4, spaceAfter=4))
    size = 7.5 * scale
    share = (WIDTH - _BETWEEN * (len(front.money) - 1)) / len(front.money)
    cells = [list(grid_flowables(grid, share, size)) for grid in front.money]
    widths = [share + _BETWEEN] * (len(cells) - 1) + [share]
    found.append(table([cells], widths, padding=(0, 0, 0, 0), spaceAfter=2))
    title = front.chart.drawing.title
    found.append(
        paragraph(front.chart.caption, style(size, quiet=True, spaceBefore=6), f"{title}.")
    )
    return found


def _below(front: FrontPage, scale: float) -> list[Flowable]:
    found: list[Flowable] = [
        paragraph("Three risks", style(10 * scale, bold=True, spaceBefore=6, spaceAfter=2))
    ]
    look = style(8.2 * scale, leftIndent=12, spaceAfter=2)
    found += [
        paragraph(risk.text, look, risk.lead, f"{n}.") for n, risk in enumerate(front.risks, 1)
    ]
    found.append(paragraph(front.caution, style(7.5 * scale, quiet=True, spaceBefore=3)))
    rows = [
        [paragraph(f"{who}:", style(9 * scale)), "", paragraph("Date:", style(9 * scale)), ""]
        for who in front.signed
    ]
    lines = [("LINEBELOW", (n, 0), (n, -1), 0.5, COLOURS["quiet"]) for n in (1, 3)]
    widths = [62, WIDTH - 62 - 36 - 100, 36, 100]
    signed = table(rows, widths, *lines, padding=(13 * scale, 4, 1, 0), spaceBefore=2)
    found.append(signed)
    return found


def _height(flowables: Iterable[Flowable]) -> float:
    each_alone: list[float] = [
        float(each.wrap(WIDTH, HEIGHT)[1]) + each.getSpaceBefore() + each.getSpaceAfter()
        for each in flowables
    ]
    return sum(each_alone)


class _Title(Words):  # type: ignore[misc]
    """The question, to which the outline of the PDF leads first."""

    def __init__(self, text: str, size: float) -> None:
        look = style(size, bold=True, spaceBefore=1, spaceAfter=3)
        super().__init__(escape(drawable(text)), look)

    def draw(self) -> None:
        """Called by the library with the canvas in place."""
        self.canv.bookmarkPage("front")
        self.canv.addOutlineEntry("To sign", "front", 0)
        super().draw()
