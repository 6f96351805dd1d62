"""Files dropped on the window: a scenario is opened, a stop log goes to the page of stop logs."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

import linesim
from gui.window.error_box import show_error

if TYPE_CHECKING:
    from PySide6.QtGui import QDropEvent

_ONE_SCENARIO = (
    "One scenario (TOML) can be dropped at a time, and stop logs (CSV or XLSX); nothing was opened."
)


def files_in(event: QDropEvent) -> list[Path]:
    """The files on this machine that are dropped."""
    return [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]


def open_dropped(
    files: list[Path],
    open_scenario: Callable[[Path], None],
    open_logs: Callable[..., None],
    window: QWidget,
) -> None:
    """Open a scenario, stop logs or both; more scenarios than one are refused in words."""
    logs = [path for path in files if path.suffix.lower() in linesim.plant.TABLE_ENDINGS]
    scenarios = [path for path in files if path not in logs]
    if len(scenarios) > 1:
        show_error(window, _ONE_SCENARIO)
        return
    for path in scenarios:
        open_scenario(path)
    if logs:
        open_logs(*logs)
