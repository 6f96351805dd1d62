"""What is asked for a report of the line in the window."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QDate, QLocale
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from gui.look import PlainLabel, label_of
from gui.pages.run_controls import runs_field


@dataclass(frozen=True)
class ReportRequest:
    """``question`` and ``date`` are None where the report shall have none."""

    question: str | None = None
    date: str | None = None
    replications: int = 20


class ReportDialog(QDialog):
    """Asks for it; ``request`` is what was entered."""

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
        self.runs = runs_field(
            1,
            ReportRequest.replications,
            "Independent replications; the intervals come from these.",
        )
        form = QFormLayout()
        for words, control in (
            ("&Question", self.question),
            ("&Date", self.date),
            ("&Runs", self.runs),
        ):
            form.addRow(label_of(control, words), control)
            control.setAccessibleName(words.replace("&", ""))
        texts = {
            0: "No study goes in: none on the pages is of the line as it is now.",
            1: "The one study on the pages that is of the line as it is now goes in.",
        }
        self.studies = PlainLabel(
            texts.get(studies, f"The {studies} studies on the pages that are of this line go in.")
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

    def request(self) -> ReportRequest:
        """What was said."""
        return ReportRequest(
            self.question.text().strip() or None,
            self.date.text().strip() or None,
            self.runs.value(),
        )
