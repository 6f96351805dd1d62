"""The page as PDF, from the same model as the HTML: A4, pages numbered, fonts embedded."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from io import BytesIO
from itertools import groupby
from textwrap import wrap
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.pagesizes import A4
from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    ListFlowable,
    ListItem,
    PageBreak,
    Preformatted,
    SimpleDocTemplate,
)
from reportlab.platypus import Paragraph as Words

from linesim.report.page.html import NOTICES
from linesim.report.page.model import (
    Block,
    FigureBlock,
    Grid,
    KeyFigures,
    Notice,
    PageModel,
    Paragraph,
    Points,
    Section,
    Typed,
    section_texts,
)
from linesim.report.page.pdf_figures import DrawnFigure
from linesim.report.page.pdf_grid import grid_flowables
from linesim.report.page.pdf_styles import (
    BODY,
    COLOURS,
    MARGIN,
    REGULAR,
    SMALL,
    WIDTH,
    drawable,
    paragraph,
    prepare_fonts,
    style,
    table,
)

_TITLE = style(18, bold=True, spaceAfter=2)
_HEADING = style(11, bold=True, spaceBefore=7, spaceAfter=3)
_KEY = style(12, bold=True)
_CAPTION = style(7.5, quiet=True, spaceBefore=3, spaceAfter=3)
_TYPED = style(7.5, spaceBefore=3, spaceAfter=5, leftIndent=8)
_HALF = WIDTH / 2
_BETWEEN = 12.0
_NOT_IN_FONT = (
    "Some signs in names are not in the font of this print and stand as \ufffd; the HTML form of"
    " this report shows them."
)


def page_pdf(page: PageModel) -> bytes:
    """The page as the bytes of a PDF; the same page gives the same bytes."""
    prepare_fonts()
    story = [paragraph(page.title, _TITLE)]
    if page.subtitle:
        story.append(paragraph(page.subtitle, style(9.5, quiet=True)))
    story.append(paragraph("  ·  ".join(page.marks), SMALL))
    for half, sections in groupby(page.summary, lambda section: section.half):
        if half:
            story += _two_by_two([_section(each)[1:] for each in sections], splitInRow=1)
        else:
            story += [part for each in sections for part in _section(each)]
    story.append(PageBreak())
    for section in (*page.evidence, *_figures_in_words(page)):
        story += _section(section)
    said = [text for each in (*page.summary, *page.evidence) for text in section_texts(each)]
    if any(drawable(text) != text for text in (page.title, page.subtitle, *said)):
        story.append(paragraph(_NOT_IN_FONT, SMALL))
    out = BytesIO()
    document = SimpleDocTemplate(
        out,
        pagesize=A4,
        # A frame of the library has a padding of 6 points.
        leftMargin=MARGIN - 6,
        rightMargin=MARGIN - 6,
        topMargin=34,
        bottomMargin=46,
        title=page.title,
        author="linesim",
        lang="en-GB",
        # Else the library names a font that is not embedded.
        initialFontName=REGULAR,
        # No moment of making in the file: the same report gives the same bytes.
        invariant=1,
    )
    document.build(story, canvasmaker=partial(_NumberedCanvas, footer=drawable(page.footer)))
    return out.getvalue()


class _NumberedCanvas(Canvas):  # type: ignore[misc]
    """Writes footers, with "page 2 of 7", when the last page is known."""

    def __init__(self, *arguments: Any, footer: str, **options: Any) -> None:
        super().__init__(*arguments, **options)
        first, *more = simpleSplit(footer, REGULAR, 7, WIDTH - 80) or [""]
        self._footer = first + "…" * bool(more)
        self._pages: list[dict[str, Any]] = []

    def showPage(self) -> None:  # noqa: N802 - the library's name
        self._pages.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        pages = self._pages
        for number, page in enumerate(pages, 1):
            self.__dict__.update(page)
            self.setFillColor(COLOURS["quiet"])
            self.setFont(REGULAR, 7)
            self.drawString(MARGIN, 30, self._footer)
            self.drawRightString(A4[0] - MARGIN, 30, f"page {number} of {len(pages)}")
            super().showPage()
        super().save()


def _figures_in_words(page: PageModel) -> Iterator[Section]:
    """What each figure shows, for a reader who cannot see it; the HTML has it at the figure."""
    blocks = tuple(
        Paragraph(block.drawing.description, f"{block.drawing.title}.")
        for section in page.evidence
        for block in section.blocks
        if isinstance(block, FigureBlock)
    )
    if blocks:
        yield Section("figures", "The figures in words", blocks)


class _Heading(Words):  # type: ignore[misc]
    """The heading of a section; where it is laid down, the outline of the PDF leads."""

    def __init__(self, section: Section) -> None:
        super().__init__(escape(drawable(section.title)), _HEADING)
        self._entry = section.title, section.name

    def draw(self) -> None:
        """Called by the library with the canvas in place."""
        title, key = self._entry
        self.canv.bookmarkPage(key)
        self.canv.addOutlineEntry(title, key, 0)
        super().draw()


def _section(section: Section) -> list[Flowable]:
    heading = _Heading(section)
    body: list[Flowable] = []
    for small, blocks in groupby(section.blocks, lambda b: isinstance(b, FigureBlock) and b.small):
        if small:
            body += _two_by_two([_figure(block, _HALF - _BETWEEN) for block in blocks])  # type: ignore[arg-type]
        else:
            body += [part for block in blocks for part in _block(block)]
    # A heading does not stand alone at the foot of a page.
    heading.keepWithNext = bool(section.blocks) and isinstance(section.blocks[0], FigureBlock)
    return [CondPageBreak(56), heading, *body]


def _two_by_two(cells: Sequence[list[Flowable]], **options: Any) -> Iterator[Flowable]:
    for start in range(0, len(cells), 2):
        row = [*cells[start : start + 2], []][:2]
        yield table([row], [_HALF, _HALF], padding=(0, _BETWEEN, 0, 0), **options)


def _figure(block: FigureBlock, width: float) -> list[Flowable]:
    caption = paragraph(block.caption, _CAPTION, lead=f"{block.drawing.title}.")
    return [DrawnFigure(block.drawing, width), caption]


def _block(block: Block) -> Iterable[Flowable]:
    match block:
        case Paragraph():
            return [paragraph(block.text, SMALL if block.quiet else BODY, block.lead)]
        case Points():
            items = [ListItem(paragraph(item, BODY), leftIndent=10) for item in block.items]
            bullet = {"bulletType": "bullet", "start": "•", "bulletFontName": REGULAR}
            return [ListFlowable(items, bulletFontSize=7, leftIndent=10, **bullet)] if items else []
        case KeyFigures():
            cells = [
                [paragraph(item.name, SMALL), paragraph(item.value, _KEY)]
                + [paragraph(text, SMALL) for text in [item.meaning] if text]
                for item in block.items
            ]
            widths = [WIDTH / len(cells)] * len(cells)
            above = ("LINEABOVE", (0, 0), (-1, 0), 2, COLOURS["accent"])
            return [
                table([cells], widths, above, padding=(3, 6, 3, 0), spaceBefore=6, spaceAfter=5)
            ]
        case Notice():
            text = paragraph(block.text, BODY, NOTICES[block.kind])
            looks = (
                ("BACKGROUND", (0, 0), (-1, -1), COLOURS["warning"]),
                ("LINEBEFORE", (0, 0), (0, -1), 3, COLOURS["warning_edge"]),
            )
            padding = (3, 6, 3, 6)
            return [table([[text]], [WIDTH], *looks, padding=padding, spaceBefore=3, spaceAfter=3)]
        case Typed():
            return [Preformatted(_broken(line), _TYPED, maxLineLength=105) for line in block.lines]
        case Grid():
            return grid_flowables(block)
        case FigureBlock():
            return _figure(block, WIDTH)


def _broken(line: str) -> str:
    """A command in lines that fit, to be typed as they stand."""
    parts = wrap(drawable(line), 92, break_long_words=False, break_on_hyphens=False)
    return " \\\n    ".join(parts)
