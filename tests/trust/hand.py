"""A hand that uses a window at random: clicks, drags, turns the wheel, types, answers dialogs.

Targets are found anew for each action, by static calls only, or by place alone: neither leaves a
wrapper behind that could keep a widget alive or play a part in its end.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import TypeGuard

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QContextMenuEvent, QGuiApplication, QWheelEvent
from PySide6.QtPrintSupport import QPrintDialog
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSlider,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QFileDialog,
    QHeaderView,
    QLineEdit,
    QMenu,
    QMenuBar,
    QPlainTextEdit,
    QSplitterHandle,
    QTabBar,
    QTextEdit,
    QWidget,
)
from shiboken6 import Shiboken

Key = Qt.Key
_PLAIN, _LEFT, _RIGHT = (
    Qt.KeyboardModifier.NoModifier,
    Qt.MouseButton.LeftButton,
    Qt.MouseButton.RightButton,
)
_CTRL, _SHIFT, _ALT = (
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.AltModifier,
)
_KINDS: tuple[tuple[type[QWidget], int], ...] = (
    (QAbstractButton, 6),
    (QTabBar, 4),
    (QAbstractItemView, 4),
    (QAbstractSpinBox, 3),
    (QAbstractSlider, 2),
    (QComboBox, 3),
    (QLineEdit, 3),
    (QHeaderView, 1),
    (QSplitterHandle, 1),
    (QTextEdit, 1),
    (QPlainTextEdit, 1),
    (QMenuBar, 2),
    (QMenu, 8),
    (QWidget, 5),
)
"""Kinds of widgets and how often each is used; the last is for all that draw themselves."""
_MOVES = (Key.Key_Up, Key.Key_Down, Key.Key_Left, Key.Key_Right, Key.Key_Home, Key.Key_End)
_KEYS = (
    *((key, _PLAIN) for key in (*_MOVES, Key.Key_PageUp, Key.Key_PageDown)),
    *((key, _SHIFT) for key in (*_MOVES, Key.Key_F3, Key.Key_F6, Key.Key_F5)),
    *((Key.Key_Tab, _PLAIN), (Key.Key_Backtab, _SHIFT)) * 4,
    *((key, _PLAIN) for key in (Key.Key_Return, Key.Key_Escape, Key.Key_Space, Key.Key_Delete)),
    *((key, _PLAIN) for key in (Key.Key_F3, Key.Key_F4, Key.Key_F5, Key.Key_F6, Key.Key_Backspace)),
    *((key, _CTRL) for key in (Key.Key_Z, Key.Key_Z, Key.Key_Y, Key.Key_F, Key.Key_L, Key.Key_A)),
    *((key, _CTRL) for key in (Key.Key_S, Key.Key_O, Key.Key_E, Key.Key_R, Key.Key_T, Key.Key_C)),
    *((key, _CTRL) for key in (Key.Key_PageUp, Key.Key_PageDown, Key.Key_V, Key.Key_X, Key.Key_1)),
    *((key, _CTRL) for key in (Key.Key_2, Key.Key_3, Key.Key_4, Key.Key_5, Key.Key_6, Key.Key_7)),
    *((key, _ALT) for key in (Key.Key_F, Key.Key_E, Key.Key_V, Key.Key_L, Key.Key_H, Key.Key_S)),
    *((key, _CTRL | _SHIFT) for key in (Key.Key_T, Key.Key_F, Key.Key_Z)),
    *((key, _PLAIN) for key in (Key.Key_F1, Key.Key_F7, Key.Key_F11, Key.Key_Plus, Key.Key_Minus)),
)
_TEXTS = ("0", "7", "12.5", "-3", "1e9", "", "x", "bridge", "6,20,60", "<b>jam</b>", "greater 10")

_PATIENCE = 60
"""So many actions in a dialog, then it is left."""


class Hand:
    """Does one thing after the other; ``names`` are files that dialogs are given."""

    def __init__(self, luck: random.Random, names: Callable[[], str], *, by_place: bool) -> None:
        self._luck, self._names, self._by_place = luck, names, by_place
        self._tried = 0
        self._held: tuple[int, int] = (0, 0)
        self.said = ""
        """What is being done, for the log."""

    def act(self, main: QWidget) -> None:
        """Do something to what takes input: a popup, a dialog, or a window."""
        luck = self._luck
        top = QApplication.activePopupWidget() or QApplication.activeModalWidget()
        if self._held_up(top):
            self.said = f"left {type(top).__name__}"
            top.close()
        elif isinstance(top, QPrintDialog):
            top.reject()
        elif isinstance(top, QFileDialog):
            self._answer_file(top)
        elif luck.random() < 0.2:
            self._key(*luck.choice(_KEYS))
        elif self._by_place:
            self._at_place(main if top is None else top)
        else:
            self._at_widget(top)

    def _held_up(self, top: QWidget | None) -> TypeGuard[QWidget]:
        """Whether this is in the way for long: a dialog that asks once more, a popup left open."""
        here = 0 if top is None else Shiboken.getCppPointer(top)[0]
        before, times = self._held
        times = times + 1 if here and here == before else 0
        self._held = (here, times)
        return times > _PATIENCE

    # -- what takes input -------------------------------------------------------------------

    def _at_widget(self, top: QWidget | None) -> None:
        luck = self._luck
        seen = [
            each
            for each in QApplication.allWidgets()
            if each.isVisible() and each.isEnabled() and (top is None or each.window() is top)
        ]
        kinds, weights = zip(*_KINDS, strict=True)
        kind = luck.choices(kinds, weights)[0]
        found = [each for each in seen if isinstance(each, kind)]
        if not found or luck.random() < 0.02:
            found = seen
        if found:
            self._use(luck.choice(found))

    def _use(self, widget: QWidget) -> None:
        luck = self._luck
        room = widget.rect()
        at = QPoint(luck.randint(0, room.width()), luck.randint(0, room.height()))
        name = widget.text() if isinstance(widget, QAbstractButton) else widget.accessibleName()
        self.said = f"{type(widget).__name__} {name!r} at {at.x()},{at.y()}"
        if isinstance(widget, QAbstractButton):
            QTest.mouseClick(widget, _LEFT, _PLAIN, room.center())
        elif isinstance(widget, QAbstractSlider | QSplitterHandle | QHeaderView):
            self._drag(widget, at)
        elif isinstance(widget, QAbstractSpinBox | QLineEdit | QTextEdit | QPlainTextEdit):
            self._fill(widget, at)
        elif isinstance(widget, QTabBar) and widget.count():
            place = widget.tabRect(luck.randrange(widget.count())).center()
            QTest.mouseClick(widget, _LEFT, _PLAIN, place)
        elif (isinstance(widget, QMenu) and widget.actions()) or isinstance(widget, QMenuBar):
            QTest.mouseClick(widget, _LEFT, _PLAIN, self._item(widget))
        elif isinstance(widget, QAbstractItemView):
            self._pointer(widget.viewport(), at)
        else:
            self._pointer(widget, at)

    def _item(self, menu: QMenu | QMenuBar) -> QPoint:
        return menu.actionGeometry(self._luck.choice(menu.actions())).center()

    def _pointer(self, widget: QWidget, at: QPoint) -> None:
        """What a hand does to what may be clicked anywhere."""
        done = self._luck.random()
        if done < 0.6:
            QTest.mouseClick(widget, _LEFT, _PLAIN, at)
        elif done < 0.7:
            QTest.mouseDClick(widget, _LEFT, _PLAIN, at)
        elif done < 0.85:
            self._drag(widget, at)
        elif done < 0.92:
            self._wheel(widget, at)
        elif done < 0.96:
            QTest.mouseMove(widget, at)
        else:
            QTest.mouseClick(widget, _RIGHT, _PLAIN, at)
            # Qt's test sends no more than the button.
            if Shiboken.isValid(widget):
                self._ask_for_menu(widget, at)

    def _ask_for_menu(self, widget: QWidget, at: QPoint) -> None:
        how = self._luck.choice((QContextMenuEvent.Reason.Mouse, QContextMenuEvent.Reason.Keyboard))
        event = QContextMenuEvent(how, at, widget.mapToGlobal(at))
        QApplication.sendEvent(widget, event)

    def _drag(self, widget: QWidget, at: QPoint) -> None:
        luck = self._luck
        QTest.mousePress(widget, _LEFT, _PLAIN, at)
        for _ in range(luck.randint(1, 6)):
            at += QPoint(luck.randint(-40, 40), luck.randint(-15, 15))
            QTest.mouseMove(widget, at)
            # Events happen amid that, and may take what is dragged away.
            if not Shiboken.isValid(widget):
                return
        QTest.mouseRelease(widget, _LEFT, _PLAIN, at)

    def _fill(self, widget: QWidget, at: QPoint) -> None:
        luck = self._luck
        QTest.mouseClick(widget, _LEFT, _PLAIN, at)
        if luck.random() < 0.5:
            return
        QTest.keyClick(widget, Key.Key_A, _CTRL)
        QTest.keyClicks(widget, luck.choice(_TEXTS))
        if luck.random() < 0.6:
            QTest.keyClick(widget, luck.choice((Key.Key_Return, Key.Key_Tab, Key.Key_Escape)))

    def _wheel(self, widget: QWidget, at: QPoint) -> None:
        turn = QPoint(0, self._luck.choice((-240, -120, 120, 240)))
        place = QPointF(widget.mapToGlobal(at))
        event = QWheelEvent(
            QPointF(at), place, QPoint(), turn, Qt.MouseButton.NoButton,
            self._luck.choice((_PLAIN, _CTRL)), Qt.ScrollPhase.NoScrollPhase, False,
        )  # fmt: skip
        QApplication.sendEvent(widget, event)

    # -- by place alone -----------------------------------------------------------------------

    def _at_place(self, top: QWidget) -> None:
        luck = self._luck
        room = top.geometry()
        place = room.topLeft() + QPoint(
            luck.randint(0, room.width()), luck.randint(0, room.height())
        )
        window = QGuiApplication.topLevelAt(place)
        if window is None:
            return
        at = window.mapFromGlobal(place)
        self.said = f"{window.title()!r} at {at.x()},{at.y()}"
        QTest.mouseMove(window, at)
        if luck.random() < 0.85:
            QTest.mouseClick(window, _LEFT, _PLAIN, at)
            return
        QTest.mousePress(window, _LEFT, _PLAIN, at)
        for _ in range(luck.randint(1, 5)):
            at += QPoint(luck.randint(-60, 60), luck.randint(-20, 20))
            QTest.mouseMove(window, at)
        QTest.mouseRelease(window, _LEFT, _PLAIN, at)

    # -- keys and files -----------------------------------------------------------------------

    def _key(self, key: Qt.Key, modifier: Qt.KeyboardModifier) -> None:
        # A widget: to a window Qt's test sends the modifier first and lets events happen, and uses
        # the window again, though it may be gone.
        popup = QApplication.activePopupWidget()
        inner = QApplication.focusWidget() if popup is None else popup.focusWidget()
        widget = inner or popup or QApplication.activeWindow()
        self.said = f"key {key.name} {modifier.name}"
        # A disabled one takes no key of a user's either; QTest would remark on it.
        if widget is not None and widget.isEnabled():
            QTest.keyClick(widget, key, modifier)

    def _answer_file(self, dialog: QFileDialog) -> None:
        """A name is put in; a dialog that does not take it is left."""
        self._tried += 1
        self.said = "file dialog left"
        if self._tried % 3 == 0 or self._luck.random() < 0.2:
            dialog.reject()
            return
        name = self._names()
        self.said = f"file dialog: {name}"
        dialog.selectFile(name)
        QTest.keyClick(dialog, Key.Key_Return)
