"""How the window ends where nobody closed it: no screen to be had, or an interrupt."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import socket
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import FrameType

from PySide6.QtCore import (
    QLibrary,
    QLibraryInfo,
    QMessageLogContext,
    QObject,
    QSocketNotifier,
    QtMsgType,
    qInstallMessageHandler,
)

NO_SCREEN = 4


@contextlib.contextmanager
def explain_missing_screen() -> Iterator[None]:
    """Qt ends the process where it cannot reach the screen; it is said in words before that."""

    def handle(kind: QtMsgType, _: QMessageLogContext, words: str | None) -> None:
        if kind == QtMsgType.QtFatalMsg:
            reason = " ".join((words or "").split("\n")[0].split())
            plugins = Path(QLibraryInfo.path(QLibraryInfo.LibraryPath.PluginsPath))
            needed = missing_library(plugins / "platforms/libqxcb.so")
            sys.stderr.write(
                f"linesim-window: the screen cannot be used: {reason}\n"
                + (f"A library of the system is missing: {needed}. " if needed else "")
                + "Look at DISPLAY, WAYLAND_DISPLAY and QT_QPA_PLATFORM. The command linesim does"
                " without a screen; for a picture of the window set QT_QPA_PLATFORM=offscreen.\n"
            )
            sys.stderr.flush()
            # Qt would abort next. There is no window yet, so there is nothing to close.
            os._exit(NO_SCREEN)

    before = qInstallMessageHandler(handle)
    try:
        yield
    finally:
        qInstallMessageHandler(before)


def missing_library(plugin: Path) -> str:
    """The library of the system that a plug-in needs and does not find; empty where none is.

    Where Qt ends the process it says only that its plug-in for the screen cannot be used.
    """
    # A plug-in that has failed to load gives its loader no reason a second time.
    library = QLibrary(str(plugin))
    if library.load():
        return ""
    found = re.search(r" ([^: /]+): cannot open shared object file", library.errorString())
    return "" if found is None else found[1]


class InterruptHandler(QObject):
    """Calls *act* when an interrupt comes from the keyboard, in the turn of Qt's own loop.

    Python hears a signal only when it next runs, and Qt may wait for hours; so the signal is
    written to a socket that Qt listens to.
    """

    def __init__(self, act: Callable[[], None], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._act = act
        self.heard = False
        """Whether one came; a second one changes nothing."""
        self._ours, self._theirs = socket.socketpair()
        for end in (self._ours, self._theirs):
            end.setblocking(False)
        self._notifier = QSocketNotifier(self._ours.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._on_signal)
        self._before = signal.signal(signal.SIGINT, _nothing)
        self._wakeup = signal.set_wakeup_fd(self._theirs.fileno())

    def close(self) -> None:
        """Leave interrupts to whoever had them before."""
        self._notifier.setEnabled(False)
        signal.set_wakeup_fd(self._wakeup)
        signal.signal(signal.SIGINT, self._before)
        self._ours.close()
        self._theirs.close()

    def _on_signal(self) -> None:
        with contextlib.suppress(BlockingIOError):
            if signal.SIGINT in self._ours.recv(64) and not self.heard:
                self.heard = True
                self._act()


def _nothing(_: int, __: FrameType | None) -> None:
    """The socket has it."""
