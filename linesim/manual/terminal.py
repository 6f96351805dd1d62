"""A chapter as text for a terminal or a file."""

from __future__ import annotations

import re
from io import StringIO

from linesim.manual.chapters import chapter, chapters
from linesim.report.plain import WIDTH

_PICTURE = re.compile(r"!\[([^]]*)\]\([^)]*\)")
_LINK = re.compile(r"\[([^]]*)\]\(\d+-([\w-]+)\.md[^)]*\)")


def contents_text() -> str:
    """The names of the chapters and their titles."""
    longest = max(len(each.name) for each in chapters())
    rows = [f"{each.name.ljust(longest)}  {each.title}" for each in chapters()]
    how = "linesim manual CHAPTER prints one, linesim manual -o FILE writes all as one page."
    return "\n".join([*rows, "", how]) + "\n"


def chapter_text(name: str) -> str:
    """A chapter laid out in lines; what leads to another names it.

    Raises ``NoSuchChapterError`` where there is none of that name.
    """
    from rich.console import Console
    from rich.markdown import Markdown

    found = chapter(name)
    said = _PICTURE.sub(r"(Picture: \1.)", found.markdown)
    said = _LINK.sub(r"\1 (chapter \2)", said)
    paper = StringIO()
    console = Console(file=paper, width=WIDTH, emoji=False)
    console.print(Markdown(f"# {found.title}\n\n{said}", hyperlinks=False))
    return "".join(f"{line.rstrip()}\n" for line in paper.getvalue().splitlines())
