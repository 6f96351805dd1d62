"""Menus and shortcuts."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu

import linesim
from gui.window import giving
from gui.window.about import About
from gui.window.moving import add_moments, add_pages
from gui.window.page_list import PAGES
from gui.window.printing import ask_pdf, ask_picture, ask_print
from gui.window.report_dialog import ask_report
from gui.window.start_over import start_over

if TYPE_CHECKING:
    from gui.window.main_window import MainWindow

Key = QKeySequence.StandardKey


def _add(
    menu: QMenu, text: str, do: Callable[[], object], keys: QKeySequence.StandardKey | str = ""
) -> QAction:
    action = menu.addAction(text)
    action.triggered.connect(lambda *_: do())
    if keys:
        action.setShortcut(QKeySequence(keys))
    return action


def build_menus(window: MainWindow) -> None:
    """Give the window its menus."""
    _file(window)
    _edit(window)
    _view(window)
    _line(window)
    _help(window)


def _file(window: MainWindow) -> None:
    menu = window.menuBar().addMenu("&File")
    _add(menu, "&Open…", window.open_asked, Key.Open)
    demos = menu.addMenu("Open a &demo line")
    for name, path in linesim.shipped_scenarios().items():
        _add(demos, name, lambda path=path: window.open_if_free(path))
    recent = menu.addMenu("Open &recent")

    def fill() -> None:
        recent.clear()
        for path in window.memory.recent():
            _add(recent, str(path), lambda path=path: window.open_if_free(path))
        recent.setDisabled(recent.isEmpty())

    menu.aboutToShow.connect(fill)
    menu.addSeparator()
    _add(menu, "&Save", window.files.save, Key.Save)
    _add(menu, "Save &as…", window.files.ask_save, "Ctrl+Shift+S")
    menu.addSeparator()
    _add(menu, "Save a r&eport…", lambda: ask_report(window), "Ctrl+E")
    _add(menu, "Save the run as ta&bles…", lambda: giving.ask_run_tables(window))
    _add(menu, "Save a pic&ture…", lambda: ask_picture(window))
    _add(menu, "Sa&ve as PDF…", lambda: ask_pdf(window))
    _add(menu, "&Print…", lambda: ask_print(window), Key.Print)
    menu.addSeparator()
    _add(menu, "&Quit", window.close, Key.Quit)


def _edit(window: MainWindow) -> None:
    menu = window.menuBar().addMenu("&Edit")
    document = window.document
    undo = _add(menu, "&Undo", document.undo, Key.Undo)
    redo = _add(menu, "&Redo", document.redo, Key.Redo)

    def name_them() -> None:
        undo.setEnabled(document.can_undo)
        redo.setEnabled(document.can_redo)
        undo.setText(f"&Undo {document.undo_words}".rstrip())
        redo.setText(f"&Redo {document.redo_words}".rstrip())

    document.changed.connect(name_them)
    name_them()
    menu.addSeparator()
    _add(menu, "&Find a field", window.find_field, Key.Find)
    _add(menu, "&List the faults", lambda: giving.show_faults(window))


def _view(window: MainWindow) -> None:
    menu = window.menuBar().addMenu("&View")
    for number, (name, page) in enumerate(PAGES.items(), start=1):
        keys = f"Ctrl+{number % 10}" if number <= 10 else ""
        _add(menu, page.title, lambda name=name: window.go_to(name), keys)
    menu.addSeparator()
    add_pages(window, menu)
    menu.addSeparator()
    shown = window.form_dock.toggleViewAction()
    shown.setText("&Scenario form")
    shown.setShortcut("F4")
    menu.addAction(shown)
    _add(menu, "&Hint for the first start", lambda: window.hint.setVisible(True))


def _line(window: MainWindow) -> None:
    menu = window.menuBar().addMenu("&Line")
    _add(menu, "&Run again", window.runs.run_now, "F5")
    _add(menu, "Start o&ver", lambda: start_over(window), "Shift+F5")
    luck = window.luck_bar.luck
    _add(menu, "Run with &other luck", lambda: luck.setValue(luck.value() + 1), "Ctrl+L")
    _add(menu, "Run in &figures…", lambda: giving.show_run_dialog(window), "Ctrl+R")
    _add(menu, "R&ates of the stations", lambda: giving.show_rates(window))
    menu.addSeparator()
    add_moments(window, menu)
    menu.addSeparator()
    _add(menu, "&Stop a station…", window.ask_stop, "Ctrl+T")
    _add(menu, "&Take the stop out", window.runs.take_out, "Ctrl+Shift+T")


def show_about(window: MainWindow) -> None:
    """What the program is, until it is closed."""
    about = About(window)
    about.exec()
    about.deleteLater()


def _help(window: MainWindow) -> None:
    menu = window.menuBar().addMenu("&Help")
    _add(menu, "&Known stop causes", lambda: giving.show_causes(window))
    _add(menu, "Save the &schema for editors…", lambda: giving.save_schema(window))
    menu.addSeparator()
    _add(menu, "&About, cautions and limits", lambda: show_about(window), Key.HelpContents)
