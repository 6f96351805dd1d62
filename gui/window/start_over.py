"""Start over: the shift as its file has it, as when the file was opened."""

from __future__ import annotations

from typing import TYPE_CHECKING

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
    window.luck_bar.show_luck(hours=scenario.line.shift_hours, luck=0)
    window.shift_page.strip.show_all()
    runs.start_over(hours=scenario.line.shift_hours)
    window.go_to("shift")
