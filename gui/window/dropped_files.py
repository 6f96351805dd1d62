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

_ONE_OF_EACH = (
    "A scenario (TOML) and a stop log (CSV or XLSX) can be dropped, one of each at a time;"
    " nothing was opened."
)


def files_in(event: QDropEvent) -> list[Path]:
    """The files on this machine that are dropped."""
    return [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]


def open_dropped(
    files: list[Path],
    open_scenario: Callable[[Path], None],
    open_log: Callable[[Path], None],
    window: QWidget,
) -> None:
    """Open a scenario, a stop log or one of each; more are refused in words."""
    logs = [path for path in files if path.suffix.lower() in linesim.plant.TABLE_ENDINGS]
    scenarios = [path for path in files if path not in logs]
    if len(logs) > 1 or len(scenarios) > 1:
        show_error(window, _ONE_OF_EACH)
        return
    for path in scenarios:
        open_scenario(path)
    for path in logs:
        open_log(path)
