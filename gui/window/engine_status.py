"""The compiled engine, made beside the window for who never types a command, and changed so."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer, Signal

import linesim
from gui.workers import WorkerPool

_LOOK_EVERY_MS = 1000
_SAY_DONE_MS = 20_000
_DONE = "The compiled engine is made: runs go faster from now on, with the same figures."


class EngineStatus(QObject):
    """``changed`` carries the text for the status bar: it is being made, is done, or failed."""

    changed = Signal(str)
    became_ready = Signal()
    """It was being made, and runs are quick from now on."""

    def __init__(self, pool: WorkerPool, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = pool
        self._started = self._making = False
        self._look, self._silence = QTimer(self), QTimer(self)
        for timer, pause, act in (
            (self._look, _LOOK_EVERY_MS, self._ask),
            (self._silence, _SAY_DONE_MS, self._clear),
        ):
            timer.setSingleShot(True)
            timer.setInterval(pause)
            timer.timeout.connect(act)

    def start(self) -> None:
        """Have it made unless it is there; once for each window."""
        if not self._started:
            self._started = True
            self._ask()

    def close(self) -> None:
        """The window closes; the engine is made all the same."""
        self._look.stop()
        self._silence.stop()

    def _ask(self) -> None:
        task = self._pool.engine()
        task.finished.connect(self._on_state)
        task.failed.connect(self._on_failed)

    def _on_state(self, state: linesim.fast.EngineState) -> None:
        was, self._making = self._making, state.making
        if state.making:
            self.changed.emit(state.words)
            self._look.start()
        elif was and state.ready:
            self.changed.emit(_DONE)
            self.became_ready.emit()
            self._silence.start()
        else:
            self.changed.emit(state.words)

    def _on_failed(self, words: str, _details: str) -> None:
        self.changed.emit(words)

    def _clear(self) -> None:
        self.changed.emit("")
