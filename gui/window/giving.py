"""What the window gives away besides pictures: tables of a run, texts, the schema."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import linesim
from gui import asking
from gui.window.telling import Telling
from gui.window.text_window import TextWindow, save_text_asked
from gui.window.trouble import say_trouble

if TYPE_CHECKING:
    from gui.jobs import Job
    from gui.window.main_window import MainWindow
    from gui.window.run_dialog import RunDialog


def show_run_dialog(window: MainWindow) -> RunDialog:
    """Ask for runs of the line in the window, in figures."""
    from gui.window.run_dialog import RunDialog

    dialog = RunDialog(
        window.document,
        window.jobs,
        hours=window.runs.hours,
        seed=window.runs.seed,
        parent=window,
    )
    dialog.show()
    return dialog


def ask_run_tables(window: MainWindow) -> Job | None:
    """Ask for a folder, and write the course of the run on screen into it."""
    record = window.shown.record
    if record is None:
        return None
    name = f"{window.document.name}-tables"
    folder = asking.folder_for(window, "Folder for the tables of this run", name)
    if folder is None:
        return None
    job = window.jobs.call(
        "run_tables",
        scenario=record.scenario,
        hours=record.hours,
        seed=record.seed,
        replication=record.replication,
        forced=window.shown.forced,
        folder=folder,
    )
    Telling(window, job, "Writing the tables", lambda made: f"{len(made)} tables in {folder}")
    return job


def _show(window: MainWindow, title: str, text: str) -> TextWindow:
    shown = TextWindow(title, text, window)
    shown.show()
    return shown


def show_causes(window: MainWindow) -> TextWindow:
    """The known stop causes and the figures they bring."""
    return _show(window, "Known stop causes", linesim.causes_text())


def show_rates(window: MainWindow) -> TextWindow | None:
    """Rated and net rate of each station."""
    scenario = window.document.scenario
    if scenario is None or window.document.faults:
        say_trouble(window, "The scenario has faults; put them right first.")
        return None
    return _show(window, "Rates of the stations", linesim.rates_text(scenario))


def show_faults(window: MainWindow) -> TextWindow:
    """All that is wrong with the scenario as it stands, one line each."""
    document = window.document
    lines = [str(fault) for fault in document.faults]
    if not lines:
        lines.append(f"{document.name}: no faults")
        notice = linesim.counting_notice(document.scenario) if document.scenario else None
        if notice:
            lines.append(f"{document.name}: note: {notice}")
    return _show(window, "Faults of the scenario", "\n".join(lines) + "\n")


def save_schema(window: MainWindow) -> bool:
    """Write the JSON Schema, for an editor that checks while one types."""
    text = json.dumps(linesim.json_schema(), indent=2) + "\n"
    kinds = "JSON Schema (*.json)"
    return save_text_asked(window, "Save the schema", text, kinds, "scenario.schema.json")
