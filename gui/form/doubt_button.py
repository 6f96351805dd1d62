"""How sure a figure is, in small print beside it, and the way to say so."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QToolButton, QWidget

from gui.document import Document
from gui.form.doubt_dialog import DoubtDialog, origin_of
from gui.form.typed import shown
from gui.look import plain_tip

KEYS = "Ctrl+B"


class DoubtButton(QToolButton):
    """The ends between which a figure is known, such as 46 – 54; hidden where it has no doubt.

    ``said`` is what the figure is called, ``mark`` what stands before the ends where nothing beside
    them tells which figure they are of. ``action`` states them, and is offered on other widgets.
    """

    def __init__(
        self,
        document: Document,
        said: str,
        parent: QWidget | None = None,
        *,
        mark: str = "",
    ) -> None:
        super().__init__(parent)
        self._document, self._said, self._mark = document, said, mark
        self._field = self._part = self._unit = ""
        self.action = QAction(f"{mark} known between…".strip().capitalize(), self)
        self.action.setShortcut(KEYS)
        self.action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        self.action.triggered.connect(self.ask)
        self.setAutoRaise(True)
        self.clicked.connect(self.ask)
        self.hide()

    def offer_on(self, *widgets: QWidget) -> None:
        """Offer to state the ends in the context menus of these, and by keys where these are."""
        for widget in widgets:
            widget.addAction(self.action)

    def point_at(self, field: str, part: str = "", *, unit: str = "") -> None:
        """Show the figure of a field from now on: its value or mean, or another ``part`` of it."""
        self._field, self._part, self._unit = field, part, unit
        self.refresh()

    def refresh(self) -> None:
        """Show what the document says now."""
        document, field = self._document, self._field
        doubt = document.doubts(field).get(self._part)
        stated = document.value(field) is not None or document.default(field) is not None
        self.action.setEnabled(document.is_readable and (stated or doubt is not None))
        self.setEnabled(document.is_readable)
        self.setVisible(doubt is not None)
        if doubt is None:
            return
        ends = doubt.get("between")
        ends = ends if isinstance(ends, list) else [ends]
        words = " – ".join(shown(end) or "?" for end in ends)
        self.setText(f"{self._mark} {words}".strip())
        self.setAccessibleName(f"{self._said} known between {words} {self._unit}".strip())
        notes = (note for note in (shown(doubt.get("why")), origin_of(doubt)) if note)
        self.setToolTip(plain_tip("\n".join(notes)))

    def ask(self) -> None:
        """Ask for the ends, and put them into the document."""
        DoubtDialog(
            self._document, self._field, self._part, self._said, self._unit, self.window()
        ).open()
