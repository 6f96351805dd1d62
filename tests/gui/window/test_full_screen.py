"""The page alone for the wall, and all of the window as it was afterwards."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontInfo
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gui.look import text_size, use_text_size, wall_size
from gui.window import full_screen
from gui.window.main_window import MainWindow


def test_a_page_stands_alone_in_large_letters_and_all_is_back_afterwards(
    qtbot: QtBot, qapp: QApplication, window: MainWindow
) -> None:
    window.pages.go_to("lessons")
    window.activateWindow()
    height = window.menuBar().height()
    # The form is not of the lines of lessons.
    assert not window.form_dock.isVisible()
    parts = (window.form_dock, window.pages.list, window.statusBar())
    letters = qapp.font().pointSizeF()
    qtbot.keyClick(window, Qt.Key.Key_F11)
    assert window.isFullScreen()
    assert not any(part.isVisible() for part in parts)
    assert window.menuBar().height() == 0
    assert qapp.font().pointSizeF() > 1.4 * letters
    # Keys of the menu go on working.
    qtbot.keyClick(window, Qt.Key.Key_PageUp, Qt.KeyboardModifier.ControlModifier)
    assert window.pages.shown.title != "Lessons"
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    assert not window.isFullScreen()
    assert all(part.isVisible() for part in parts)
    assert window.menuBar().height() == height
    assert text_size(qapp) == "normal"
    # What was hidden before stays so.
    window.form_dock.hide()
    qtbot.keyClick(window, Qt.Key.Key_F11)
    qtbot.keyClick(window, Qt.Key.Key_F11)
    assert not window.isFullScreen()
    assert window.form_dock.isHidden()
    window.form_dock.show()


def test_the_desktop_is_asked_first_and_letters_change_meanwhile(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else all is laid out in other letters for a place that the window is about to leave."""
    asked = []

    def note(app: QApplication, size: str) -> None:
        asked.append(window.isFullScreen())
        use_text_size(app, size)

    monkeypatch.setattr(full_screen, "use_text_size", note)
    window.full_screen.enter()
    window.full_screen.leave()
    assert asked == [True, False]


def test_nothing_is_painted_before_all_have_their_places(qtbot: QtBot, window: MainWindow) -> None:
    painted: list[bool] = []
    window.full_screen.enter()
    window.full_screen.left.connect(lambda: painted.append(window.pages.current.updatesEnabled()))
    window.full_screen.leave()
    qtbot.waitUntil(window.updatesEnabled)
    assert painted == [False]
    assert window.pages.current.updatesEnabled()
    assert window.form_dock.updatesEnabled()


def test_letters_on_a_wall_suit_its_height(qapp: QApplication) -> None:
    lines = QFontInfo(qapp.font()).pixelSize()
    assert wall_size(qapp, 66 * lines) == wall_size(qapp, 20 * lines) == "much larger"
    assert wall_size(qapp, 90 * lines) == "for a wall"
    # Whatever size is in use meanwhile.
    use_text_size(qapp, "larger")
    try:
        assert wall_size(qapp, 90 * lines) == "for a wall"
        assert wall_size(qapp, 80 * lines) == "much larger"
    finally:
        use_text_size(qapp)


def test_a_class_types_its_answer_as_soon_as_a_lesson_is_on_the_wall(
    qtbot: QtBot, window: MainWindow
) -> None:
    window.pages.go_to("lessons")
    window.activateWindow()
    window.pages.list.setFocus()
    qtbot.keyClick(window, Qt.Key.Key_F11)
    focus = QApplication.focusWidget()
    assert focus is not None
    qtbot.keyClicks(focus, "0.5")
    page = window.pages.page("lessons")
    assert page._answer.answer == 0.5
    # Return commits; what comes next by it waits for the truth, and the focus goes nowhere else.
    qtbot.keyClick(focus, Qt.Key.Key_Return)
    assert page.course.attempts[0].running
    assert QApplication.focusWidget() is page
    qtbot.keyClick(window, Qt.Key.Key_F11)
