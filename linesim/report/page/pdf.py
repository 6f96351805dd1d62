"""The page as PDF, from the same model as the HTML: A4, pages numbered, fonts embedded."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
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
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    KeepTogether,
    PageBreak,
    PageTemplate,
    Preformatted,
)
from reportlab.platypus import Paragraph as Words

from linesim.report.page.choice import LEAST_FILLED
from linesim.report.page.html import NOTICES
from linesim.report.page.model import (
    Block,
    FigureBlock,
    Grid,
    Notice,
    PageModel,
    Paragraph,
    Points,
    Section,
    Typed,
)
from linesim.report.page.pdf_figures import DrawnFigure
from linesim.report.page.pdf_front import front_flowables
from linesim.report.page.pdf_grid import LEAST_OF_LONG, grid_flowables, is_short
from linesim.report.page.pdf_styles import (
    BODY,
    BOTTOM,
    COLOURS,
    HEIGHT,
    MARGIN,
    PADDING,
    REGULAR,
    SMALL,
    TOP,
    WIDTH,
    drawable,
    paragraph,
    prepare_fonts,
    style,
    table,
)

_HEADING = style(11, bold=True, spaceBefore=7, spaceAfter=3)
_POINT = style(8.2, spaceAfter=2, leftIndent=10)
_CAPTION = style(7.5, quiet=True, spaceBefore=3, spaceAfter=3)
_TYPED = style(7.5, spaceBefore=3, spaceAfter=5, leftIndent=8)
_HALF = WIDTH / 2
_Kept = list[Flowable]
"""What the end of a page does not part, as long as it is no longer than a page."""
_BETWEEN = 12.0
_NOT_IN_FONT = (
    "Some signs in names are not in the font of this print and stand as \ufffd; the HTML form of"
    " this report shows them."
)


def page_pdf(page: PageModel) -> bytes:
    """The page as the bytes of a PDF; the same page gives the same bytes."""
    prepare_fonts()
    lacking = any(drawable(text) != text for text in page.texts())
    story: list[_Kept] = [[each] for each in front_flowables(page)]
    breaks: list[_Kept] = [[PageBreak()]] if page.front else []
    for sections in (page.evidence, page.appendix):
        if sections:
            laid = _story(sections)
            if lacking and sections is page.evidence:
                laid.append([paragraph(_NOT_IN_FONT, SMALL)])
            story += [*breaks, *_spread(laid)]
            breaks = [[PageBreak()]]
    out = BytesIO()
    document = _Document(out, _Page, title=page.title)
    document.build(
        _to_build(story), canvasmaker=partial(_NumberedCanvas, footer=drawable(page.footer))
    )
    return out.getvalue()


class PageMeasure:
    """Says of each page that sections take how much is filled, 0 to 1; they begin on a new one."""

    def __init__(self) -> None:
        prepare_fonts()
        self._known: dict[int, tuple[Block, list[_Kept]]] = {}

    def __call__(self, sections: Iterable[Section]) -> list[float]:
        """Of each page, in order."""
        return _filled(_spread(_story(sections, self._flowables)))

    def _flowables(self, block: Block) -> list[_Kept]:
        """Made once: the same blocks are laid out again and again."""
        if id(block) not in self._known:
            self._known[id(block)] = block, _block(block)
        return self._known[id(block)][1]


def _filled(story: Iterable[_Kept]) -> list[float]:
    document = _Document(BytesIO(), _UndrawnPage)
    document.build(_to_build(story))
    return document.filled


def _to_build(story: Iterable[_Kept]) -> list[Flowable]:
    """The flowables in their order, ready to be laid out, if need be once more."""
    found: list[Flowable] = []
    for kept in story:
        for each in kept:
            # The library marks what did not fit where it stood, and bears that once.
            vars(each).pop("_postponed", None)
        found += kept if len(kept) == 1 else [KeepTogether(kept)]
    return found


def _spread(story: list[_Kept]) -> list[_Kept]:
    """The same with its end moved on, where the last page would hold next to nothing."""
    filled = _filled(story)
    if len(filled) < 2 or filled[-1] >= LEAST_FILLED:
        return story
    for at in range(len(story) - 1, 0, -1):
        moved = [*story[:at], [PageBreak()], *story[at:]]
        filled = _filled(moved)
        if min(filled) >= LEAST_FILLED:
            return moved
    return story


class _Document(BaseDocTemplate):  # type: ignore[misc]
    """Pages of A4 with a frame each; ``filled`` says how much of it was used."""

    def __init__(self, out: BytesIO, frame: type[_Page], **options: Any) -> None:
        super().__init__(
            out,
            pagesize=A4,
            author="linesim",
            lang="en-GB",
            # Else the library names a font that is not embedded.
            initialFontName=REGULAR,
            # No moment of making in the file: the same report gives the same bytes.
            invariant=1,
            **options,
        )
        self.filled: list[float] = []
        left, width = MARGIN - PADDING, WIDTH + 2 * PADDING
        only = frame(left, BOTTOM, width, A4[1] - TOP - BOTTOM, id="page")
        self.addPageTemplates(PageTemplate(frames=[only], pagesize=A4))

    def afterPage(self) -> None:  # noqa: N802 - the library's name
        self.filled.append(self.frame.filled)


class _Page(Frame):  # type: ignore[misc]
    @property
    def filled(self) -> float:
        """The share of its height that is used."""
        return float(1 - (self._y - BOTTOM - PADDING) / HEIGHT)


class _UndrawnPage(_Page):
    """Finds places for what it is given and draws nothing."""

    def add(self, flowable: Flowable, canv: Canvas, trySplit: int = 0) -> int:  # noqa: N803
        flowable.drawOn = _nothing
        try:
            placed: int = super().add(flowable, canv, trySplit)
        finally:
            del flowable.drawOn
        return placed


def _nothing(*_: Any, **__: Any) -> None:
    pass


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


def _story(
    sections: Iterable[Section], made: Callable[[Block], list[_Kept]] | None = None
) -> list[_Kept]:
    return [part for section in sections for part in _section(section, made or _block)]


def _section(section: Section, made: Callable[[Block], list[_Kept]]) -> list[_Kept]:
    body: list[_Kept] = []
    for small, blocks in groupby(section.blocks, lambda b: isinstance(b, FigureBlock) and b.small):
        if small:
            body += _two_by_two([_figure(block, _HALF - _BETWEEN) for block in blocks])  # type: ignore[arg-type]
        else:
            body += [part for block in blocks for part in made(block)]
    heading, first = _Heading(section), section.blocks[0]
    # A heading does not stand alone at the foot of a page.
    if isinstance(first, Grid) and not is_short(first):
        return [[CondPageBreak(LEAST_OF_LONG + 30)], [heading], *body]
    return [[heading, *body[0]], *body[1:]]


def _two_by_two(cells: Sequence[list[Flowable]]) -> Iterator[_Kept]:
    for start in range(0, len(cells), 2):
        row = [*cells[start : start + 2], []][:2]
        yield [table([row], [_HALF, _HALF], padding=(0, _BETWEEN, 0, 0))]


def _figure(block: FigureBlock, width: float) -> list[Flowable]:
    caption = paragraph(block.caption, _CAPTION, lead=f"{block.drawing.title}.")
    return [DrawnFigure(block.drawing, width), caption]


def _block(block: Block) -> list[_Kept]:
    match block:
        case Paragraph():
            return [[paragraph(block.text, SMALL if block.quiet else BODY, block.lead)]]
        case Points():
            return [[paragraph(item, _POINT, bullet="•")] for item in block.items]
        case Notice():
            text = paragraph(block.text, BODY, NOTICES[block.kind])
            looks = (
                ("BACKGROUND", (0, 0), (-1, -1), COLOURS["warning"]),
                ("LINEBEFORE", (0, 0), (0, -1), 3, COLOURS["warning_edge"]),
            )
            padding = (3, 6, 3, 6)
            return [[table([[text]], [WIDTH], *looks, padding=padding, spaceBefore=3)]]
        case Typed():
            return [
                [Preformatted(_broken(line), _TYPED, maxLineLength=105)] for line in block.lines
            ]
        case Grid():
            whole = grid_flowables(block)
            if is_short(block):
                return [whole]
            return [[CondPageBreak(LEAST_OF_LONG)], *([each] for each in whole)]
        case FigureBlock():
            return [_figure(block, WIDTH)]


def _broken(line: str) -> str:
    """A command in lines that fit, to be typed as they stand."""
    parts = wrap(drawable(line), 92, break_long_words=False, break_on_hyphens=False)
    return " \\\n    ".join(parts)
