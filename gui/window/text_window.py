"""A text to be read, copied or saved: what the commands print, inside the window."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui import dialogs
from gui.look import KEPT, FindRow, fixed_font, set_icon
from gui.window.error_box import show_error

_COLUMNS = 104
_AROUND_ROWS = 7
"""What stands above and below the text, as lines of it."""
_FEWEST_ROWS, _ROWS = 14, 34
"""As many lines as are read at a time; where there are less, room for them."""


class TextPane(QPlainTextEdit):
    """A text with columns that stand under each other."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setReadOnly(True)
        self.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        self.setFont(fixed_font())

    def event(self, event: QEvent) -> bool:
        """A letter of its own does not grow with the others by itself."""
        if event.type() == QEvent.Type.ApplicationFontChange:
            self.setFont(fixed_font())
        return super().event(event)

    def full_size(self, rows: int = _ROWS) -> tuple[int, int]:
        """Width and height that show a whole line, and so many of them."""
        metrics = self.fontMetrics()
        around = 2 * (self.frameWidth() + round(self.document().documentMargin()))
        bar = self.verticalScrollBar().sizeHint().width()
        wide = metrics.horizontalAdvance("x" * _COLUMNS) + around + bar
        return wide, metrics.height() * rows


class TextWindow(QDialog):
    """A window of its own, which does not hold up the other one."""

    def __init__(
        self, title: str, text: str, parent: QWidget | None = None, *, wrapped: bool = False
    ) -> None:
        """``wrapped``: lines are sentences, no columns, and go on below."""
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(title)
        self.setModal(False)
        self.text = TextPane()
        self.text.setAccessibleName(title)
        self.text.setPlainText(text)
        if wrapped:
            self.text.setLineWrapMode(QPlainTextEdit.LineWrapMode.WidgetWidth)
        buttons = QDialogButtonBox()
        self.copy = QPushButton("&Copy all")
        set_icon(self.copy, "copy")
        self.copy.clicked.connect(lambda: QGuiApplication.clipboard().setText(text))
        self.save = QPushButton("&Save as text…")
        self.save.clicked.connect(
            lambda: save_text_asked(
                self, title, text, "Text (*.txt)", dialogs.file_name(title, suffix="txt")
            )
        )
        set_icon(self.save, "save")
        for button in (self.copy, self.save):
            buttons.addButton(button, QDialogButtonBox.ButtonRole.ActionRole)
        # Last, as it stands: Tab goes in the order in which they come in.
        close = buttons.addButton(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        self.find = FindRow(self.text)
        for part in (self.find, self.text, buttons):
            layout.addWidget(part)
        close.setDefault(True)
        rows = min(_ROWS, max(_FEWEST_ROWS, text.count("\n") + _AROUND_ROWS))
        self.resize(QSize(*self.text.full_size(rows)))
        KEPT.window(self)


def save_text_asked(parent: QWidget, title: str, text: str, kinds: str, name: str = "") -> bool:
    """Ask where a text goes, and write it; says what did not work."""
    chosen = dialogs.ask_file(parent, title, name, kinds)
    if chosen is None:
        return False
    try:
        linesim.files.write_text(chosen, text)
    except OSError as error:
        show_error(parent, f"{chosen} could not be written.", str(error))
        return False
    dialogs.WRITTEN.told.emit(chosen)
    return True
