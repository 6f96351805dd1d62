"""What is asked for a report of the line in the window."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QDate, QLocale
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from gui.look import KEPT, PlainLabel, label_of
from gui.pages.run_controls import runs_field


@dataclass(frozen=True)
class ReportRequest:
    """``question`` and ``date`` are None where the report shall have none.

    ``studies`` are the places of those that go in; page one is about the first.
    """

    question: str | None = None
    date: str | None = None
    replications: int = 20
    studies: tuple[int, ...] = ()
    fits: bool = False
    appendix: bool = False


class ReportDialog(QDialog):
    """Asks for it; ``request`` is what was entered. ``log`` is what stops were fitted to."""

    def __init__(
        self, studies: Sequence[str], log: str | None = None, parent: QWidget | None = None
    ) -> None:
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
            "Independent runs; the intervals come from these.",
        )
        form = QFormLayout()
        for words, control in (
            ("&Question", self.question),
            ("&Date", self.date),
            ("&Runs", self.runs),
        ):
            form.addRow(label_of(control, words), control)
            control.setAccessibleName(words.replace("&", ""))
        self.studies = [QCheckBox(name.replace("&", "&&"), checked=True) for name in studies]
        self.fits = QCheckBox(f"How well the stops of {(log or '').replace('&', '&&')} are fitted")
        self.fits.setChecked(log is not None)
        self.fits.setVisible(log is not None)
        self.appendix = QCheckBox("&Appendix: every input, all tables, figures in words")
        told = PlainLabel(
            "Studies on the pages that are of the line as it is now; page one is about the first."
            if studies
            else "No study goes in: none has an answer of the line as it is now."
        )
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Save | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.button(QDialogButtonBox.StandardButton.Save).setText("&Save as…")
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addLayout(form)
        for widget in (told, *self.studies, self.fits, self.appendix, buttons):
            layout.addWidget(widget)
        KEPT.window(self)

    def request(self) -> ReportRequest:
        """What was said."""
        return ReportRequest(
            self.question.text().strip() or None,
            self.date.text().strip() or None,
            self.runs.value(),
            tuple(n for n, box in enumerate(self.studies) if box.isChecked()),
            self.fits.isChecked(),
            self.appendix.isChecked(),
        )
