"""All chapters as one HTML page: contents, anchors, pictures in it; no network, no script."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup

from linesim.manual.chapters import FOLDER, Chapter, anchor_of, chapters, name_of
from linesim.report.page.html import style, templates
from linesim.version import __version__

_KINDS = {".svg": "image/svg+xml", ".png": "image/png"}


@dataclass(frozen=True)
class _Part:
    """A chapter, or a heading below it: where it is and what it is called."""

    anchor: str
    title: str


@dataclass(frozen=True)
class _Section:
    """A chapter on the page: what leads to it, the headings below it, and its text."""

    part: _Part
    below: tuple[_Part, ...]
    html: Markup


def manual_html() -> str:
    """The manual as text; the same bytes each time. It loads nothing and runs no script.

    Raises ``OSError`` where a picture cannot be read.
    """
    template = templates("linesim.manual").get_template("manual.html")
    return template.render(
        style=style("linesim.manual", "manual.css"),
        sections=[_section(each) for each in chapters()],
        version=__version__,
    )


def _section(chapter: Chapter) -> _Section:
    parser = MarkdownIt("commonmark", {"html": False}).enable("table")
    tokens = parser.parse(chapter.markdown)
    below = tuple(_headings(chapter.name, tokens))
    for token in tokens:
        if token.type == "inline":
            for child in token.children or ():
                _lead(chapter.name, child)
        elif token.type == "table_open":
            token.attrSet("tabindex", "0")
    html = parser.renderer.render(tokens, parser.options, {})
    return _Section(_Part(chapter.name, chapter.title), below, Markup(html))


def _headings(chapter: str, tokens: list[Token]) -> Iterator[_Part]:
    """Gives each heading its anchor; those of the second level stand in the contents."""
    for token, text in pairwise(tokens):
        if token.type == "heading_open":
            title = "".join(child.content for child in text.children or ())
            anchor = f"{chapter}-{anchor_of(title)}"
            token.attrSet("id", anchor)
            if token.tag == "h2":
                yield _Part(anchor, title)


def _lead(chapter: str, token: Token) -> None:
    """Links between chapters lead within the page; a picture stands in it."""
    if token.type == "link_open":
        file, _, heading = str(token.attrGet("href")).partition("#")
        if file.endswith(".md"):
            name = name_of(file)
            token.attrSet("href", f"#{name}-{heading}" if heading else f"#{name}")
    elif token.type == "image":
        token.attrSet("src", _data_uri(FOLDER / str(token.attrGet("src"))))


@cache
def _data_uri(file: Path) -> str:
    return f"data:{_KINDS[file.suffix]};base64,{base64.b64encode(file.read_bytes()).decode()}"
