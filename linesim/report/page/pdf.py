"""The page as PDF, from the same model as the HTML: A4, pages numbered, fonts embedded."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from io import BytesIO
from textwrap import wrap
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    KeepTogether,
    ListFlowable,
    ListItem,
    PageBreak,
    Preformatted,
    SimpleDocTemplate,
    Spacer,
    Table,
)
from reportlab.platypus import Paragraph as Words

from linesim.report.page.colours import LIGHT
from linesim.report.page.html import NOTICES, unbroken
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
)
from linesim.report.page.pdf_figures import DrawnFigure
from linesim.report.page.pdf_fonts import BOLD, REGULAR, drawable, prepare_fonts

_MARGIN = 48.0
_PADDING = 6.0
_WIDTH = A4[0] - 2 * (_MARGIN + _PADDING)
_TALLEST = 600.0
_INK, _QUIET = HexColor(LIGHT["ink"]), HexColor(LIGHT["quiet"])


def _style(size: float, *, bold: bool = False, quiet: bool = False, **more: Any) -> ParagraphStyle:
    return ParagraphStyle(
        f"{size}{bold}{quiet}{sorted(more.items())}",
        fontName=BOLD if bold else REGULAR,
        fontSize=size,
        leading=size * 1.35,
        textColor=_QUIET if quiet else _INK,
        **more,
    )


_TITLE = _style(18, bold=True, spaceAfter=2)
_HEADING = _style(11, bold=True, spaceBefore=7, spaceAfter=3)
_TABLE_TITLE = _style(9, bold=True, spaceBefore=8, spaceAfter=3)
_BODY = _style(8.2, spaceAfter=2)
_SMALL = _style(7.5, quiet=True, spaceAfter=3)
_CELL = _style(7, splitLongWords=1)
_FIGURE_CELL = _style(7, alignment=2)
_HEAD = _style(7, quiet=True)
_FIGURE_HEAD = _style(7, quiet=True, alignment=2)


def page_pdf(page: PageModel) -> bytes:
    """The page as the bytes of a PDF; the same page gives the same bytes."""
    prepare_fonts()
    story: list[Flowable] = [_said(page.title, _TITLE)]
    if page.subtitle:
        story.append(_said(page.subtitle, _style(9.5, quiet=True)))
    story.append(_said("  ·  ".join(page.marks), _SMALL))
    story += _summary(page.summary)
    story.append(PageBreak())
    for section in page.evidence:
        story += _section(section)
    if not _all_drawable(page):
        story.append(
            _said(
                "Some signs in names are not in the font of this print and stand as \ufffd; the"
                " HTML form of this report shows them.",
                _SMALL,
            )
        )
    out = BytesIO()
    document = _Document(
        out,
        pagesize=A4,
        leftMargin=_MARGIN,
        rightMargin=_MARGIN,
        topMargin=34,
        bottomMargin=46,
        title=page.title,
        author="linesim",
        lang="en-GB",
        # No moment of making in the file: the same report gives the same bytes.
        invariant=1,
    )
    document.footer = drawable(page.footer)
    document.build(story, canvasmaker=_NumberedCanvas)
    return out.getvalue()


class _Document(SimpleDocTemplate):  # type: ignore[misc]
    """Hands its footer to the canvas that writes the pages."""

    footer = ""

    def handle_documentBegin(self) -> None:  # noqa: N802 - the library's name
        super().handle_documentBegin()
        self.canv.footer = self.footer


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


class _NumberedCanvas(Canvas):  # type: ignore[misc]
    """Writes "page 2 of 7" when the last page is known."""

    footer = ""

    def __init__(self, *arguments: Any, **options: Any) -> None:
        super().__init__(*arguments, **options)
        self._pages: list[dict[str, Any]] = []

    def showPage(self) -> None:  # noqa: N802 - the library's name
        """Keep the page until all are known."""
        self._pages.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        """Number the pages and write them."""
        pages = self._pages
        for number, page in enumerate(pages, 1):
            self.__dict__.update(page)
            self.setFillColor(_QUIET)
            self.setFont(REGULAR, 7)
            self.drawString(_MARGIN + _PADDING, 30, _fitting(self.footer, _WIDTH - 80))
            self.drawRightString(A4[0] - _MARGIN - _PADDING, 30, f"page {number} of {len(pages)}")
            super().showPage()
        super().save()


def _fitting(text: str, width: float) -> str:
    while text and pdfmetrics.stringWidth(text, REGULAR, 7) > width:
        text = text[:-2].rstrip() + "…"
    return text


def _said(text: str, style: ParagraphStyle, lead: str = "") -> Words:
    """A paragraph of plain text: nothing in it is taken for mark-up."""
    text = unbroken(text)
    first = f'<font name="{BOLD}">{escape(drawable(lead))}</font> ' if lead else ""
    return Words(first + escape(drawable(text)), style)


def _summary(sections: Sequence[Section]) -> list[Flowable]:
    """The first page; sections that may stand side by side do."""
    story: list[Flowable] = []
    halves: list[Section] = []
    for section in sections:
        if section.half:
            halves.append(section)
            continue
        story += _halves(halves)
        halves = []
        story += _section(section)
    return story + list(_halves(halves))


def _halves(sections: Sequence[Section]) -> Iterator[Flowable]:
    for start in range(0, len(sections), 2):
        cells = [_section(section)[1:] for section in sections[start : start + 2]]
        cells += [[] for _ in range(2 - len(cells))]
        table = Table([cells], colWidths=[_WIDTH / 2, _WIDTH / 2], splitInRow=1)
        table.setStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (0, -1), 0),
                ("RIGHTPADDING", (0, 0), (0, -1), 12),
                ("RIGHTPADDING", (1, 0), (1, -1), 0),
                ("TOPPADDING", (0, 0), (-1, -1), 0),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
            ]
        )
        yield table


def _section(section: Section) -> list[Flowable]:
    heading = _Heading(section)
    body: list[Flowable] = []
    waiting: list[FigureBlock] = []
    for block in section.blocks:
        if isinstance(block, FigureBlock) and block.small:
            waiting.append(block)
            continue
        body += _side_by_side(waiting)
        waiting = []
        body += _block(block)
    body += _side_by_side(waiting)
    first = section.blocks[0] if section.blocks else None
    # A heading does not stand alone at the foot of a page.
    if isinstance(first, FigureBlock) and first.small:
        return [KeepTogether([heading, body[0]]), *body[1:]]
    if isinstance(first, FigureBlock):
        figure = _figure(first, _WIDTH)
        return [KeepTogether([heading, *figure]), *body[1:]]
    return [CondPageBreak(56), heading, *body]


def _side_by_side(figures: Sequence[FigureBlock]) -> Iterator[Flowable]:
    """Small figures two by two."""
    width = (_WIDTH - 16) / 2
    for start in range(0, len(figures), 2):
        cells = [_figure(figure, width) for figure in figures[start : start + 2]]
        cells += [[] for _ in range(2 - len(cells))]
        table = Table([cells], colWidths=[width + 8, width + 8])
        table.setStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (0, 0), 0)])
        yield table


def _figure(block: FigureBlock, width: float) -> list[Flowable]:
    caption = _said(block.caption, _SMALL, lead=f"{block.drawing.title}.")
    return [DrawnFigure(block.drawing, width, _TALLEST), Spacer(1, 3), caption]


def _block(block: Block) -> Iterable[Flowable]:
    if isinstance(block, Paragraph):
        return [_said(block.text, _SMALL if block.quiet else _BODY, block.lead)]
    if isinstance(block, Points):
        items = [ListItem(_said(item, _BODY), leftIndent=10) for item in block.items]
        bullet = {"bulletType": "bullet", "start": "•", "bulletFontName": REGULAR}
        return [ListFlowable(items, bulletFontSize=7, leftIndent=10, **bullet)] if items else []
    if isinstance(block, KeyFigures):
        return [_key_figures(block)]
    if isinstance(block, Notice):
        return [_notice(block)]
    if isinstance(block, Typed):
        style = _style(7.5, spaceBefore=3, spaceAfter=5, leftIndent=8)
        return [Preformatted(_broken(line), style, maxLineLength=105) for line in block.lines]
    if isinstance(block, Grid):
        return _grid(block)
    return [KeepTogether(_figure(block, _WIDTH))]


def _broken(line: str) -> str:
    """A command in lines that fit, to be typed as they stand."""
    parts = wrap(drawable(line), 92, break_long_words=False, break_on_hyphens=False)
    return " \\\n    ".join(parts)


def _key_figures(block: KeyFigures) -> Table:
    cells = [
        [
            _said(item.name, _SMALL),
            _said(item.value, _style(12, bold=True)),
            *([_said(item.meaning, _SMALL)] if item.meaning else []),
        ]
        for item in block.items
    ]
    table = Table([cells], colWidths=[_WIDTH / len(cells)] * len(cells), spaceAfter=5)
    table.setStyle(
        [
            ("LINEABOVE", (0, 0), (-1, 0), 2, HexColor(LIGHT["accent"])),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ]
    )
    return table


def _notice(block: Notice) -> Table:
    said = _said(block.text, _BODY, NOTICES[block.kind])
    table = Table([[said]], colWidths=[_WIDTH], spaceBefore=3, spaceAfter=3)
    table.setStyle(
        [
            ("BACKGROUND", (0, 0), (-1, -1), HexColor(LIGHT["warning"])),
            ("LINEBEFORE", (0, 0), (0, -1), 3, HexColor(LIGHT["warning_edge"])),
        ]
    )
    return table


def _grid(block: Grid) -> Iterable[Flowable]:
    head = [
        _said(name, _HEAD if n in block.left else _FIGURE_HEAD)
        for n, name in enumerate(block.columns)
    ]
    rows = [
        [_said(cell, _CELL if n in block.left else _FIGURE_CELL) for n, cell in enumerate(row)]
        for row in block.rows
    ]
    table = Table(
        [head, *rows],
        colWidths=_widths(block),
        repeatRows=1,
        hAlign="LEFT",
        # A cell taller than a page is broken across pages, not refused.
        splitInRow=1,
    )
    table.setStyle(
        [
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
            ("LINEBELOW", (0, 0), (-1, 0), 0.75, HexColor(LIGHT["faint"])),
            ("LINEBELOW", (0, 1), (-1, -1), 0.4, HexColor(LIGHT["grid"])),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 8),
            ("TOPPADDING", (0, 0), (-1, -1), 1.5),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
        ]
    )
    note = [_said(block.note, _SMALL)] if block.note else []
    note.insert(0, Spacer(1, 4))
    return [CondPageBreak(60), _said(block.title, _TABLE_TITLE), table, *note]


def _widths(block: Grid) -> list[float]:
    """Widths of columns in points: as the texts want, words giving way where there is no room."""
    wanted = []
    for n, name in enumerate(block.columns):
        texts = [row[n] for row in block.rows]
        widest = max([pdfmetrics.stringWidth(drawable(t), REGULAR, 7) for t in texts], default=0.0)
        longest = max(pdfmetrics.stringWidth(part, REGULAR, 7) for part in [*name.split(), ""])
        # A heading may take two lines, not more.
        heading = 0.62 * pdfmetrics.stringWidth(drawable(name), REGULAR, 7)
        wanted.append(9.0 + max(widest, longest, heading, 20.0))
    if sum(wanted) <= _WIDTH:
        return wanted
    words = [n for n in range(len(wanted)) if n in block.left and n not in block.names]
    fixed = sum(w for n, w in enumerate(wanted) if n not in words)
    if not words or fixed > 0.7 * _WIDTH:
        return [w * _WIDTH / sum(wanted) for w in wanted]
    # A word column asks for no more than a good third, so that one long note starves no other.
    asked = {n: min(wanted[n], 0.38 * _WIDTH) for n in words}
    share = min(1.0, (_WIDTH - fixed) / sum(asked.values()))
    return [asked[n] * share if n in words else w for n, w in enumerate(wanted)]


def _all_drawable(page: PageModel) -> bool:
    texts = [page.title, page.subtitle]
    for section in (*page.summary, *page.evidence):
        for block in section.blocks:
            if isinstance(block, Grid):
                texts += [cell for row in block.rows for cell in row]
            elif isinstance(block, Points):
                texts += block.items
            elif isinstance(block, Paragraph):
                texts.append(block.text)
    return all(drawable(text) == text for text in texts)
