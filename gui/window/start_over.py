"""Start over: the shift as its file has it, as when the file was opened."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker

if TYPE_CHECKING:
    from gui.window.main_window import MainWindow


def start_over(window: MainWindow) -> None:
    """No stop put in, no ghost, the first luck, the whole shift in view.

    Edits of the scenario go as one step that can be undone.
    """
    document, runs = window.document, window.runs
    if document.text != document.text_on_disk:
        document.set_text(document.text_on_disk, "start over")
    scenario = document.scenario
    if scenario is None:
        return
    bar = window.luck_bar
    for box, value in ((bar.hours, scenario.line.shift_hours), (bar.luck, 0)):
        with QSignalBlocker(box):
            box.setValue(value)
    window.shift_page.strip.show_all()
    runs.start_over(hours=scenario.line.shift_hours)
    window.go_to("shift")
