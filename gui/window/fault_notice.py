"""A fault of the window itself is said to who works with it: silence is no answer to a click."""

from __future__ import annotations

import contextlib
import sys
import traceback
from types import TracebackType

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QWidget

from gui.window.error_box import ErrorBox

_WORDS = (
    "Something went wrong inside the window ({}). What was asked for last may not have been done;"
    " the scenario is kept as it is. Help, This installation and self-check has what to send."
)


class FaultNotice(QObject):
    """Shows what no part of the window has caught; each place in the program once.

    A fault in what is drawn comes again with every drawing.
    """

    _noticed = Signal(str, str)

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._seen: set[tuple[str, int]] = set()
        # Later, in the turn of Qt's own loop: nothing is opened while something is being drawn.
        self._box = ErrorBox(window)
        self._noticed.connect(self._box.show, Qt.ConnectionType.QueuedConnection)
        self._before, sys.excepthook = sys.excepthook, self._hook

    def close(self) -> None:
        """Leave faults to whoever had them before."""
        sys.excepthook = self._before

    def _hook(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        self._before(kind, error, trace)
        if not isinstance(error, Exception):
            return
        lines = traceback.extract_tb(trace)
        place = (lines[-1].filename, lines[-1].lineno or 0) if lines else ("", 0)
        if place not in self._seen:
            self._seen.add(place)
            details = "".join(traceback.format_exception(kind, error, trace))
            # The window may be gone by now.
            with contextlib.suppress(RuntimeError):
                self._noticed.emit(_WORDS.format(kind.__name__), details)
