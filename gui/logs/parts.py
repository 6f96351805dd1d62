"""Small parts of the page of a stop log."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QDropEvent

import linesim


def dropped_table(event: QDropEvent) -> Path | None:
    """The one file that is dropped, unless it is a scenario, which the window opens."""
    files = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
    return files[0] if len(files) == 1 and files[0].suffix.lower() != ".toml" else None


def fault_text(fault: linesim.scenario.Fault) -> str:
    """A fault without the file's name, which stands above."""
    right = f"; right would be: {fault.would_be_right}" if fault.would_be_right else ""
    line = f"line {fault.line}: " if fault.line is not None else ""
    return f"{line}{fault.field + ': ' if fault.field else ''}{fault.problem}{right}"
