"""Cut, copy, paste and select all for whatever has the focus: fields, texts, tables, charts."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import (
    QAbstractItemView,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QTableWidget,
    QTextEdit,
    QWidget,
)

from gui.charts import ChartWidget
from gui.charts.clipboard import copy_cells
from gui.form import EntryList
from gui.pages.answer_table import AnswerTableView

_Text = QLineEdit | QTextEdit | QPlainTextEdit
_Act = Callable[[], object]


def cut() -> None:
    """Move what is chosen to the clipboard."""
    _do(_cut_of(QApplication.focusWidget()))


def copy() -> None:
    """Put what is chosen on the clipboard: of a chart its picture, of a table its cells."""
    _do(copy_of(QApplication.focusWidget()))


def paste() -> None:
    """Put in what the clipboard has."""
    _do(_paste_of(QApplication.focusWidget()))


def select_all() -> None:
    """Choose all of a text or a table."""
    widget = QApplication.focusWidget()
    chosen = widget if isinstance(widget, QAbstractItemView) else _text_of(widget)
    _do(None if chosen is None else chosen.selectAll)


def copy_of(widget: QWidget | None) -> _Act | None:
    """What copies from a widget; None where nothing can be."""
    if isinstance(widget, ChartWidget):
        return widget.copy_picture
    if isinstance(widget, AnswerTableView | EntryList):
        return widget.copy
    if isinstance(widget, QTableWidget):
        return lambda: copy_cells(widget)
    text = _text_of(widget)
    return None if text is None else text.copy


def _cut_of(widget: QWidget | None) -> _Act | None:
    text = _text_of(widget)
    return None if text is None or text.isReadOnly() else text.cut


def _paste_of(widget: QWidget | None) -> _Act | None:
    if isinstance(widget, EntryList):
        return widget.paste
    text = _text_of(widget)
    return None if text is None or text.isReadOnly() else text.paste


def _text_of(widget: QWidget | None) -> _Text | None:
    if isinstance(widget, QAbstractSpinBox | QComboBox):
        return widget.lineEdit()
    return widget if isinstance(widget, _Text) else None


def _do(act: _Act | None) -> None:
    if act is not None:
        act()
