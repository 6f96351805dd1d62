"""Texts that need no run, in windows of their own: causes, rates, faults; and the schema."""

from __future__ import annotations

import json

from PySide6.QtWidgets import QMainWindow, QWidget

import linesim
from gui.document import Document
from gui.window.error_box import show_error
from gui.window.task_status import TaskStatus
from gui.window.text_window import TextWindow, save_text_asked
from gui.workers import Task


def _show(parent: QWidget, title: str, text: str, *, wrapped: bool = False) -> None:
    TextWindow(title, text, parent, wrapped=wrapped).show()


def show_causes(parent: QWidget) -> None:
    """The known stop causes and the figures they bring."""
    _show(parent, "Known stop causes", linesim.report.causes_text())


def show_rates(document: Document, parent: QWidget) -> None:
    """Rated and net rate of each station."""
    if document.scenario is None or document.faults:
        show_error(parent, "The scenario has faults; correct them first.")
    else:
        _show(parent, "Rates of the stations", linesim.report.rates_text(document.scenario))


def show_faults(document: Document, parent: QWidget) -> None:
    """All that is wrong with the scenario as it stands, one line each."""
    lines = [f"{fault}\n" for fault in document.faults]
    if not lines:
        lines.append(f"{document.name}: no faults")
        notice = linesim.report.counting_notice(document.scenario) if document.scenario else None
        if notice:
            lines.append(f"{document.name}: note: {notice}")
    _show(parent, "Faults of the scenario", "\n".join(lines) + "\n", wrapped=True)


def show_installation(window: QMainWindow, task: Task) -> None:
    """What the program is made of here and whether it works, once the task of that is done."""

    def show(facts: linesim.about.Facts) -> None:
        _show(window, "This installation", linesim.about.fault_report(facts))

    task.finished.connect(show)
    TaskStatus(window, task, "Self-check", lambda _: "Self-check done")


def save_schema(parent: QWidget) -> None:
    """Write the JSON Schema, for an editor that checks while one types."""
    text = json.dumps(linesim.scenario.json_schema(), indent=2) + "\n"
    save_text_asked(parent, "Save the schema", text, "JSON Schema (*.json)", "scenario.schema.json")
