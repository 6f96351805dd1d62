"""The page alone on the whole screen, in large letters: for a class that looks at a wall."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication, QKeySequence, QShortcut
from PySide6.QtWidgets import QApplication, QMainWindow, QWidget

from gui.look import text_size, use_text_size, wall_size
from gui.window.page_switcher import PageSwitcher

_MOST_PX = (1 << 24) - 1
"""Qt's own largest height of a widget: none is set."""


class FullScreen(QObject):
    """F11 shows the page alone and back again, Esc leads back; all is then as it was before."""

    left = Signal()
    """All of the window is there again, whichever page it is at by now."""

    def __init__(self, window: QMainWindow, pages: PageSwitcher, *beside: QWidget) -> None:
        """The list of pages goes while one is alone, and so does what is ``beside``."""
        super().__init__(window)
        self._window, self._pages, self._beside = window, pages, (pages.list, *beside)
        self._hidden: list[QWidget] = []
        self._size = ""
        self._back = QShortcut(QKeySequence(Qt.Key.Key_Escape), window)
        self._back.setEnabled(False)
        self._back.activated.connect(self.leave)

    @property
    def on(self) -> bool:
        """Whether the page is alone."""
        return bool(self._size)

    def toggle(self) -> None:
        """The page alone, or all of the window again."""
        if self.on:
            self.leave()
        else:
            self.enter()

    def enter(self) -> None:
        """The page alone, in large letters."""
        if self.on:
            return
        app = _app()
        self._size = text_size(app)
        self._hidden = [part for part in self._beside if not part.isHidden()]
        for part in self._hidden:
            part.hide()
        # Keys of a menu that is hidden would do nothing.
        self._window.menuBar().setMaximumHeight(0)
        place = QGuiApplication.screenAt(self._window.frameGeometry().center())
        high_px = (place or QGuiApplication.primaryScreen()).geometry().height()
        size = wall_size(app, high_px)
        # First, as when it is left: the desktop finds the window its place while all letters
        # change, and these are not laid out once more for a place that the window leaves.
        self._window.setWindowState(self._window.windowState() | Qt.WindowState.WindowFullScreen)
        use_text_size(app, size)
        self._back.setEnabled(True)
        # What had the keyboard may have gone.
        self._pages.current.setFocus()

    def leave(self) -> None:
        """All of the window again, as it was."""
        if not self.on:
            return
        size, self._size = self._size, ""
        self._back.setEnabled(False)
        # Else it is painted while parts have their places already and the page beside them has
        # its own yet to get: for seconds where the machine is busy.
        self._window.setUpdatesEnabled(False)
        QTimer.singleShot(0, self, lambda: self._window.setUpdatesEnabled(True))
        self._window.setWindowState(self._window.windowState() & ~Qt.WindowState.WindowFullScreen)
        use_text_size(_app(), size)
        self._window.menuBar().setMaximumHeight(_MOST_PX)
        for part in self._hidden:
            part.show()
        self._hidden = []
        self.left.emit()


def _app() -> QApplication:
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    return app
