"""Finding words on the page that is looked at, in all its tables."""

from __future__ import annotations

from PySide6.QtWidgets import QPlainTextEdit

from gui.look import FindRow
from gui.window.page_switcher import PageSwitcher


class PageFind(FindRow):
    """Looks on the page, and in the scenario's text where the keyboard is there."""

    def __init__(self, pages: PageSwitcher, scenario_text: QPlainTextEdit) -> None:
        super().__init__(pages.stack.currentWidget(), closes=True)
        self._pages, self._text = pages, scenario_text
        pages.turned.connect(lambda _: self.look_in(pages.stack.currentWidget()))

    def begin(self) -> None:
        """Where the keyboard is."""
        if self._text.hasFocus():
            self.look_in(self._text)
        elif not self.words.hasFocus():
            self.look_in(self._pages.stack.currentWidget())
        super().begin()

    def look(self) -> None:
        """Tables that wait to be looked at are filled first."""
        from gui.pages.answer_view import AnswerView

        for answer in self._pages.current.findChildren(AnswerView):
            answer.show_all()
        super().look()
