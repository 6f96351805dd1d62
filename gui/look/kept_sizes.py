"""Sizes that somebody gave to windows, to parts of pages and to columns, from one time to the next.

Nothing is kept larger than the screen at hand, and ``KEPT.to_standard`` leads back from all of it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Protocol

from PySide6.QtCore import QByteArray, QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QSplitter, QTableWidget, QTableWidgetItem, QWidget

from gui.look.wrapped_header import WrappedHeader

FRAME = QSize(8, 40)
"""What a window manager may put around a window, px."""
_BY_HAND = "arranged"
_MOST_LETTERS, _FEWEST_LETTERS = 40, 14
"""Words of a table leave room for the figures beside them, but are not broken to shreds."""
_FEW_LINES = 3
"""Sooner than that words take more lines, figures take two."""

_BEFORE_INTERVAL = re.compile(r" (?=[±(])")


class SizeStore(Protocol):
    """Where sizes are kept."""

    def get(self, name: str) -> QByteArray | None:
        """What is kept under a name."""

    def put(self, name: str, value: QByteArray) -> None:
        """Keep it."""

    def forget_sizes(self) -> None:
        """Keep none any more."""


class KeptSizes(QObject):
    """All sizes of the program; without a store nothing outlives what has it."""

    standard_again = Signal()
    """Whoever has a size takes that which it would have if nobody had changed it."""

    def __init__(self) -> None:
        super().__init__()
        self._store: SizeStore | None = None
        self._times_forgotten = 0

    def keep_in(self, store: SizeStore) -> None:
        """Keep them there from now on."""
        self._store = store

    def get(self, name: str) -> str:
        """What is kept under a name; an empty text for nothing."""
        kept = None if self._store is None else self._store.get(f"sizes/{name}")
        return "" if kept is None else kept.toStdString()

    def put(self, name: str, value: str) -> None:
        """Keep it."""
        if self._store is not None:
            self._store.put(f"sizes/{name}", QByteArray(value.encode()))

    def to_standard(self) -> None:
        """Forget them all, here and in the store."""
        if self._store is not None:
            self._store.forget_sizes()
        self._times_forgotten += 1
        self.standard_again.emit()

    def window(self, window: QWidget, name: str = "") -> None:
        """A dialog has the size it was given, the next time as well; it goes onto the screen."""
        _WindowSize(window, f"window/{name or type(window).__name__}")

    def splitter(self, splitter: QSplitter, name: str) -> None:
        """Its parts have the sizes they were given, the next time as well."""
        kept = self.get(f"parts/{name}")
        if kept and splitter.restoreState(QByteArray.fromHex(kept.encode())):
            splitter.setProperty(_BY_HAND, self._times_forgotten)

        def keep() -> None:
            self.put(f"parts/{name}", splitter.saveState().toHex().toStdString())

        splitter.splitterMoved.connect(keep)

    def arrange(self, splitter: QSplitter, standard: Callable[[], None]) -> None:
        """``standard``, a method of a widget, gives the parts their sizes until somebody does."""

        def arranged() -> None:
            splitter.setProperty(_BY_HAND, self._times_forgotten)

        splitter.splitterMoved.connect(arranged)
        self.standard_again.connect(standard)

    def by_hand(self, splitter: QSplitter) -> bool:
        """Whether somebody has given the parts their sizes."""
        return splitter.property(_BY_HAND) == self._times_forgotten


KEPT = KeptSizes()


def room_for(window: QWidget) -> QSize:
    """What the screen has room for where a window is, or will be, px."""
    beside = window.parentWidget()
    place = (beside.window() if beside is not None else window).frameGeometry().center()
    screen = QGuiApplication.screenAt(place) or QGuiApplication.primaryScreen()
    return screen.availableSize() - FRAME


class _WindowSize(QObject):
    def __init__(self, window: QWidget, name: str) -> None:
        super().__init__(window)
        self._window, self._name = window, name
        self._standard: QSize | None = None
        self._shown = QSize()
        window.installEventFilter(self)
        KEPT.standard_again.connect(self._to_standard)

    def _to_standard(self) -> None:
        if self._standard is not None:
            self._window.resize(self._standard)
            self._shown = self._window.size()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        # Of a window that is being collected Qt still tells, though Python has taken its parts.
        collected = "_window" not in self.__dict__
        if collected or watched is not self._window or event.spontaneous():
            return False
        if event.type() == QEvent.Type.Show and self._standard is None:
            room = room_for(self._window)
            self._standard = self._window.size().boundedTo(room)
            width, _, height = KEPT.get(self._name).partition(" ")
            kept = QSize(int(width), int(height)) if width and height else self._standard
            self._window.resize(kept.boundedTo(room))
            self._shown = self._window.size()
        elif event.type() == QEvent.Type.Hide and self._window.size() != self._shown:
            self._shown = self._window.size()
            if not self._window.isMaximized():
                KEPT.put(self._name, f"{self._shown.width()} {self._shown.height()}")
        return False


class KeptColumns(QObject):
    """Columns as wide as they need, within limits, but for those that somebody has dragged.

    The usual limit gives way where the table has room to spare. Where there is too little, headings
    that can be broken are, then words, then figures before their intervals.
    """

    def __init__(self, table: QTableWidget, most: Mapping[int, int] | None = None) -> None:
        """``most`` letters by the number of the column; without it all have the usual limit."""
        super().__init__(table)
        self._table, self._most = table, most
        self._name = ""
        self._fitting = False
        table.horizontalHeader().sectionResized.connect(self._resized)
        KEPT.standard_again.connect(self.fit)

    def fit(self, name: str = "") -> None:
        """Give them their widths, as of the table of this name; anew where none is said."""
        self._name = name or self._name
        letter, room = self._letter(), room_for(self._table).width()
        self._fitting = True
        self._table.resizeColumnsToContents()
        needed = [self._needed(column) for column in range(self._table.columnCount())]
        widths = [min(need, self._limit(n, need) * letter) for n, need in enumerate(needed)]
        for column in range(len(widths)):
            kept = KEPT.get(self._key(column))
            if kept:
                needed[column] = widths[column] = min(round(float(kept) * letter), room)
        self._narrow(widths)
        spare = max(0, self._table.viewport().width() - sum(widths))
        for column, need in enumerate(needed):
            more = min(spare, need - widths[column])
            spare -= more
            self._table.setColumnWidth(column, widths[column] + more)
        self._fitting = False
        self._fit_height()

    def _fit_height(self) -> None:
        header = self._table.horizontalHeader()
        if isinstance(header, WrappedHeader):
            header.fit_height()

    def _narrow(self, widths: list[int]) -> None:
        """Take from the widest column what is too much, as long as what breaks first gives way."""
        header = self._table.horizontalHeader()
        if not isinstance(header, WrappedHeader):
            return
        columns = [n for n in range(len(widths)) if not KEPT.get(self._key(n))]
        head = {n: header.least(n) for n in columns}
        whole = {n: min(widths[n], self._table.sizeHintForColumn(n) + 1) for n in columns}
        least = {n: min(whole[n], self._least(n)) for n in columns}
        short = {n: min(whole[n], max(least[n], self._in_few_lines(n))) for n in columns}
        words = {n: whole[n] if self._figures(n) else short[n] for n in columns}
        for inside in (whole, words, short, least):
            for _ in range(sum(widths) - self._table.viewport().width()):
                loose = [n for n in columns if widths[n] > max(head[n], inside[n])]
                if loose:
                    widths[max(loose, key=lambda n: widths[n])] -= 1

    def _least(self, column: int) -> int:
        """How narrow a column can be: no word is broken, and a figure only before its interval."""
        figures = self._figures(column)
        pieces = [
            piece
            for text in self._texts(column)
            for piece in (_BEFORE_INTERVAL.split(text) if figures else text.split(" "))
        ]
        longest = self._longest(pieces) + 2 * self._letter()
        return longest if figures else max(longest, _FEWEST_LETTERS * self._letter())

    def _in_few_lines(self, column: int) -> int:
        return 0 if self._figures(column) else self._longest(self._texts(column)) // _FEW_LINES

    def _longest(self, texts: list[str]) -> int:
        return max(map(self._table.fontMetrics().horizontalAdvance, texts), default=0)

    def _figures(self, column: int) -> bool:
        right = Qt.AlignmentFlag.AlignRight
        return any(item.textAlignment() & right for item in self._items(column))

    def _texts(self, column: int) -> list[str]:
        return [item.text() for item in self._items(column)]

    def _items(self, column: int) -> list[QTableWidgetItem]:
        items = (self._table.item(row, column) for row in range(self._table.rowCount()))
        return [item for item in items if item is not None]

    def _needed(self, column: int) -> int:
        """What a column needs, px: Qt measures what is written in cells, not what is put there."""
        table = self._table
        inside = [table.cellWidget(row, column) for row in range(table.rowCount())]
        widths = [each.sizeHint().width() for each in inside if each is not None]
        return max([table.columnWidth(column), *widths])

    def _limit(self, column: int, without: int) -> int:
        """The most letters of a column."""
        return _MOST_LETTERS if self._most is None else self._most.get(column, without)

    def _resized(self, column: int, _: int, width: int) -> None:
        last = column == self._table.columnCount() - 1
        stretched = last and self._table.horizontalHeader().stretchLastSection()
        if not self._fitting and not stretched and self._name:
            KEPT.put(self._key(column), f"{width / self._letter():.2f}")
        if not self._fitting:
            self._fit_height()

    def _letter(self) -> int:
        return self._table.fontMetrics().averageCharWidth()

    def _key(self, column: int) -> str:
        head = self._table.horizontalHeaderItem(column)
        words = "" if head is None else "-".join(head.text().split()).replace("/", "|")
        return f"columns/{self._name}/{column} {words}"
