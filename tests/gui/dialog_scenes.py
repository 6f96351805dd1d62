"""Scenes of ``pictures.py`` beside the pages: dialogs, side windows, menus, the form, paper."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QPointF
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

import linesim
from gui.document import Recoverable
from gui.form.doubt_button import DoubtButton
from gui.lessons import LessonsPage
from gui.window.error_box import show_error
from gui.window.help_window import HelpWindow
from gui.window.listings import show_causes, show_faults, show_rates
from gui.window.run_dialog import RunDialog
from gui.window.text_window import TextWindow

if TYPE_CHECKING:
    from pictures import Photographer

_CHAPTERS = ("first-hour", "window", "keys", "glossary", "fields")
_FAULTY = {"bridge.length_m": "long", "crew.size": -4, "wrapper[0].speed": 12}
_PARTS = ("unwind", "bridge", "stop", "product", "wrapper", "crew")


class DialogScenes:
    """Each opens one thing as a user does; what is asked is left unanswered."""

    def __init__(self, camera: Photographer) -> None:
        self._camera, self._window = camera, camera.window
        self._folder = Path(tempfile.mkdtemp())

    def all(self) -> None:
        """One after the other; the line in the window is at the end as it was."""
        self.menus()
        self.files()
        self.run()
        self.context_menus()
        self.texts()
        self.form()
        self.paper()

    def _take(
        self, scene: str, ask: Callable[[], object], done: Callable[[], object] = lambda: True
    ) -> None:
        self._camera.take_beside(f"dialog-{scene}", ask, done)

    def _edit(self) -> None:
        self._window.document.set_field("bridge.length_m", 33)

    def menus(self) -> None:
        """Every menu of the bar."""
        for action in self._window.menuBar().actions():
            menu = action.menu()
            name = action.text().replace("&", "").lower()
            self._camera.take_beside(f"menu-{name}", lambda menu=menu: menu.popup(QPoint(0, 0)))

    def files(self) -> None:
        """Where something goes, and what of unsaved work."""
        window, files = self._window, self._window.files
        before = window.document.text
        self._take("new", files.ask_new)
        self._take("open", files.ask_open)
        self._edit()
        self._take("unsaved", files.confirm_discard)
        self._take("save-as", files.ask_save)
        self._take("quit", lambda: files.confirm_quit(["Length of the bridge", "a report"]))
        own = self._folder / "line-2.toml"
        files.save(own)
        own.write_text(before, encoding="utf-8")
        self._edit()
        window.document.set_field("bridge.length_m", 34)
        self._take("save-over", files.save)
        written = datetime(2026, 3, 2, 14, 5, tzinfo=UTC)
        work = Recoverable(own, own.name, own, window.document.text, written, before)
        self._take("recovery", lambda: files._ask_about(work))
        self._take("recovery-look", lambda: files._show_work(work))
        bad = self._folder / "bad.toml"
        bad.write_text("[bridge\n", encoding="utf-8")
        window.document.set_text(before)
        files.save(own, overwrite=True)
        self._take("error", lambda: files.open(bad))
        self._take(
            "error-short", lambda: show_error(window, "There is nothing to be put on paper.")
        )
        self._camera.open(self._camera.scenario)

    def run(self) -> None:
        """Of the run on screen: stops, lessons, figures, reports, what leaves the window."""
        window, exports = self._window, self._window.exports
        self._take("stop", window.workspace.ask_stop)
        self._take("report", exports.ask_report)
        self._take("share", exports.ask_share)
        self._take("tables", exports.ask_run_tables)
        self._take("print", exports.ask_print)
        self._take("run", exports.show_run_dialog)
        self._take("run-answer", self._ask_run, lambda: self._run_dialog().start.isEnabled())
        if self._camera.wanted("dialog-lesson"):
            self._camera.force_stop()
            self._take("lesson", window.workspace.ask_lesson)
            page = window.pages.shift
            self._camera.wait(page._each_run.isEnabled)
            self._take("lesson-each-run", page._show_each_run)
            self._camera.take_out()
        window.pages.go_to("lessons")
        page = window.pages.current
        assert isinstance(page, LessonsPage)
        self._take("who", page._ask_who)
        window.pages.go_to("shift")

    def _run_dialog(self) -> RunDialog:
        return self._window.findChildren(RunDialog)[-1]

    def _ask_run(self) -> None:
        self._window.exports.show_run_dialog()
        self._run_dialog().start.click()

    def context_menus(self) -> None:
        """By the other button of the mouse."""
        window = self._window
        canvas = window.pages.shift.strip.canvas
        for name, has in (("lane", lambda row: row.lane), ("curve", lambda row: row.curve)):
            row = next(row for row in canvas.rows if has(row) is not None)
            self._take(
                f"context-{name}",
                lambda row=row: canvas.menu_for(row, 3 * linesim.scenario.HOUR).popup(QPoint(0, 0)),
            )
        window.form_dock.show()
        window.form.show_field("bridge.length_m")
        line = window.focusWidget()
        self._take("context-field", lambda: _right_click(line))
        window.form.search.setText("bridge")
        self._take("context-search", lambda: _right_click(window.form.search))
        window.form.search.clear()
        window.form.tabs.setCurrentWidget(window.form.text)
        self._take("context-text", lambda: _right_click(window.form.text.viewport()))
        window.form.tabs.setCurrentIndex(0)
        window.form.show_part("stop")
        self._take("menu-causes", lambda: window.form.page.add.menu().popup(QPoint(0, 0)))

    def texts(self) -> None:
        """The manual, lists, and what the program says of itself."""
        window = self._window
        for chapter in _CHAPTERS:
            self._take(f"help-{chapter}", lambda chapter=chapter: self._help(chapter))
        self._take("help-found", lambda: self._help("", "bridge"))
        self._take("about", lambda: self._choose("Help", "&About"))
        self._take("causes", lambda: show_causes(window))
        self._take("rates", lambda: show_rates(window.document, window))
        self._take("faults-none", lambda: show_faults(window.document, window))
        self._take(
            "installation",
            lambda: self._choose("Help", "This &installation"),
            lambda: window.findChildren(TextWindow),
        )

    def _help(self, chapter: str, words: str = "") -> None:
        shown = HelpWindow(self._window)
        shown.show()
        shown.open_chapter(chapter)
        shown.find.words.setText(words)

    def _choose(self, menu: str, begins: str) -> None:
        found = next(each for each in self._window.menuBar().actions() if menu in each.text())
        next(each for each in found.menu().actions() if each.text().startswith(begins)).trigger()

    def form(self) -> None:
        """The parts, what is found, laws of chance, doubt, and what is wrong."""
        window, camera = self._window, self._camera
        before = window.document.text
        for part in _PARTS:
            window.form.show_part(part)
            camera.take(f"form-{part}")
        window.form.sections._browse()
        camera.take("form-parts")
        window.form.show_field("stop[0].restore_min")
        camera.take("form-law")
        button = next(b for b in window.form.page.findChildren(DoubtButton) if b.action.isEnabled())
        self._take("doubt", button.ask)
        window.form.search.setText("length")
        camera.take("form-search")
        window.form.search.setText("no such thing")
        camera.take("form-search-none")
        window.form.search.clear()
        for name, value in _FAULTY.items():
            window.document.set_field(name, value)
        window.form.show_part("bridge")
        camera.take("form-faults")
        self._take("faults", lambda: show_faults(window.document, window))
        self._take("error-faults", window.exports.ask_report)
        window.form.tabs.setCurrentWidget(window.form.text)
        camera.take("form-text")
        window.form.tabs.setCurrentIndex(0)
        window.document.set_text(before)

    def paper(self) -> None:
        """A page as it is put on paper."""
        from gui.window.page_composer import PageComposer
        from gui.window.printed_page import png_bytes

        window = self._window
        for name in ("shift", "losses", "lessons"):
            if not self._camera.wanted(f"paper-{name}"):
                continue
            window.pages.go_to(name)
            self._camera.wait(lambda: window.told)
            page = PageComposer(window.document, window.shown, window.pages).page()
            if page is not None:
                self._camera.keep(f"paper-{name}", png_bytes(page, window.font()))
        window.pages.go_to("shift")


def _right_click(widget: QWidget | None) -> None:
    assert widget is not None
    if isinstance(widget, QLineEdit):
        widget.selectAll()
    middle = QPointF(widget.rect().center()).toPoint()
    reason = QContextMenuEvent.Reason.Mouse
    QApplication.postEvent(widget, QContextMenuEvent(reason, middle, widget.mapToGlobal(middle)))
