"""A report of the line in the window: what is asked for it, and its writing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QDate, QLocale
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLineEdit,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui import asking
from gui.look import PlainLabel, label_of
from gui.window.telling import Telling
from gui.window.trouble import say_trouble

if TYPE_CHECKING:
    from gui.jobs import Job
    from gui.window.main_window import MainWindow

_MOST_RUNS = 100_000


@dataclass(frozen=True)
class ReportAsked:
    """``question`` and ``date`` are None where the report shall have none."""

    question: str | None = None
    date: str | None = None
    replications: int = 20


class ReportDialog(QDialog):
    """Asks for it; ``asked`` is what was said."""

    def __init__(self, studies: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Save a report")
        self.question = QLineEdit()
        self.question.setMinimumWidth(420)
        self.question.setPlaceholderText("such as: should we lengthen the bridge?")
        self.question.setToolTip("In your own words; it stands first. May be left empty.")
        today = QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom)
        self.date = QLineEdit(today.toString(QDate.currentDate(), "d MMMM yyyy"))
        self.date.setToolTip("Printed as it stands. Leave it empty to have none.")
        self.runs = QSpinBox()
        self.runs.setRange(1, _MOST_RUNS)
        self.runs.setValue(ReportAsked.replications)
        self.runs.setToolTip("Runs with independent luck; the intervals come from these.")
        form = QFormLayout()
        for words, control in (
            ("&Question", self.question),
            ("&Date", self.date),
            ("&Runs", self.runs),
        ):
            form.addRow(label_of(control, words), control)
            control.setAccessibleName(words.replace("&", ""))
        said = {
            0: "No study goes in: none on the pages is of the line as it is now.",
            1: "The one study on the pages that is of the line as it is now goes in.",
        }
        self.studies = PlainLabel(
            said.get(studies, f"The {studies} studies on the pages that are of this line go in.")
        )
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Save | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.button(QDialogButtonBox.StandardButton.Save).setText("&Save as…")
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addLayout(form)
        layout.addWidget(self.studies)
        layout.addWidget(buttons)

    def asked(self) -> ReportAsked:
        """What was said."""
        return ReportAsked(
            self.question.text().strip() or None,
            self.date.text().strip() or None,
            self.runs.value(),
        )


def studies_of_the_line(window: MainWindow) -> tuple[tuple[linesim.Scenario, linesim.Answer], ...]:
    """The answers on the pages that are of the line as it is now."""
    from gui.pages import StudyPage

    found = [page.said for page in window.findChildren(StudyPage)]
    scenario = window.document.scenario
    return tuple(said for said in found if said is not None and said[0] == scenario)


def ask_report(window: MainWindow) -> Job | None:
    """Ask what the report is to say and where it goes, and write it."""
    document = window.document
    if document.scenario is None or document.faults:
        say_trouble(window, "The scenario has faults; put them right before a report is made.")
        return None
    studies = studies_of_the_line(window)
    dialog = ReportDialog(len(studies), window)
    asked = dialog.asked() if dialog.exec() else None
    dialog.deleteLater()
    if asked is None:
        return None
    target = asking.file_for(
        window, "Save a report", "report.html", "Web page (*.html);;PDF (*.pdf)"
    )
    if target is None:
        return None
    job = window.jobs.call(
        "report",
        scenario=document.scenario,
        text=document.text,
        name=document.name,
        hours=window.runs.hours,
        seed=window.runs.seed,
        answers=studies,
        target=target,
        question=asked.question,
        date=asked.date,
        replications=asked.replications,
    )
    Telling(window, job, "Writing the report", lambda path: f"Written: {path}")
    return job
