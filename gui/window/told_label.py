"""Sentences over a picture: in short, and whole for who asks for it."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

import linesim
from gui.look import one_decimal, plain_tip
from gui.window.scrolling_label import ScrollingLabel

_ALL = "all"


class ToldLabel(ScrollingLabel):
    """Words with a link to the rest of them, and one to where they lead."""

    followed = Signal()
    """Somebody wants to know more of what the link is of."""

    def __init__(self, name: str, link: str = "", parent: QWidget | None = None) -> None:
        """``link``: where these words stand, they lead further."""
        super().__init__(name, parent)
        self._link = link
        self.text = self._short = ""
        """The whole of what is told, without links."""
        self._is_whole = False
        self.label.setTextFormat(Qt.TextFormat.RichText)
        self.label.setTextInteractionFlags(Qt.TextInteractionFlag.TextBrowserInteraction)
        self.label.linkActivated.connect(self._follow)

    def tell(self, whole: str, short: str) -> None:
        """Tell this, as long as is asked for."""
        self.text, self._short = whole, short
        self._show()

    def _show(self) -> None:
        whole = self.text
        words = one_decimal(whole if self._is_whole else self._short)
        said = escape(linesim.report.unbroken(words))
        if self._link:
            said = said.replace(self._link, f'<a href="further">{self._link}</a>', 1)
        if whole != self._short:
            words = "in short" if self._is_whole else "the whole paragraph"
            said += f' <a href="{_ALL}">({words})</a>'
        self.show_text(said, all_of_it=self._is_whole)
        self.label.setToolTip(plain_tip(whole if one_decimal(whole) != whole else ""))

    def _follow(self, link: str) -> None:
        if link == _ALL:
            self._is_whole = not self._is_whole
            self._show()
        else:
            self.followed.emit()
