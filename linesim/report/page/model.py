"""What a report page is made of. Both renderers, for the screen and for print, show all of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from linesim.report.page.drawing import Drawing


@dataclass(frozen=True)
class Paragraph:
    """A few sentences; ``lead`` is said before them in bold."""

    text: str
    lead: str = ""
    quiet: bool = False


@dataclass(frozen=True)
class Points:
    """Sentences that stand side by side, each a point of its own."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Notice:
    """What must not be missed: a caution, or that the data are invented."""

    kind: Literal["caution", "invented"]
    text: str


@dataclass(frozen=True)
class Grid:
    """A table of texts. ``left`` says which columns hold words and not figures.

    ``names`` are columns that are not broken within a line where there is room to scroll.
    """

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    left: frozenset[int] = frozenset({0})
    note: str = ""
    names: frozenset[int] = frozenset()


@dataclass(frozen=True)
class FigureBlock:
    """A figure with its caption; figures that are ``small`` may stand side by side."""

    name: str
    drawing: Drawing
    caption: str
    small: bool = False


@dataclass(frozen=True)
class Typed:
    """What somebody types to get the same again."""

    lines: tuple[str, ...]


Block = Paragraph | Points | Notice | Grid | FigureBlock | Typed


@dataclass(frozen=True)
class Section:
    """A heading and what stands under it."""

    name: str
    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class FrontPage:
    """What is signed: one page of A4, whatever the texts."""

    question: str
    answer: str
    """One sentence."""
    beside: str
    """The line as it is; left out in print where there is no room for it."""
    money: tuple[Grid, ...]
    """Side by side."""
    chart: FigureBlock
    risks: tuple[Paragraph, ...]
    caution: str
    signed: tuple[str, ...] = ("Prepared", "Checked", "Decided")

    @property
    def section(self) -> Section:
        """The same as a section, for what is asked of all of them."""
        said = (Paragraph(text) for text in (self.answer, self.beside, self.caution))
        blocks: tuple[Block, ...] = (*said, *self.money, self.chart, *self.risks)
        return Section("front", self.question, blocks)


@dataclass(frozen=True)
class PageModel:
    """The whole report: the page that is signed, the evidence, and what is read where asked for."""

    title: str
    subtitle: str
    marks: tuple[str, ...]
    """Short words above the question: the line, invented, the date, the version."""
    front: FrontPage | None
    """None for a page that nobody signs."""
    evidence: tuple[Section, ...]
    appendix: tuple[Section, ...]
    footer: str

    @property
    def sections(self) -> tuple[Section, ...]:
        """Everything behind page one."""
        return (*self.evidence, *self.appendix)

    def texts(self) -> Iterator[str]:
        """All that is said, what is written in drawings left out."""
        yield from (self.title, self.subtitle)
        front = (self.front.section,) if self.front else ()
        for section in (*front, *self.sections):
            yield from section_texts(section)


def section_texts(section: Section) -> Iterator[str]:
    """All that is said under a heading, what is written in drawings left out."""
    yield section.title
    for block in section.blocks:
        match block:
            case Paragraph():
                yield from (block.lead, block.text)
            case Notice():
                yield block.text
            case Points():
                yield from block.items
            case Grid():
                yield from (block.title, *block.columns, block.note)
                for row in block.rows:
                    yield from row
            case FigureBlock():
                yield from (block.caption, block.drawing.title, block.drawing.description)
            case Typed():
                pass


@dataclass(frozen=True)
class PlayerPage:
    """What a page that plays a run says besides the run."""

    name: str
    note: str
    marks: tuple[str, ...]
    told: str
    """The paragraph on the line, or on the stop where one was put in; may be empty."""
    further: str
    """What else there is to say of the stop that was put in; may be empty."""
    put_in: bool
    invented: str
    cautions: tuple[str, ...]
    limits: tuple[str, ...]
    covers: tuple[str, ...]
    """What its figures are about, and what the file leaves out."""
