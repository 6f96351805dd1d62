"""Every control can be reached by keys, in the order of reading, and has a name."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QDeadlineTimer, QEvent, QObject, QPoint, QRect, Qt
from PySide6.QtGui import QAccessible, QAction, QKeySequence, QShortcut
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QMenu,
    QScrollArea,
    QTabBar,
    QTextBrowser,
    QWidget,
)
from pytestqt.qtbot import QtBot

import linesim
from gui.look import text_size
from gui.pages import StudyPage
from gui.window.main_window import MainWindow
from gui.window.page_list import PAGES
from gui.window.tab_order import beside, tab_stops
from tests.trust.owners import wrong_owners

RUN_MS = 90_000
CONTROLS = (QAbstractButton, QAbstractSpinBox, QComboBox, QLineEdit, QTabBar)


class Flashes(QObject):
    """Notes what is shown as a window of its own."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: list[str] = []

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        shown = event.type() == QEvent.Type.Show and isinstance(watched, QWidget)
        if shown and watched.isWindow():
            self.seen.append(type(watched).__name__)
        return False


FLASHES = Flashes()


@pytest.fixture(scope="module")
def window(qapp: QApplication, tmp_path_factory: pytest.TempPathFactory) -> Iterator[MainWindow]:
    # One window for all: nothing here depends on what the tests before it did.
    demo = linesim.scenario.find_scenario("short-bridge").read_text(encoding="utf-8")
    path = tmp_path_factory.mktemp("line") / "mine.toml"
    path.write_text(linesim.scenario.update(demo, {"line.shift_hours": 0.2}), encoding="utf-8")
    FLASHES.seen.clear()  # a worker that comes back to this file makes another window
    qapp.installEventFilter(FLASHES)
    made = MainWindow(remember=False)
    made.resize(1280, 800)
    made.show()
    begins_at = made.focusWidget()
    made.activateWindow()
    made.workspace.open(path)
    waited = QDeadlineTimer(RUN_MS)
    while (made.shown.record is None or made.shown.busy) and not waited.hasExpired():
        QTest.qWait(20)
    assert made.shown.record is not None
    assert begins_at is made.pages.list
    for name in PAGES:
        made.pages.go_to(name)
    for group in linesim.scenario.field_groups():
        made.form.sections.chosen.emit(group.name)
    made.form.sections.chosen.emit("bridge")
    qapp.removeEventFilter(FLASHES)
    yield made
    assert made.close()


def name_of(widget: QWidget) -> str:
    """What a screen reader says of a widget."""
    interface = QAccessible.queryAccessibleInterface(widget)
    return interface.text(QAccessible.Text.Name)


def walked(window: QWidget) -> list[QWidget]:
    """What has the focus as Tab is pressed until it is back where it began."""
    seen: list[QWidget] = []
    while True:
        now = window.focusWidget()
        assert now is not None
        if seen and now is seen[0]:
            return seen
        # Of words with links Tab takes one after the other, and then goes on.
        among_links = bool(seen) and now is seen[-1] and isinstance(now, QLabel | QTextBrowser)
        assert among_links or now not in seen, f"caught at {name_of(now)!r}, not back at the start"
        seen += [] if among_links else [now]
        QTest.keyClick(now, Qt.Key.Key_Tab)


def tabbed_through(window: MainWindow) -> list[QWidget]:
    window.pages.list.setFocus()
    return walked(window)


@pytest.mark.parametrize("page", list(PAGES))
def test_tab_stops_at_every_control_and_each_has_a_name(window: MainWindow, page: str) -> None:
    window.pages.go_to(page)
    QApplication.processEvents()
    seen = tabbed_through(window)
    assert set(seen) == {each for part in tab_stops(window.tab_parts) for each in part}
    for widget in window.findChildren(QWidget):
        if not isinstance(widget, CONTROLS) or not widget.isVisible() or not widget.isEnabled():
            continue
        inner = isinstance(widget.parent(), QAbstractSpinBox | QComboBox)
        if inner or widget.focusPolicy() == Qt.FocusPolicy.NoFocus:
            continue
        assert widget in seen, f"no key leads to {name_of(widget)!r} ({widget})"
    for widget in seen:
        assert name_of(widget), f"{widget} has no name"


@pytest.mark.parametrize("page", list(PAGES))
def test_tab_goes_row_by_row_from_left_to_right(window: MainWindow, page: str) -> None:
    window.pages.go_to(page)
    study = window.pages.current
    if isinstance(study, StudyPage):
        study.show_options.setChecked(True)
    for area in window.findChildren(QScrollArea):
        area.verticalScrollBar().setValue(0)
    QApplication.processEvents()
    for part in tab_stops(window.tab_parts):
        seen = [each for each in part if not each.visibleRegion().isEmpty()]
        for one, other in itertools.pairwise(seen):
            before, after = place_of(one), place_of(other)
            words = f"{name_of(one)!r} at {before} comes before {name_of(other)!r} at {after}"
            if beside(before, after):
                assert after.right() > before.left(), words
            else:
                to_the_right = after.left() >= before.right()
                assert after.bottom() > before.top() or to_the_right, words


def place_of(widget: QWidget) -> QRect:
    """Where it is in its window."""
    return QRect(widget.mapTo(widget.window(), QPoint(0, 0)), widget.size())


def test_nothing_flashes_up_as_a_window_of_its_own(window: MainWindow) -> None:
    """What is shown before it has a place is a window for a moment, and takes the focus away."""
    assert FLASHES.seen == ["MainWindow"]


def test_the_page_comes_between_the_list_and_the_form(qtbot: QtBot, window: MainWindow) -> None:
    window.pages.go_to("size-bridge")
    QApplication.processEvents()
    seen = tabbed_through(window)
    page = window.pages.stack.currentWidget()
    parts = ["page" if page.isAncestorOf(each) else "other" for each in seen]
    first, last = parts.index("page"), len(parts) - 1 - parts[::-1].index("page")
    assert first == 1
    assert set(parts[first : last + 1]) == {"page"}
    assert window.form_dock.isAncestorOf(seen[last + 1])
    seen[last + 1].setFocus()
    qtbot.keyClick(seen[last + 1], Qt.Key.Key_Backtab)
    assert window.focusWidget() is seen[last]


def test_no_widget_is_taken_for_the_owner_of_another_by_its_keys(window: MainWindow) -> None:
    for name in PAGES:
        window.pages.go_to(name)
        QApplication.processEvents()
        for key in (Qt.Key.Key_Tab, Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_F6):
            QTest.keyClick(window, key)
    found = [(type(each.owned).__name__, type(each.owner).__name__) for each in wrong_owners()]
    assert found == []


def test_f6_goes_from_part_to_part(qtbot: QtBot, window: MainWindow) -> None:
    window.pages.go_to("shift")
    window.pages.list.setFocus()
    window.go_to_part(forward=True)
    assert window.pages.beside.isAncestorOf(window.focusWidget())
    window.go_to_part(forward=True)
    assert window.form_dock.isAncestorOf(window.focusWidget())
    window.go_to_part(forward=False)
    window.go_to_part(forward=False)
    assert window.focusWidget() is window.pages.list


def test_keys_turn_the_pages_and_step_through_stops(qtbot: QtBot, window: MainWindow) -> None:
    actions = {action.shortcut().toString(): action for action in _actions(window)}
    window.pages.go_to("shift")
    actions["Ctrl+PgDown"].trigger()
    assert window.pages.list.name == list(PAGES)[1]
    actions["Ctrl+PgUp"].trigger()
    actions["Ctrl+PgUp"].trigger()
    assert window.pages.list.name == list(PAGES)[-1]
    for number, name in enumerate(list(PAGES)[:10], start=1):
        actions[f"Ctrl+{number % 10}"].trigger()
        assert window.pages.current is window.pages.page(name)
    keys = [action.shortcut().toString() for action in _actions(window)]
    keys = [each for each in keys if each]
    assert len(keys) == len(set(keys)), "two actions with the same keys"
    assert {"F3", "Shift+F3", "F5", "F6", "F7", "Ctrl+T", "Ctrl+F"} <= set(keys)


def test_redo_and_the_size_of_letters_have_keys_on_every_system(
    qtbot: QtBot, qapp: QApplication, window: MainWindow
) -> None:
    control, shift = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
    window.pages.list.setFocus()
    for keys, held in ((Qt.Key.Key_Y, control), (Qt.Key.Key_Z, control | shift)):
        window.document.set_field("bridge.places", 33)
        changed = window.document.text
        window.document.undo()
        qtbot.keyClick(window.pages.list, keys, held)
        assert window.document.text == changed
        window.document.undo()
    assert text_size(qapp) == "normal"
    for key, size in ((Qt.Key.Key_Equal, "larger"), (Qt.Key.Key_Minus, "normal")):
        qtbot.keyClick(window.pages.list, key, control)
        assert text_size(qapp) == size


def test_no_key_is_bound_twice(window: MainWindow) -> None:
    of_one_widget = Qt.ShortcutContext.WidgetShortcut
    bound = []
    # The fields of the form have the same key, each its own.
    fields = set()
    for each in window.findChildren(QAction):
        if each.shortcutContext() == of_one_widget:
            fields.add(each.shortcut().toString())
        else:
            bound += [(keys.toString(), each.text()) for keys in each.shortcuts()]
    for shortcut in window.findChildren(QShortcut):
        area = shortcut.context() == of_one_widget
        bound += [] if area else [(shortcut.key().toString(), str(shortcut.parent()))]
    keys = [key for key, _ in bound if key]
    assert len(keys) == len(set(keys)), sorted(each for each in bound if each[0])
    assert fields.isdisjoint(keys)


def test_no_two_items_of_a_menu_have_the_same_letter(window: MainWindow) -> None:
    window.menuBar().actions()[0].menu().aboutToShow.emit()
    for menu in (window.menuBar(), *window.menuBar().findChildren(QMenu)):
        letters = [_letter(each.text()) for each in menu.actions() if _letter(each.text())]
        assert len(letters) == len(set(letters)), [each.text() for each in menu.actions()]


@pytest.mark.parametrize("page", list(PAGES))
def test_no_two_things_on_screen_have_the_same_letter(window: MainWindow, page: str) -> None:
    window.pages.go_to(page)
    QApplication.processEvents()
    texts = [each.text() for each in window.menuBar().actions()]
    for kind in (QAbstractButton, QLabel):
        for each in window.findChildren(kind):
            if each.isVisible():
                texts.append(each.text())
    letters: dict[str, list[str]] = {}
    for text in texts:
        if _letter(text):
            letters.setdefault(_letter(text), []).append(text)
    assert [found for found in letters.values() if len(found) > 1] == []


def _letter(text: str) -> str:
    """The letter that leads to it with Alt; empty where there is none."""
    return QKeySequence.mnemonic(text).toString()


def test_looking_for_a_field_types_into_nothing(qtbot: QtBot, window: MainWindow) -> None:
    before = window.document.text
    window.form.tabs.setCurrentWidget(window.form.text)
    window.form.text.setFocus()
    control, shift = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
    qtbot.keyClick(window.form.text, Qt.Key.Key_F, control | shift)
    QApplication.processEvents()
    assert window.focusWidget() is window.form.search
    qtbot.keyClicks(window.focusWidget(), "belt")
    assert window.document.text == before
    window.form.search.clear()
    window.form.tabs.setCurrentIndex(0)
    window.form.sections.list.setFocus()
    qtbot.keyClick(window.form.sections.list, Qt.Key.Key_F, control)
    assert window.focusWidget() is window.form.search


def test_the_focus_stays_where_it_was_when_a_control_is_disabled(window: MainWindow) -> None:
    window.pages.go_to("vary")
    page = window.pages.stack.currentWidget()
    study = page.widget()
    for control in (study.progress.start, study.settings.runs):
        control.setFocus()
        assert window.focusWidget() is control
        control.setEnabled(False)
        assert page.isAncestorOf(window.focusWidget())
        control.setEnabled(True)
    # With all that is around it: nothing has the focus then, and Tab begins on the page.
    study.settings.runs.setFocus()
    study.settings.setEnabled(False)
    if window.focusWidget() is None:
        window.focusNextPrevChild(True)
    assert page.isAncestorOf(window.focusWidget())
    study.settings.setEnabled(True)
    window.pages.list.setFocus()


def _actions(window: MainWindow) -> list[QAction]:
    found = []
    for top in window.menuBar().actions():
        found += [each for each in top.menu().actions() if not each.isSeparator()]
    return found
