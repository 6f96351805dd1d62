"""Files dropped on the window: a scenario is opened, a stop log goes to the page of stop logs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QScrollArea

from gui.window.trouble import say_trouble

if TYPE_CHECKING:
    from PySide6.QtGui import QDropEvent

    from gui.window.main_window import MainWindow

_LOGS = (".csv", ".tsv", ".txt", ".xlsx")
_ONE_OF_EACH = (
    "A scenario (TOML) and a stop log (CSV or XLSX) can be dropped, one of each at a time;"
    " nothing was opened."
)


def files_in(event: QDropEvent) -> list[Path]:
    """The files on this machine that are dropped."""
    return [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]


def open_dropped(window: MainWindow, files: list[Path]) -> None:
    """Open a scenario, a stop log or one of each; more are refused in words."""
    logs = [path for path in files if path.suffix.lower() in _LOGS]
    scenarios = [path for path in files if path not in logs]
    if len(logs) > 1 or len(scenarios) > 1:
        say_trouble(window, _ONE_OF_EACH)
        return
    for path in scenarios:
        window.open_if_free(path)
    for path in logs:
        _open_log(window, path)


def _open_log(window: MainWindow, path: Path) -> None:
    from gui.logs import StopLogPage

    window.go_to("fit-stops")
    room = window.page("fit-stops")
    page = room.widget() if isinstance(room, QScrollArea) else room
    assert isinstance(page, StopLogPage)
    page.open(path)
