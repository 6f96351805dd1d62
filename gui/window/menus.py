"""Menus and shortcuts: each menu of what it works on."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QApplication, QDockWidget, QMainWindow, QMenu, QMenuBar, QWidget

import linesim
from gui.document import Document
from gui.form import REDO, FormView
from gui.look import (
    COLOURS,
    KEPT,
    TEXT_SIZES,
    colours_in_use,
    plain_tip,
    set_icon,
    text_size,
    use_colours,
    use_text_size,
)
from gui.window import clipboard_menu
from gui.window.about import show_about
from gui.window.exports import Exports
from gui.window.files import Files
from gui.window.help_window import HelpWindow
from gui.window.listings import (
    save_schema,
    show_causes,
    show_faults,
    show_installation,
    show_rates,
)
from gui.window.page_list import GROUPS, PAGES
from gui.window.page_switcher import PageSwitcher
from gui.window.run_bar import RunBar
from gui.window.tab_order import OrderedWindow
from gui.window.window_settings import WindowSettings
from gui.window.workspace import Workspace
from gui.workers import WorkerPool

Key = QKeySequence.StandardKey
_CHAPTERS = {
    "&First hour": "first-hour",
    "&Studies": "studies",
    "&Keys": "keys",
    "&Glossary": "glossary",
}
"""Chapters of the manual that the menu leads to."""
_PATH_CH = 100
"""Letters of a path in a menu; the tip has all of them."""


def _add(
    menu: QMenu,
    text: str,
    do: Callable[[], object],
    keys: QKeySequence.StandardKey | str = "",
    icon: str = "",
    also: str = "",
) -> QAction:
    action = menu.addAction(text)
    if icon:
        # When it is first seen: the window is there sooner.
        menu.aboutToShow.connect(lambda: action.icon().isNull() and set_icon(action, icon))
    action.triggered.connect(lambda *_: do())
    if keys:
        action.setShortcuts([QKeySequence(each) for each in (keys, also) if each])
    return action


def file_menu(
    window: OrderedWindow,
    workspace: Workspace,
    files: Files,
    settings: WindowSettings,
    exports: Exports,
) -> None:
    """Opening, saving, and all that leaves the window."""
    menu = window.menuBar().addMenu("&File")
    _add(menu, "&New…", workspace.ask_new, Key.New)
    _add(menu, "&Open…", workspace.ask_open, Key.Open, "open")
    demos = menu.addMenu("Open a &demo line")
    for name, path in linesim.scenario.shipped_scenarios().items():
        _add(demos, name, lambda path=path: workspace.open_if_free(path))
    recent = menu.addMenu("Open &recent")
    recent.setToolTipsVisible(True)

    def fill() -> None:
        recent.clear()
        files_then = settings.recent()
        widest = _PATH_CH * recent.fontMetrics().averageCharWidth()
        missing = [path for path in files_then if not path.is_file()]
        for path in files_then:
            gone = path in missing
            short = recent.fontMetrics().elidedText(str(path), Qt.TextElideMode.ElideMiddle, widest)
            words = f"{short} (not there)" if gone else short
            open_it = lambda path=path: workspace.open_if_free(path)  # noqa: E731
            item = _add(recent, words.replace("&", "&&"), open_it)
            item.setDisabled(gone)
            item.setToolTip(plain_tip(str(path)))
        recent.setDisabled(recent.isEmpty())
        recent.addSeparator()
        if missing:
            _add(recent, "&Forget those not there", lambda: settings.forget(*missing))
        _add(recent, "Forget &all", lambda: settings.forget(*files_then))

    menu.aboutToShow.connect(fill)
    menu.addSeparator()
    _add(menu, "&Save", files.save, Key.Save, "save")
    _add(menu, "Save &as…", files.ask_save, "Ctrl+Shift+S")
    menu.addSeparator()
    _add(menu, "Save a r&eport…", exports.ask_report, "Ctrl+E", "report")
    _add(menu, "S&hare this shift…", exports.ask_share)
    _add(menu, "Save the run as ta&bles…", exports.ask_run_tables, icon="table")
    _add(menu, "Save a pic&ture…", exports.ask_picture, icon="picture")
    _add(menu, "Sa&ve as PDF…", exports.ask_pdf)
    _add(menu, "&Print…", exports.ask_print, Key.Print, "print")
    menu.addSeparator()
    # Not every system has keys of its own for it.
    _add(menu, "&Quit", window.close, "Ctrl+Q", also="Ctrl+W")


def edit_menu(
    bar: QMenuBar,
    document: Document,
    find_words: Callable[[], None],
    find_field: Callable[[], None],
) -> None:
    """Undo, redo, and where words, a field or a fault are."""
    menu = bar.addMenu("&Edit")
    undo = _add(menu, "&Undo", document.undo, Key.Undo, "undo")
    redo = _add(menu, "&Redo", document.redo, REDO[0], "redo", also=REDO[1])

    def name_them() -> None:
        undo.setEnabled(document.can_undo)
        redo.setEnabled(document.can_redo)
        undo.setText(f"&Undo {document.undo_words}".rstrip())
        redo.setText(f"&Redo {document.redo_words}".rstrip())

    document.changed.connect(name_them)
    name_them()
    menu.addSeparator()
    _add(menu, "Cu&t", clipboard_menu.cut, Key.Cut)
    _add(menu, "&Copy", clipboard_menu.copy, Key.Copy, "copy")
    _add(menu, "&Paste", clipboard_menu.paste, Key.Paste)
    _add(menu, "Select &all", clipboard_menu.select_all, Key.SelectAll)
    menu.addSeparator()
    _add(menu, "&Find on the page", find_words, Key.Find, "find")
    _add(menu, "Find a fi&eld", find_field, "Ctrl+Shift+F")
    _add(menu, "&List the faults", lambda: show_faults(document, bar.window()))


def pages_menu(window: OrderedWindow, pages: PageSwitcher) -> None:
    """The pages in their groups, and from one to the next."""
    menu = window.menuBar().addMenu("Pa&ges")
    number = 0
    for group, names in GROUPS.items():
        menu.addSection(group)
        for name in names:
            number += 1
            keys = f"Ctrl+{number % 10}" if number <= 10 else ""
            _add(menu, PAGES[name].title, lambda name=name: pages.go_to(name), keys, name)
    menu.addSeparator()
    _add(menu, "Ne&xt page", lambda: pages.step(1), "Ctrl+PgDown")
    _add(menu, "Pre&vious page", lambda: pages.step(-1), "Ctrl+PgUp")


def view_menu(
    window: OrderedWindow,
    form_dock: QDockWidget,
    hint: QWidget,
    settings: WindowSettings,
    full_screen: Callable[[], None],
) -> None:
    """The parts of the window, how it looks, and what may be hidden."""
    menu = window.menuBar().addMenu("&View")
    _add(menu, "&Next part of the window", lambda: window.go_to_part(forward=True), "F6")
    _add(menu, "&Previous part of the window", lambda: window.go_to_part(forward=False), "Shift+F6")
    menu.addSeparator()
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    colours, size = colours_in_use(app), text_size(app)
    _choices(menu, settings, "&Colours", COLOURS, colours, lambda each: use_colours(app, each))
    sizes = sorted(TEXT_SIZES, key=TEXT_SIZES.__getitem__)
    use_size = _choices(
        menu, settings, "&Text size", TEXT_SIZES, size, lambda each: use_text_size(app, each)
    )

    def step(way: int) -> None:
        at = sizes.index(text_size(app)) + way
        use_size(sizes[min(max(at, 0), len(sizes) - 1)])

    # On most keyboards the plus has the place of an equals sign.
    _add(menu, "&Larger text", lambda: step(1), "Ctrl++", also="Ctrl+=")
    _add(menu, "S&maller text", lambda: step(-1), "Ctrl+-")
    menu.addSeparator()
    shown = form_dock.toggleViewAction()
    shown.setText("&Scenario form")
    shown.setShortcut("F4")
    menu.addAction(shown)
    _add(menu, "Standard si&zes", KEPT.to_standard)
    _add(menu, "F&ull screen: the page alone", full_screen, "F11")
    _add(menu, "&Hint for the first start", lambda: hint.setVisible(True))


def _choices(
    menu: QMenu,
    settings: WindowSettings,
    title: str,
    names: Iterable[str],
    now: str,
    use: Callable[[str], None],
) -> Callable[[str], None]:
    """One of several, at once and from now on; what is returned chooses one."""
    inner = menu.addMenu(title)
    # The actions are the group's own: of one that was the menu's the binding would take the group
    # for a part, or the other way round.
    group = QActionGroup(inner)
    actions: dict[str, QAction] = {}

    def choose(chosen: str) -> None:
        use(chosen)
        settings.choose(title.replace("&", "").lower(), chosen)

    for name in names:
        action = group.addAction(linesim.report.capital(name))
        action.triggered.connect(lambda *_, name=name: choose(name))
        inner.addAction(action)
        action.setCheckable(True)
        action.setChecked(name == now)
        actions[name] = action
    return lambda chosen: actions[chosen].trigger()


def line_menu(
    window: OrderedWindow,
    workspace: Workspace,
    run_bar: RunBar,
    pages: PageSwitcher,
    exports: Exports,
    step_stop: Callable[[int], None],
) -> None:
    """The run on screen, and ways through it."""
    menu = window.menuBar().addMenu("&Line")
    runs, strip = workspace.runs, pages.shift.strip
    _add(menu, "&Run again", runs.run_now, "F5")
    _add(menu, "Start o&ver", workspace.start_over, "Shift+F5")
    _add(menu, "An&other run", run_bar.next_replication, "Ctrl+L")
    _add(menu, "Run in &figures…", exports.show_run_dialog, "Ctrl+R")
    _add(menu, "R&ates of the stations", lambda: show_rates(runs.document, window))
    menu.addSeparator()
    _add(menu, "&Next stop", lambda: step_stop(1), "F3", "next")
    _add(menu, "&Previous stop", lambda: step_stop(-1), "Shift+F3", "previous")
    _add(menu, "&Back to all", strip.back_to_all, "Ctrl+F3", "shift")
    _add(menu, "P&lay or pause", pages.shift.plan.player.toggle, "F7", "play")
    menu.addSeparator()
    _add(menu, "&Stop a station…", workspace.ask_stop, "Ctrl+T", "halt")
    of_it = [
        _add(menu, "&Take the stop out", runs.take_out, "Ctrl+Shift+T"),
        _add(menu, "&Make a lesson of it…", workspace.ask_lesson),
    ]

    def offer() -> None:
        for action in of_it:
            action.setEnabled(bool(runs.shown.forced))

    runs.shown.record_changed.connect(offer)
    offer()


def help_menu(window: QMainWindow, pages: PageSwitcher, form: FormView, pool: WorkerPool) -> None:
    """What is known without any run."""
    bar = window.menuBar()
    menu = bar.addMenu("&Help")

    def opened() -> HelpWindow:
        found = HelpWindow.shown_in(bar.window()) or HelpWindow(bar.window())
        # Where a chapter is it knows when it is as large as it will be.
        found.show()
        found.raise_()
        found.activateWindow()
        return found

    def show_here() -> None:
        # Whatever has the keyboard is asked before the manual takes it.
        here = form.topics_in_focus
        opened().open_heading(*here, pages.shown.title)

    _add(menu, "&Help on this page or field", show_here, Key.HelpContents)
    for words, chapter in _CHAPTERS.items():
        _add(menu, words, lambda chapter=chapter: opened().open_chapter(chapter))
    menu.addSeparator()
    _add(menu, "Known stop &causes", lambda: show_causes(bar.window()))
    _add(menu, "Save the sche&ma for editors…", lambda: save_schema(bar.window()))
    menu.addSeparator()
    _add(menu, "This &installation and self-check", lambda: show_installation(window, pool.about()))
    _add(menu, "&About, cautions and limits", lambda: show_about(bar.window()))
