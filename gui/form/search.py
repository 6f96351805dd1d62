"""Finding a field by a word of its name, its help or its unit."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPalette
from PySide6.QtWidgets import (
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.document import Document, help_words
from gui.form.editors import plain
from gui.form.entries import entries_of, group_words, name_of
from gui.form.typed import shown
from gui.look import CLOSE, QuietLabel

Index = QModelIndex | QPersistentModelIndex
_WRAPPED = int(Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap)


@dataclass(frozen=True)
class Found:
    """A field that was found: where it is and how it is told apart."""

    name: str
    title: str
    help: str


def find(document: Document, asked: str) -> list[Found]:
    """Fields whose name, label, help or unit hold every word of *asked*.

    First comes what is called just so, then what is called so among other words, then what holds
    the words anywhere in its names; fields whose help only speaks of it come last. Of a list the
    entries that are called so are found, and each field once, in its first entry.
    """
    words = asked.casefold().split()
    phrase = " ".join(words)
    called: list[tuple[int, Found]] = []
    spoken: list[Found] = []
    currency = linesim.scenario.currency_of(document.data)
    for group in linesim.scenario.field_groups() if words else ():
        entries = entries_of(document, group) if group.is_list else []
        for index in range(len(entries)):
            title = f"{linesim.report.capital(group.label)}: {name_of(document, group, index)}"
            if holds(title, words):
                found = Found(f"{group.name}[{index}]", title, group_words(group))
                called.append((_rank(phrase, group.label, title), found))
        owner = f"{group.name}[0]" if group.is_list else group.name
        for field in group.fields if entries or not group.is_list else ():
            name = f"{owner}.{field.name}"
            value = document.value(name)
            value = value if value is not None else document.default(name)
            says = plain(value) if field.choices else shown(value)
            unit = linesim.scenario.unit_in(field.unit, currency)
            unit = f" {linesim.report.unit_words(unit)}" if unit and says else ""
            title = f"{linesim.report.capital(group.label)}: {field.label}"
            if says and not group.is_list:
                title += f" = {says[:40]}{unit}"
            found = Found(name, title, field.help)
            if holds(f"{group.label} {group.name} {field.label} {field.name} {field.unit}", words):
                called.append((_rank(phrase, field.label, group.label), found))
            elif holds(f"{group.label} {field.label} {field.help}", words):
                spoken.append(found)
    return [each for _, each in sorted(called, key=lambda ranked: ranked[0])] + spoken


def _rank(phrase: str, *names: str) -> int:
    folded = [name.casefold() for name in names]
    return 0 if phrase in folded else 1 if any(phrase in name for name in folded) else 2


class _Hits(QStyledItemDelegate):
    """What a field is called stands out; what its help says of it is quieter, below."""

    def _laid_out(
        self, option: QStyleOptionViewItem, index: Index, x: int, y: int, width: int
    ) -> list[tuple[str, QFont, QRect]]:
        called = QFont(option.font)
        called.setBold(True)
        laid_out, y = [], y + CLOSE
        words = str(index.data()).split("\n", 1)
        for text, font in zip(words, (called, option.font), strict=True):
            room = QRect(x + CLOSE, y, width - 2 * CLOSE, 10_000)
            taken = QFontMetrics(font).boundingRect(room, _WRAPPED, text)
            laid_out.append(
                (text, font, QRect(room.topLeft(), QSize(room.width(), taken.height())))
            )
            y += taken.height()
        return laid_out

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        wide = option.rect.width()
        return QSize(wide, self._laid_out(option, index, 0, 0, wide)[-1][2].bottom() + CLOSE)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        self.initStyleOption(option, index)
        option.text = ""
        style = option.widget.style()
        style.drawControl(QStyle.ControlElement.CE_ItemViewItem, option, painter, option.widget)
        chosen = option.state & QStyle.StateFlag.State_Selected
        group = QPalette.ColorGroup.Active
        at = option.rect
        painter.save()
        roles = (QPalette.ColorRole.Text, QPalette.ColorRole.PlaceholderText)
        parts = self._laid_out(option, index, at.x(), at.y(), at.width())
        for role, (text, font, area) in zip(roles, parts, strict=True):
            shown_role = QPalette.ColorRole.HighlightedText if chosen else role
            painter.setPen(option.palette.color(group, shown_role))
            painter.setFont(font)
            painter.drawText(area, _WRAPPED, text)
        painter.restore()


class SearchPage(QWidget):
    """What was found, to go there by a click or the return key."""

    chosen = Signal(str)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self.list = QListWidget()
        self.list.setAccessibleName("fields found")
        self.list.setItemDelegate(_Hits(self.list))
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.list.itemActivated.connect(self._choose)
        self.list.itemClicked.connect(self._choose)
        self.words = QuietLabel()
        column = QVBoxLayout(self)
        column.addWidget(self.words)
        column.addWidget(self.list)

    def search(self, asked: str) -> None:
        """Show what is found for *asked*."""
        found = find(self._document, asked)
        self.list.clear()
        for hit in found:
            item = QListWidgetItem(f"{hit.title}\n{help_words(hit.help)}")
            item.setData(Qt.ItemDataRole.UserRole, hit.name)
            self.list.addItem(item)
        self.list.setCurrentRow(0)
        count = len(found)
        self.words.setText(
            f"{linesim.statistics.counted(count, 'field')} for “{asked.strip()}”"
            if found
            else f"No field is called “{asked.strip()}” or speaks of it."
        )

    def take_first(self) -> None:
        """Go to the field that is marked."""
        if (item := self.list.currentItem()) is not None:
            self._choose(item)

    def _choose(self, item: QListWidgetItem) -> None:
        self.chosen.emit(item.data(Qt.ItemDataRole.UserRole))


def holds(text: str, words: list[str]) -> bool:
    """Whether every one of these words, in small letters, is in the text."""
    folded = text.casefold().replace("_", " ")
    return all(word.replace("_", " ") in folded for word in words)
