"""What the program is, what it is not, and how to work safely."""

from __future__ import annotations

from html import escape

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget

import linesim
from gui.look import KEPT

_COLUMNS, _ROWS = 96, 34
_COMMON_PRACTICE = (
    "The figures of known stop causes are common practice, with no source. Put in those of your"
    " own log before you decide anything."
)


def about_html() -> str:
    """The text of the dialog, as HTML."""

    def items(lines: tuple[str, ...]) -> str:
        return "".join(f"<li>{escape(line)}</li>" for line in lines)

    return (
        f"<h3>linesim {escape(linesim.__version__)}</h3>"
        "<p>What a sheeting-and-wrapping line will really deliver, why it falls short of its"
        " nameplate, and what to change.</p>"
        f"<h4>Cautions</h4><ul>{items(tuple(linesim.report.CAUTIONS))}</ul>"
        f"<h4>Limits of the model</h4><ul>{items((*linesim.report.LIMITS, _COMMON_PRACTICE))}</ul>"
        "<p>The demo lines are invented: none of them exists. The manual (F1) lists all limits.</p>"
    )


class About(QDialog):
    """A dialog with cautions and limits."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("About linesim")
        letter, line = self.fontMetrics().averageCharWidth(), self.fontMetrics().lineSpacing()
        self.resize(_COLUMNS * letter, _ROWS * line)
        text = QTextBrowser()
        text.setAccessibleName(self.windowTitle())
        text.setHtml(about_html())
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addWidget(text)
        layout.addWidget(buttons)
        KEPT.window(self)


def show_about(parent: QWidget) -> None:
    """Show it until it is closed."""
    about = About(parent)
    about.exec()
    about.deleteLater()
