"""The chapters of the manual: files of Markdown in this folder, in the order of their names.

What the program knows of itself (fields, studies, known causes, words) is not written there a
second time: a line ``> Made when it is read: fields.`` stands for it. Chapters lead to one another,
and to headings in them, by links such as ``[keys](16-keys.md)``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from linesim.manual.made import MADE
from linesim.scenario import nearest

FOLDER = Path(__file__).parent
_MADE = re.compile(r"^> Made when it is read: (?P<what>\w+)(?: (?P<of>[\w-]+))?\.$", re.MULTILINE)
_NUMBER = re.compile(r"^\d+-")


@dataclass(frozen=True)
class Chapter:
    """``name`` is what one asks for, that of the file without its number and ending."""

    name: str
    title: str
    markdown: str
    """Without its title, and with what is made when it is read."""


class NoSuchChapterError(ValueError):
    """A chapter that the manual has not; says which it has."""


def name_of(file: str) -> str:
    """The name of the chapter in a file.

    >>> name_of("16-keys.md")
    'keys'
    """
    return _NUMBER.sub("", file).removesuffix(".md")


def anchor_of(title: str) -> str:
    """What leads to a heading.

    >>> anchor_of("Laws of chance"), anchor_of("bridge.length_m")
    ('laws-of-chance', 'bridge.length_m')
    """
    return re.sub(r"[^a-z0-9._]+", "-", title.lower()).strip("-")


@cache
def chapters(folder: Path = FOLDER) -> tuple[Chapter, ...]:
    """All of the manual, in order."""
    return tuple(_read(file) for file in sorted(folder.glob("*.md")))


def chapter(name: str) -> Chapter:
    """The chapter of that name; raises :class:`NoSuchChapterError`."""
    found = next((each for each in chapters() if each.name == name), None)
    if found is None:
        there = [each.name for each in chapters()]
        right = nearest(name, there) or f"one of {', '.join(there)}"
        raise NoSuchChapterError(f"there is no chapter {name!r}; right would be {right}")
    return found


def _read(file: Path) -> Chapter:
    title, _, rest = file.read_text(encoding="utf-8").partition("\n")
    made = _MADE.sub(lambda found: MADE[found["what"]](found["of"] or "").strip(), rest)
    return Chapter(name_of(file.name), title.removeprefix("# ").strip(), made.strip() + "\n")
