"""The page as PDF, from the same model as the HTML: A4, pages numbered, fonts embedded."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from io import BytesIO
from textwrap import wrap
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    KeepTogether,
    ListFlowable,
    ListItem,
    PageBreak,
    Preformatted,
    Spacer,
    Table,
)
from reportlab.platypus import Paragraph as Words

from linesim.report.page.colours import LIGHT
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
)
from linesim.report.page.pdf_figures import DrawnFigure
from linesim.report.page.pdf_fonts import REGULAR, drawable, prepare_fonts
from linesim.report.page.pdf_grid import grid_flowables
from linesim.report.page.pdf_sheets import NumberedCanvas, PageDocument
from linesim.report.page.pdf_styles import (
    BODY,
    FONT,
    HEADING,
    MARGIN,
    SMALL,
    TALLEST,
    TITLE,
    WIDTH,
    paragraph,
    style,
)


def page_pdf(page: PageModel) -> bytes:
    """The page as the bytes of a PDF; the same page gives the same bytes."""
    prepare_fonts()
    story: list[Flowable] = [paragraph(page.title, TITLE)]
    if page.subtitle:
        story.append(paragraph(page.subtitle, style(9.5, quiet=True)))
    story.append(paragraph("  ·  ".join(page.marks), SMALL))
    story += _summary(page.summary)
    story.append(PageBreak())
    for section in (*page.evidence, *_figures_in_words(page)):
        story += _section(section)
    if not _all_drawable(page):
        story.append(
            paragraph(
                "Some signs in names are not in the font of this print and stand as \ufffd; the"
                " HTML form of this report shows them.",
                SMALL,
            )
        )
    out = BytesIO()
    document = PageDocument(
        out,
        pagesize=A4,
        leftMargin=MARGIN,
        rightMargin=MARGIN,
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
    document.footer = drawable(page.footer)
    document.build(story, canvasmaker=NumberedCanvas)
    return out.getvalue()


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
        super().__init__(escape(drawable(section.title)), HEADING)
        self._entry = section.title, section.name

    def draw(self) -> None:
        """Called by the library with the canvas in place."""
        title, key = self._entry
        self.canv.bookmarkPage(key)
        self.canv.addOutlineEntry(title, key, 0)
        super().draw()


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
        table = Table([cells], colWidths=[WIDTH / 2, WIDTH / 2], splitInRow=1)
        table.setStyle(
            [
                FONT,
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
        figure = _figure(first, WIDTH)
        return [KeepTogether([heading, *figure]), *body[1:]]
    return [CondPageBreak(56), heading, *body]


def _side_by_side(figures: Sequence[FigureBlock]) -> Iterator[Flowable]:
    """Small figures two by two."""
    width = (WIDTH - 16) / 2
    for start in range(0, len(figures), 2):
        cells = [_figure(figure, width) for figure in figures[start : start + 2]]
        cells += [[] for _ in range(2 - len(cells))]
        table = Table([cells], colWidths=[width + 8, width + 8])
        table.setStyle(
            [FONT, ("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (0, 0), 0)]
        )
        yield table


def _figure(block: FigureBlock, width: float) -> list[Flowable]:
    caption = paragraph(block.caption, SMALL, lead=f"{block.drawing.title}.")
    return [DrawnFigure(block.drawing, width, TALLEST), Spacer(1, 3), caption]


def _block(block: Block) -> Iterable[Flowable]:
    if isinstance(block, Paragraph):
        return [paragraph(block.text, SMALL if block.quiet else BODY, block.lead)]
    if isinstance(block, Points):
        items = [ListItem(paragraph(item, BODY), leftIndent=10) for item in block.items]
        bullet = {"bulletType": "bullet", "start": "•", "bulletFontName": REGULAR}
        return [ListFlowable(items, bulletFontSize=7, leftIndent=10, **bullet)] if items else []
    if isinstance(block, KeyFigures):
        return [_key_figures(block)]
    if isinstance(block, Notice):
        return [_notice(block)]
    if isinstance(block, Typed):
        typed = style(7.5, spaceBefore=3, spaceAfter=5, leftIndent=8)
        return [Preformatted(_broken(line), typed, maxLineLength=105) for line in block.lines]
    if isinstance(block, Grid):
        return grid_flowables(block)
    return [KeepTogether(_figure(block, WIDTH))]


def _broken(line: str) -> str:
    """A command in lines that fit, to be typed as they stand."""
    parts = wrap(drawable(line), 92, break_long_words=False, break_on_hyphens=False)
    return " \\\n    ".join(parts)


def _key_figures(block: KeyFigures) -> Table:
    cells = [
        [
            paragraph(item.name, SMALL),
            paragraph(item.value, style(12, bold=True)),
            *([paragraph(item.meaning, SMALL)] if item.meaning else []),
        ]
        for item in block.items
    ]
    table = Table([cells], colWidths=[WIDTH / len(cells)] * len(cells), spaceBefore=6, spaceAfter=5)
    table.setStyle(
        [
            FONT,
            ("LINEABOVE", (0, 0), (-1, 0), 2, HexColor(LIGHT["accent"])),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ]
    )
    return table


def _notice(block: Notice) -> Table:
    text = paragraph(block.text, BODY, NOTICES[block.kind])
    table = Table([[text]], colWidths=[WIDTH], spaceBefore=3, spaceAfter=3)
    table.setStyle(
        [
            FONT,
            ("BACKGROUND", (0, 0), (-1, -1), HexColor(LIGHT["warning"])),
            ("LINEBEFORE", (0, 0), (0, -1), 3, HexColor(LIGHT["warning_edge"])),
        ]
    )
    return table


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
