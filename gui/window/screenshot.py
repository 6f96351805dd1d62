"""A picture of the window once everything on it is true."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QBuffer, QTimer
from PySide6.QtWidgets import QApplication, QWidget

import linesim

_LOOK_EVERY_MS = 100
_TO_SETTLE_MS = 300
PATIENCE_MS = 180_000
ANSWER_PATIENCE_MS = 3_600_000


@dataclass
class Outcome:
    """Whether the picture was saved, and if not, why."""

    saved: bool = False
    error: str = ""


def save_picture(widget: QWidget, path: Path) -> None:
    """Save what the widget shows as PNG, at the screen's own density.

    Raises ``OSError`` where it cannot be written.
    """
    buffer = QBuffer()
    buffer.open(QBuffer.OpenModeFlag.WriteOnly)
    widget.grab().save(buffer, "PNG")
    linesim.files.write_bytes(path, buffer.data().data())


def save_when_ready(
    window: QWidget, ready: Callable[[], bool], path: Path, patience_ms: int = PATIENCE_MS
) -> Outcome:
    """Save a picture of the window once it is ready, or as it is then, and close it."""
    outcome = Outcome()
    timer = QTimer(window)
    waited = 0

    def finish() -> None:
        try:
            save_picture(window, path)
            outcome.saved = True
        except OSError as error:
            outcome.error = f"{path}: {error.strerror}"
        window.close()
        QApplication.quit()

    def look() -> None:
        nonlocal waited
        waited += _LOOK_EVERY_MS
        if ready() or waited >= patience_ms:
            timer.stop()
            # Layouts and plots settle in the next few turns of the event loop.
            QTimer.singleShot(_TO_SETTLE_MS, finish)

    timer.timeout.connect(look)
    timer.start(_LOOK_EVERY_MS)
    return outcome
