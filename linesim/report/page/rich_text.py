"""The page as plain rich text: for a printer that a toolkit of windows lays pages out for.

Such toolkits know tables, headings and pictures, but no drawing within the text, no style sheet
with variables, no script.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from linesim.report.page.html import NOTICES
from linesim.report.page.model import (
    Block,
    FigureBlock,
    Grid,
    Notice,
    PageModel,
    Paragraph,
    Points,
    Typed,
)
from linesim.report.page.svg import svg_on_paper
from linesim.report.unbroken import unbroken

_PX_PER_POINT = 96 / 72
_OF_FIGURES = 'align="right" style="white-space:nowrap"'


@dataclass(frozen=True)
class RichText:
    """``html`` names the ``pictures``, which are SVG in light colours."""

    html: str
    pictures: dict[str, bytes]


def rich_text(page: PageModel) -> RichText:
    """Everything behind page one of a report; all there is of a page that has none to sign."""
    pictures: dict[str, bytes] = {}
    said = [Markup("<p><small>{}</small></p>").format(" · ".join(page.marks))]
    for section in page.sections:
        said.append(Markup("<h2>{}</h2>").format(section.title))
        for small, blocks in groupby(section.blocks, lambda b: isinstance(b, FigureBlock)):
            if small:
                said += _two_by_two([_figure(each, pictures) for each in blocks])  # type: ignore[arg-type]
            else:
                said += [part for block in blocks for part in _block(block)]
    return RichText("\n".join(said), pictures)


def _two_by_two(figures: list[Markup]) -> Iterator[Markup]:
    for start in range(0, len(figures), 2):
        cells = (Markup('<td width="50%">{}</td>').format(each) for each in figures[start:][:2])
        yield Markup('<table width="100%"><tr>{}</tr></table>').format(Markup("").join(cells))


def _figure(block: FigureBlock, pictures: dict[str, bytes]) -> Markup:
    drawing, name = block.drawing, f"{block.name}.svg"
    pictures[name] = svg_on_paper(drawing).encode()
    wide, high = (round(_PX_PER_POINT * side) for side in (drawing.width, drawing.height))
    picture = Markup('<p><img src="{}" width="{}" height="{}"></p>').format(name, wide, high)
    return picture + _said(f"{drawing.title}.", block.caption)


def _block(block: Block) -> Iterator[Markup]:
    match block:
        case Paragraph():
            size = Markup("<small>{}</small>" if block.quiet else "{}")
            yield _said(block.lead, size.format(unbroken(block.text)))
        case Points():
            items = (Markup("<li>{}</li>").format(unbroken(item)) for item in block.items)
            yield Markup("<ul>{}</ul>").format(Markup("").join(items))
        case Notice():
            yield _said(NOTICES[block.kind], block.text)
        case Typed():
            yield Markup("<pre>{}</pre>").format("\n".join(block.lines))
        case Grid():
            yield _said(f"{block.title}.")
            yield _table(block)
            if block.note:
                yield Markup("<p><small>{}</small></p>").format(block.note)


def _said(lead: str, text: str = "") -> Markup:
    first = Markup("<b>{}</b> ").format(lead) if lead else ""
    return Markup("<p>{}{}</p>").format(first, text)


def _table(grid: Grid) -> Markup:
    """Rows with the head of the table on each page; figures stand to the right."""

    def row(cells: tuple[str, ...], cell: str) -> Markup:
        figures = 'align="right"' if cell == "th" else _OF_FIGURES
        looks = ('align="left"' if n in grid.left else figures for n in range(len(cells)))
        made = (
            Markup(f"<{cell} {look}>{{}}</{cell}>").format(unbroken(text))
            for look, text in zip(looks, cells, strict=True)
        )
        return Markup("<tr>{}</tr>").format(Markup("").join(made))

    return Markup('<table cellspacing="0" cellpadding="3"><thead>{}</thead>{}</table>').format(
        row(grid.columns, "th"), Markup("").join(row(each, "td") for each in grid.rows)
    )
