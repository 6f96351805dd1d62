"""Everything that is wrong, on top of the form, each with links to the fields it is about."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from gui.document import Document, field_label
from gui.form.field_row import fault_text
from gui.look import CLOSE, NEAR, PlainLabel, palette_of
from linesim.scenario import Fault
from linesim.statistics import counted

_MOST_SHOWN = 30
_LINES_HIGH = 6


class FaultList(QScrollArea):
    """Contradictions first: they are about several fields and stand nowhere else together.

    ``asked`` names the field of a link that was followed, ``asked_line`` the line of the text.
    """

    asked = Signal(str)
    asked_line = Signal(int)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.text = PlainLabel()
        self.text.setWordWrap(True)
        self.text.setTextFormat(Qt.TextFormat.RichText)
        self.text.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.text.setContentsMargins(NEAR, CLOSE, NEAR, CLOSE)
        self.text.setTextInteractionFlags(
            Qt.TextInteractionFlag.LinksAccessibleByMouse
            | Qt.TextInteractionFlag.LinksAccessibleByKeyboard
        )
        self.text.linkActivated.connect(self._follow)
        self.setWidget(self.text)
        self.refresh()

    def refresh(self) -> None:
        """Show the faults of the document now."""
        faults = sorted(self._document.faults, key=lambda fault: not fault.concerns)
        self.setVisible(bool(faults))
        if not faults:
            self.text.clear()
            return
        colour = palette_of(self).trouble
        count = len(faults)
        runs = "the run shown is of the last scenario without faults."
        if self._document.scenario is None:
            runs = "the line cannot run yet."
        head = f"▲ {counted(count, 'fault')}: {runs}"
        parts = [f'<span style="color:{colour}"><b>{head}</b></span>']
        parts += [self._words(fault) for fault in faults[:_MOST_SHOWN]]
        if count > _MOST_SHOWN:
            parts.append(f"… and {count - _MOST_SHOWN} more.")
        self.text.setText("<br>".join(parts))
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "text"):
            self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        most = _LINES_HIGH * self.fontMetrics().lineSpacing() + 12
        self.setFixedHeight(min(most, self.text.heightForWidth(self.viewport().width()) + 2))

    def _words(self, fault: Fault) -> str:
        if not fault.field:
            place = f'<a href="line:{fault.line or 1}">line {fault.line or 1}</a>'
            return f"{place}: {escape(fault_text(fault))}"
        words = f"{self._link(fault.field)}: {escape(fault_text(fault))}"
        if fault.concerns:
            words += " (see also " + ", ".join(self._link(name) for name in fault.concerns) + ")"
        return words

    def _link(self, name: str) -> str:
        title = field_label(name, self._document.data)
        return f'<a href="field:{escape(name)}">{escape(title)}</a>'

    def _follow(self, link: str) -> None:
        kind, _, where = link.partition(":")
        if kind == "line":
            self.asked_line.emit(int(where))
        else:
            self.asked.emit(where)
