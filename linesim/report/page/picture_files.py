"""Pictures as files of their own: each as SVG and as PDF, with its title and what is said of it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from io import BytesIO
from pathlib import Path

from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas

from linesim.files import write_bytes
from linesim.plant.fitting import CauseFit, with_trend
from linesim.plant.log_columns import plain
from linesim.report.answers import Answer
from linesim.report.answers.stop_fit_charts import fit_charts
from linesim.report.page.drawing import Drawing, Text
from linesim.report.page.evidence import line_part, losses_part
from linesim.report.page.model import FigureBlock
from linesim.report.page.pdf_figures import DrawnFigure
from linesim.report.page.pdf_styles import BOLD, COLOURS, REGULAR, prepare_fonts
from linesim.report.page.study_charts import chart_figure
from linesim.report.page.svg import svg_file
from linesim.report.page.typical import typical_shift
from linesim.report.picture_style import WHOLE
from linesim.studies import Replicated

_LONGEST = 60
_TITLE, _SAID, _MARGIN = 9.0, 7.0, 8.0
_LEADING = 1.35


def write_pictures(folder: Path, figures: Iterable[FigureBlock]) -> tuple[Path, ...]:
    """Write NAME.svg and NAME.pdf of each figure into *folder*, made if need be.

    The same figure gives the same bytes. Raises ``OSError`` where they cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for figure in figures:
        framed = _framed(figure)
        for ending, data in (("svg", svg_file(framed).encode()), ("pdf", _pdf(framed))):
            path = folder / f"{figure.name}.{ending}"
            write_bytes(path, data)
            written.append(path)
    return tuple(written)


def answer_figures(answer: Answer) -> Iterator[FigureBlock]:
    """The charts of an answer."""
    return map(chart_figure, answer.charts)


def run_figures(replicated: Replicated) -> Iterator[FigureBlock]:
    """The line, a typical shift with its states and bridge level, losses and rates."""
    shift = typical_shift(replicated, replicated.warm_up_h)
    parts = line_part(replicated, shift), losses_part(replicated, on_page_one=False)
    for _, block in (each for part in parts for each in part.blocks):
        if isinstance(block, FigureBlock):
            yield block


def fit_figures(fits: Sequence[CauseFit]) -> Iterator[FigureBlock]:
    """The charts of fitted causes, each named after its cause."""
    changing = with_trend(fits)
    seen: set[str] = set()
    for number, fit in enumerate(fits):
        for chart in fit_charts(fit, changes=fit in changing):
            stem = re.sub(r"[^a-z0-9]+", "-", plain(fit.matched.cause)).strip("-")[:_LONGEST]
            name = f"{stem or number}-{chart.name}"
            if name in seen:
                name = f"{stem}-{number}-{chart.name}"
            seen.add(name)
            yield chart_figure(chart, name)


def write_fit_pictures(folder: Path, fits: Sequence[CauseFit]) -> tuple[Path, ...]:
    """Write each picture of each cause into *folder*; as :func:`write_pictures` does."""
    return write_pictures(folder, fit_figures(fits))


def _framed(figure: FigureBlock) -> Drawing:
    """The drawing with its title above it and its caption below, as marks of its own."""
    prepare_fonts()
    drawing = figure.drawing
    # What is wider than a page of A4 is printed smaller.
    times = max(1.0, drawing.width / WHOLE)
    room = drawing.width - 2 * _MARGIN
    marks, y = [], 0.0
    for text, font, size in ((drawing.title, BOLD, _TITLE), (figure.caption, REGULAR, _SAID)):
        size *= times
        lines = simpleSplit(text, font, size, room)
        bold = font == BOLD
        for line in lines:
            y += _LEADING * size
            marks.append(Text(_MARGIN, y, line, "ink" if bold else "quiet", size, bold=bold))
        if bold:
            top = y = y + 0.4 * size
            y += drawing.height
    moved = [mark.moved(top) for mark in drawing.marks]
    return replace(drawing, height=y + _MARGIN, marks=[*marks, *moved])


def _pdf(drawing: Drawing) -> bytes:
    """One page as large as the drawing, its text in fonts that are embedded."""
    scale = min(1.0, WHOLE / drawing.width)
    size = drawing.width * scale, drawing.height * scale
    out = BytesIO()
    canvas = Canvas(out, pagesize=size, invariant=1, initialFontName=REGULAR, lang="en-GB")
    canvas.setTitle(drawing.title)
    canvas.setAuthor("linesim")
    canvas.setFillColor(COLOURS["ink"])
    DrawnFigure(drawing, *size).drawOn(canvas, 0, 0)
    canvas.save()
    return out.getvalue()
