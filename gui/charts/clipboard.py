"""The clipboard, in more forms than one, and what is left in it when the program ends."""

from __future__ import annotations

import atexit

from PySide6.QtCore import QMimeData
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QTableWidget
from shiboken6 import isValid

_held: list[QMimeData] = []
"""What was put there last; Qt takes it away when something else takes its place."""


def put(data: QMimeData) -> None:
    """Put it on the clipboard, in all the forms it has."""
    if not _held:
        atexit.register(leave_simple)
    QGuiApplication.clipboard().setMimeData(data)
    _held[:] = [data]


def put_picture(picture: QImage, drawing: bytes) -> None:
    """Put a picture there, and the same as SVG."""
    both = QMimeData()
    both.setImageData(picture)
    both.setData("image/svg+xml", drawing)
    put(both)


def copy_cells(table: QTableWidget) -> None:
    """Copy what is chosen of a table, all of it where nothing is, as a spreadsheet takes it.

    The names of the columns go first.
    """
    chosen = [(index.row(), index.column()) for index in table.selectedIndexes()]
    rows = sorted({row for row, _ in chosen}) or range(table.rowCount())
    columns = sorted({column for _, column in chosen}) or range(table.columnCount())
    heads = (table.horizontalHeaderItem(column) for column in columns)
    lines = ["\t".join(" ".join(head.text().split()) for head in heads if head is not None)]
    for row in rows:
        cells = (table.item(row, column) for column in columns)
        lines.append("\t".join("" if cell is None else cell.text() for cell in cells))
    QGuiApplication.clipboard().setText("\n".join(lines))


def leave_simple() -> None:
    """Leave the picture or the words alone, where what was put there is there still.

    What is made here belongs to Python, and Qt may take the clipboard down when Python is gone:
    that ended the program with a fault of memory. Plain words and pictures are Qt's own.
    """
    if QGuiApplication.instance() is None or not any(isValid(data) for data in _held):
        return
    clipboard = QGuiApplication.clipboard()
    if _held[0].hasImage():
        clipboard.setImage(QImage(clipboard.image()))
    else:
        clipboard.setText(_held[0].text())
