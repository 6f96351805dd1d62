"""A lesson made of the stop that was put in: what is told, asked and said afterwards."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui import dialogs
from gui.look import KEPT, FaultLabel, PlainLabel, label_of

_USUAL_PERCENT = 25.0
_LINES = 4


class LessonDialog(QDialog):
    """Asks for the words; ``written`` is the file, once there is one."""

    def __init__(
        self,
        stop: linesim.ForcedStop,
        scenario: linesim.Scenario,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Make a lesson of this stop")
        self.written: Path | None = None
        self._stop, self._scenario = stop, scenario
        self._askable = linesim.lessons.askable(stop, scenario)
        self.title, self.question = QLineEdit(), QLineEdit()
        self.story, self.afterwards = QPlainTextEdit(), QPlainTextEdit()
        for text in (self.story, self.afterwards):
            text.setTabChangesFocus(True)
            text.setFixedHeight((_LINES + 1) * self.fontMetrics().lineSpacing())
        self.title.setPlaceholderText(f"such as: The {stop.station} stands still")
        self.story.setPlaceholderText("Told before it is asked: what happens, when, for how long.")
        self.afterwards.setPlaceholderText("Told once it is answered: why it comes out so.")
        self.asked = QComboBox()
        self.asked.addItems([each.question for each in self._askable])
        self._suggest()
        self.asked.currentIndexChanged.connect(self._suggest_for_asked)
        self._suggest_for_asked(0)
        self.percent = QDoubleSpinBox()
        self.percent.setDecimals(0)
        self.percent.setRange(0, 100)
        self.percent.setSuffix(" %")
        self.percent.setValue(_USUAL_PERCENT)
        self.calm = QCheckBox("Nothing e&lse stops the line in the story")
        self.calm.setChecked(True)
        form = QFormLayout()
        for widget, name in (
            (self.title, "&Title"),
            (self.story, "St&ory"),
            (self.asked, "What is &asked"),
            (self.question, "&Question, in your words"),
            (self.afterwards, "Said after&wards"),
            (self.percent, "&Right if as near as"),
        ):
            form.addRow(label_of(widget, name), widget)
        names = {"title": self.title, "story": self.story, "asks": self.question}
        names |= {"afterwards": self.afterwards, "close_enough_percent": self.percent}
        self._names = {
            field: label.text().replace("&", "")
            for field, widget in names.items()
            if isinstance(label := form.labelForField(widget), QLabel)
        }
        form.addRow(self.calm)
        minutes = f"{stop.minutes:g} min from {stop.at_h:.4g} h on"
        words = PlainLabel(
            f"The {stop.station} stands for {minutes}. The line as it is now is written beside"
            " the lesson; your own file stays as it is."
        )
        words.setWordWrap(True)
        self.faults = FaultLabel()
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Save | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.button(QDialogButtonBox.StandardButton.Save).setText("&Save as…")
        buttons.accepted.connect(self._ask_file)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addWidget(words)
        layout.addLayout(form)
        layout.addWidget(self.faults)
        layout.addWidget(buttons)
        self.resize(70 * self.fontMetrics().averageCharWidth(), self.sizeHint().height())
        KEPT.window(self)

    def _suggest(self) -> None:
        """Words to begin with: a lesson can be tried before a word is written."""
        stop = self._stop
        station = linesim.record.station_words(stop.station)
        stands = f"stands for {stop.minutes:g} min"
        self.title.setText(f"The {station} {stands}")
        story = f"{stop.at_h:.3g} h into the shift the {station} stops. It {stands}."
        self.story.setPlainText(story)

    def _suggest_for_asked(self, row: int) -> None:
        """What was written by hand stays, whatever else is asked."""
        asked = self._askable[row]
        suggested = [each.afterwards for each in self._askable]
        if self.afterwards.toPlainText() in ("", *suggested):
            self.afterwards.setPlainText(asked.afterwards)
        if self.question.text() in ("", *(each.question for each in self._askable)):
            self.question.setText(asked.question)

    def _ask_file(self) -> None:
        title = self.title.text().strip().lower() or "my lesson"
        name = dialogs.file_name(title, suffix="toml")
        path = dialogs.ask_file(self, "Save the lesson", name, "Lessons (*.toml)")
        if path is None:
            return
        beside = linesim.lessons.line_file(path)
        if beside.exists():
            words, yes, no = f"{beside} is there already.", "Replace it", "Cancel"
            title = "The line of the lesson"
            if dialogs.choose(self, title, words, yes, no, default=no, escape=no) == no:
                return
        self.save(path)

    def _fault_words(self, fault: linesim.scenario.Fault) -> str:
        """A fault by the name that its field has here; nobody writes quotes in a dialog."""
        right = fault.would_be_right.replace("text in quotes, ", "")
        name = self._names.get(fault.field, fault.field)
        return f"{name}: {fault.problem}; right would be: {right}"

    def save(self, path: Path) -> None:
        """Write the lesson and its line; what is wrong with it stands in the dialog."""
        try:
            linesim.lessons.write_lesson(
                path,
                self._stop,
                self._scenario,
                self._askable[self.asked.currentIndex()],
                title=self.title.text().strip(),
                story=self.story.toPlainText().strip(),
                asks=self.question.text().strip(),
                afterwards=self.afterwards.toPlainText().strip(),
                close_enough_percent=self.percent.value(),
                nothing_else_stops=self.calm.isChecked(),
            )
        except linesim.scenario.ScenarioFaults as faults:
            self.faults.say(*map(self._fault_words, faults.faults))
        except OSError as error:
            self.faults.say(f"It could not be written: {error}")
        else:
            self.written = path
            self.accept()
