"""The scenario as a form: sections in the order of the paper, one page at a time."""

from __future__ import annotations

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLineEdit,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.document import Document
from gui.form.entries_page import EntriesPage
from gui.form.fault_list import FaultList
from gui.form.field_row import FIELD
from gui.form.pages import FieldsPage
from gui.form.search import SearchPage
from gui.form.sections import Sections
from gui.form.text_page import TextPage
from gui.look import CLOSE

Page = FieldsPage | EntriesPage
_NARROW_CH = 95


class FormView(QWidget):
    """Form and text of the document; both change it and follow it."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self._groups = {group.name: group for group in linesim.scenario.field_groups()}
        self._pages: dict[str, Page] = {}
        self.search = QLineEdit()
        self.search.setAcceptDrops(False)  # Files are the window's to open.
        self.search.setPlaceholderText("Find a field: name, help or unit")
        self.search.setAccessibleName("find a field")
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self._search)
        self.faults = FaultList(document)
        self.faults.asked.connect(self.show_field)
        self.faults.asked_line.connect(self.show_line)
        self.sections = Sections(document)
        self.sections.chosen.connect(self._show_section)
        self.results = SearchPage(document)
        self.results.chosen.connect(self.show_field)
        self.search.returnPressed.connect(self.results.take_first)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.results)
        self.text = TextPage(document)
        self.tabs = QTabWidget()
        self.tabs.tabBar().setAccessibleName("fields or text")
        self.tabs.setDocumentMode(True)
        self.tabs.tabBar().setDrawBase(False)
        self.tabs.addTab(self._fields(), "Fields")
        self.tabs.addTab(self.text, "Text")
        self.tabs.currentChanged.connect(lambda _: self._on_change())
        column = QVBoxLayout(self)
        column.setContentsMargins(CLOSE, CLOSE, CLOSE, 0)
        column.setSpacing(CLOSE)
        column.addWidget(self.search)
        column.addWidget(self.faults)
        column.addWidget(self.tabs, 1)
        self._section = "bridge"
        self._show_section(self._section)
        document.changed.connect(self._on_change)
        document.saved.connect(self._on_change)
        document.stepped.connect(self._follow)

    def show_field(self, name: str) -> None:
        """Show the field, entry or table of this dotted name and put the keyboard there."""
        try:
            section = str(linesim.scenario.split_name(name)[0])
        except KeyError:
            section = ""
        if section not in self._groups:
            self._show_where_written(name)
            return
        self.tabs.setCurrentIndex(0)
        self.search.clear()
        self._show_section(section)
        self._pages[section].reveal(name)

    @property
    def in_use(self) -> bool:
        """Whether somebody is at work in it: it must not be turned away from."""
        focus = self.window().focusWidget()
        return bool(self.search.text()) or (focus is not None and self.isAncestorOf(focus))

    @property
    def topics_in_focus(self) -> tuple[str, ...]:
        """What the manual may have of the place of the keyboard: the field, then its part.

        Nothing where the keyboard is elsewhere.
        """
        widget, field = self.window().focusWidget(), ""
        if widget is None or not self.isAncestorOf(widget):
            return ()
        while widget is not self and not field:
            field = str(widget.property(FIELD) or "")
            widget = widget.parentWidget()
        part = self._groups[self._section]
        return (f"{part.name}.{field}", part.title) if field else (part.title,)

    def show_part(self, name: str) -> None:
        """Show the fields of this table of the file; the keyboard stays where it is."""
        if self.tabs.currentWidget() is not self.text:
            self._show_section(name)

    def show_line(self, line: int) -> None:
        """Show a line of the text."""
        self.tabs.setCurrentWidget(self.text)
        self.text.go_to_line(line)

    @property
    def page(self) -> Page:
        """The page of the chosen section."""
        if self._section not in self._pages:
            group = self._groups[self._section]
            made: Page = (
                EntriesPage(self.document, group)
                if group.is_list
                else FieldsPage(self.document, group)
            )
            self._pages[self._section] = made
            self.stack.addWidget(made)
            made.point_at(group.name)
        return self._pages[self._section]

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.sections.set_narrow(self.width() < _NARROW_CH * self.fontMetrics().averageCharWidth())

    def _fields(self) -> QWidget:
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, CLOSE, 0, 0)
        column.addWidget(self.sections.back)
        row = QHBoxLayout()
        row.addWidget(self.sections.list)
        row.addWidget(self.stack, 1)
        self.sections.browsed.connect(self._make_way)
        column.addLayout(row, 1)
        return whole

    def _make_way(self) -> None:
        """The list of parts may stand where the fields do."""
        self.stack.setVisible(not self.sections.browsing)

    def _show_section(self, name: str) -> None:
        self._section = name
        self.sections.choose(name)
        if self.search.text():
            self.search.clear()
        page = self.page
        page.refresh()
        self.stack.setCurrentWidget(page)

    def _search(self, asked: str) -> None:
        if asked.strip():
            self.tabs.setCurrentIndex(0)
            self.results.search(asked)
            self.sections.choose(self._section)
            self.stack.setCurrentWidget(self.results)
        else:
            self.stack.setCurrentWidget(self.page)

    def _show_where_written(self, name: str) -> None:
        line = next((fault.line for fault in self.document.faults if fault.field == name), None)
        self.show_line(line or 1)

    def _follow(self, name: str) -> None:
        """Show what undo or redo did; the keyboard stays where it is."""
        if name and self.tabs.currentIndex() == 0 and not self.search.text():
            self._show_section(str(linesim.scenario.split_name(name)[0]))
            self.page.reveal(name, focus=False)

    def _on_change(self) -> None:
        self.faults.refresh()
        self.sections.refresh()
        if self.tabs.currentWidget() is self.text:
            self.text.refresh()
        else:
            self.page.refresh()
