"""The compiled engine, made beside the window for who never types a command, and said so."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer, Signal

import linesim
from gui.jobs import Jobs

_LOOK_EVERY_MS = 1000
_SAY_DONE_MS = 20_000
_DONE = "The compiled engine is made: runs go faster from now on, with the same figures."


class EngineWords(QObject):
    """``said`` carries what the status bar shall say of it: when it begins, is done, or failed."""

    said = Signal(str)

    def __init__(self, jobs: Jobs, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._jobs = jobs
        self._begun = self._making = False
        self._look, self._silence = QTimer(self), QTimer(self)
        for timer, pause, act in (
            (self._look, _LOOK_EVERY_MS, self._ask),
            (self._silence, _SAY_DONE_MS, self._fall_silent),
        ):
            timer.setSingleShot(True)
            timer.setInterval(pause)
            timer.timeout.connect(act)

    def begin(self) -> None:
        """Have it made unless it is there; once for each window."""
        if not self._begun:
            self._begun = True
            self._ask()

    def close(self) -> None:
        """The window closes; the engine is made all the same."""
        self._look.stop()
        self._silence.stop()

    def _ask(self) -> None:
        job = self._jobs.engine()
        job.finished.connect(self._told)
        job.failed.connect(self._lost)

    def _told(self, state: linesim.fast.EngineState) -> None:
        was, self._making = self._making, state.making
        if state.making:
            self.said.emit(state.words)
            self._look.start()
        elif was and state.ready:
            self.said.emit(_DONE)
            self._silence.start()
        else:
            self.said.emit(state.words)

    def _lost(self, words: str, _details: str) -> None:
        self.said.emit(words)

    def _fall_silent(self) -> None:
        self.said.emit("")
