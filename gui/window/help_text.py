"""The help: files of Markdown in ``gui/help``, and what the program knows of itself.

A file is a chapter; files come in the order of their names, and may lead to one another and to
headings within by links such as ``[keys](2-without-a-menu.md)``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar

import linesim
from gui.window.page_list import GROUPS, PAGES

FOLDER = Path(__file__).parent.parent / "help"


@dataclass(frozen=True)
class Chapter:
    """``name`` is the file's, or what links call a chapter that has none."""

    name: str
    title: str
    markdown: str
    """Without its title."""


def chapters(bar: QMenuBar, folder: Path = FOLDER) -> tuple[Chapter, ...]:
    """All of the help, in order; keys are those of the menus as they are."""
    return (
        *(_of_file(file) for file in sorted(folder.glob("*.md"))),
        Chapter("keys", "Keys of the menus", "\n".join(_keys(bar))),
        Chapter("pages", "Pages", "\n\n".join(_pages())),
        Chapter("glossary", "Glossary", "\n\n".join(_glossary())),
    )


def _of_file(file: Path) -> Chapter:
    first, _, rest = file.read_text(encoding="utf-8").lstrip().partition("\n")
    return Chapter(file.name, first.lstrip("# ").strip(), rest)


def _keys(bar: QMenuBar) -> Iterator[str]:
    yield from ("| Menu | Keys | What |", "| --- | --- | --- |")
    for top in bar.actions():
        menu = top.menu()
        if isinstance(menu, QMenu):
            for action in menu.actions():
                if not action.shortcut().isEmpty():
                    keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
                    words = (_plain(each.text().replace("&", "")) for each in (top, action))
                    yield f"| {next(words)} | {_plain(keys)} | {next(words)} |"


def _pages() -> Iterator[str]:
    for group, names in GROUPS.items():
        yield f"## {group}"
        for name in names:
            page, study = PAGES[name], linesim.questions.STUDIES.get(name)
            yield f"### {page.title}"
            yield _plain(page.help)
            if page.help_more:
                yield page.help_more
            if study is not None:
                yield _plain(study.description)


def _glossary() -> Iterator[str]:
    for entry in linesim.report.GLOSSARY:
        unit = f" ({entry.unit})" if entry.unit else ""
        also = f" Also: {', '.join(entry.also)}." if entry.also else ""
        yield f"**{_plain(entry.term)}**{_plain(unit)}. {_plain(entry.meaning + also)}" + (
            f" *{_plain(entry.source)}*" if entry.standard else ""
        )


def _plain(text: str) -> str:
    """The text so that nothing in it is taken for mark-up."""
    for sign in "\\`*_[]<>|#&":
        text = text.replace(sign, "\\" + sign)
    return text
