"""Small parts of the page of a stop log."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QDropEvent

import linesim


def dropped_tables(event: QDropEvent) -> tuple[Path, ...]:
    """The files that are dropped; none where a scenario is among them, which the window opens."""
    files = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
    return () if any(file.suffix.lower() == ".toml" for file in files) else tuple(files)


def fault_text(fault: linesim.scenario.Fault, *, named: bool) -> str:
    """A fault, with its file's name unless that stands above."""
    right = f"; right would be: {fault.would_be_right}" if fault.would_be_right else ""
    file = f"{Path(fault.file).name}: " if named else ""
    line = f"line {fault.line}: " if fault.line is not None else ""
    return f"{file}{line}{fault.field + ': ' if fault.field else ''}{fault.problem}{right}"
