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
class KeyFigure:
    """A figure to be seen at a glance: what it is, its value with interval, what it means."""

    name: str
    value: str
    meaning: str = ""


@dataclass(frozen=True)
class KeyFigures:
    """Key figures side by side."""

    items: tuple[KeyFigure, ...]


@dataclass(frozen=True)
class Notice:
    """What must not be missed: a caution, or that the data are invented."""

    kind: Literal["caution", "invented", "note"]
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


Block = Paragraph | Points | KeyFigures | Notice | Grid | FigureBlock | Typed


@dataclass(frozen=True)
class Section:
    """A heading and what stands under it; two that are ``half`` may stand side by side."""

    name: str
    title: str
    blocks: tuple[Block, ...]
    half: bool = False


@dataclass(frozen=True)
class PageModel:
    """The whole report: the summary that is read first, then the evidence."""

    title: str
    subtitle: str
    marks: tuple[str, ...]
    """Short words under the title: invented, the date, the version."""
    summary: tuple[Section, ...]
    evidence: tuple[Section, ...]
    footer: str


def section_texts(section: Section) -> Iterator[str]:
    """All that is said under a heading, what is written in drawings left out."""
    yield section.title
    for block in section.blocks:
        match block:
            case Paragraph() | Notice():
                yield block.text
            case Points():
                yield from block.items
            case KeyFigures():
                for item in block.items:
                    yield from (item.name, item.meaning)
            case Grid():
                yield from (block.title, *block.columns, block.note)
                for row in block.rows:
                    yield from row
            case FigureBlock():
                yield from (block.caption, block.drawing.title, block.drawing.description)
            case Typed():
                pass
