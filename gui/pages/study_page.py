"""The page of a study, whichever it is: asked, watched, stopped, taken away as file or picture."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QVBoxLayout, QWidget

import linesim
from gui.charts.ahead import load_plots_ahead
from gui.document import Document, with_titles
from gui.look import (
    FAR,
    NEAR,
    Card,
    FaultLabel,
    FlowRow,
    PageTitle,
    PlainLabel,
    QuietLabel,
    fold_button,
    spaced,
)
from gui.pages.answer_sketch import AnswerSketch
from gui.pages.answer_view import AnswerView
from gui.pages.export_row import ExportRow
from gui.pages.options_form import OptionsForm
from gui.pages.scenario_list import ScenarioList
from gui.pages.settings_form import SettingsForm
from gui.pages.study_progress import StudyProgress
from gui.work.ask_task import KeptRuns
from gui.workers import Task, WorkerPool

_CHANGED = (
    "The scenario has changed since this answer was made: the answer is for the line as it was."
)
_NOTHING = "Nothing asked yet. {}: this is where the answer fills in as runs end."
_RUNNING = "Running. The first answer comes with the first runs of every variant."
_READING = "Reading the answer from the file."
_REFUSED = "No answer yet. Put right what is said above, then press Start."
_NOTHING_YET = "No answer yet. Finished runs are kept; Start goes on from there."


class StudyPage(QWidget):
    """The question and Start on top, settings folded below them, then the answer as it fills in."""

    def __init__(
        self, document: Document, pool: WorkerPool, study: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document, self._pool = document, pool
        self._study = linesim.questions.STUDIES[study]
        self._task: Task | None = None
        self._runs = 0
        self._asked: linesim.scenario.Scenario | None = None
        self._answered: linesim.scenario.Scenario | None = None
        self._typed_when_asked = self._typed = ("", "")
        """What to type for the answer, and the file of runs that it then is in."""
        self.settings = SettingsForm(self._study.replications)
        self.options = OptionsForm(
            self._study.options,
            lambda: document.scenario,
            document.plant_tables,
            column=self.settings.column,
        )
        if self._study.no_long_run:
            self.settings.leave_out(self.settings.long_run)
        self.others = ScenarioList() if self._study.several else None
        self.progress = StudyProgress()
        self.progress.start.clicked.connect(self.start)
        self.progress.stop.clicked.connect(self.stop)
        self.answer_view = self._make_answer_view()
        self.exports = ExportRow(self.answer_view)
        self._build()
        document.changed.connect(self._edited)
        document.faults_changed.connect(self._scenario_changed)
        self._update_enabled()
        self._scenario_changed()

    # -- building ---------------------------------------------------------------------------

    def _build(self) -> None:
        self._about = QuietLabel(with_titles(self._study.description))
        question = PlainLabel(self._study.question)
        question.setWordWrap(True)
        self._panel = Card()
        row = QVBoxLayout(self._panel)
        spaced(row, around=NEAR)
        forms = FlowRow(FAR, level=True)
        row.addWidget(forms)
        for form in (self.others, self.options, self.settings):
            if form is not None and (form is not self.options or self.options.controls):
                forms.add(form)
        self._summary = QuietLabel()
        self._summary.setWordWrap(False)
        for name, option in self._study.options.declared().items():
            box = self.options.controls[name]
            if option.unless == "hours" and isinstance(box, QCheckBox):
                box.toggled.connect(self.settings.find_hours)
                self.settings.find_hours(box.isChecked())
        self.settings.changed.connect(self._show_summary)
        self.show_options = fold_button("Setti&ngs", self._panel, self._about)
        self.show_options.toggled.connect(self._show_summary)
        self._error, self._stale = FaultLabel(), FaultLabel()
        head = QHBoxLayout()
        head.addWidget(PageTitle(self._study.title), 1)
        head.addWidget(self.exports.kept)
        asked = QHBoxLayout()
        asked.addWidget(self.progress, 1)
        for part in (self._summary, self.show_options):
            asked.addWidget(part, 0, Qt.AlignmentFlag.AlignTop)
        layout = QVBoxLayout(self)
        spaced(layout, NEAR, NEAR)
        layout.addLayout(head)
        layout.addWidget(question)
        layout.addLayout(asked)
        for part in (self._about, self._panel, self._error):
            layout.addWidget(part)
        layout.addWidget(self._stale)
        self._nothing = AnswerSketch(self._nothing_asked())
        layout.addWidget(self._nothing, 1)
        layout.addWidget(self.answer_view, 1)
        layout.addWidget(self.exports)
        if self.others is not None:
            self.others.refused.connect(self._show_error)
            self.others.added.connect(lambda: self._show_error(""))
        self.exports.refused.connect(self._show_error)
        self.exports.opened.connect(self.open_kept)
        self.show_options.setChecked(self.options.choose_what or self._study.several)
        # On one line with the button beside it.
        self._summary.setMinimumHeight(self.show_options.sizeHint().height())
        self._show_summary()

    def _nothing_asked(self) -> str:
        """What is to be done before there is an answer."""
        declared = self._study.options.declared().values()
        first = [f"“{each.title}”" for each in declared if each.required or each.kind is tuple]
        if self.others is not None:
            first.append("a scenario to compare with")
        are = "is" if len(first) == 1 else "are"
        given = f" once {' and '.join(first)} {are} given" if first else ""
        return _NOTHING.format(f"Press Start{given}")

    def _show_summary(self, *_: object) -> None:
        """What is set, where the settings are folded away."""
        self._summary.setText(self.settings.summary)
        self._summary.setVisible(not self.show_options.isChecked() and not self.busy)

    def _make_answer_view(self) -> AnswerView:
        """Where answers are shown; a page with more to show puts it there."""
        return AnswerView()

    # -- asking -----------------------------------------------------------------------------

    @property
    def result(self) -> tuple[linesim.scenario.Scenario, linesim.report.Answer] | None:
        """The answer on the page and the scenario it is of; None while there is none."""
        answer = self.answer_view.answer
        if answer is None or self._answered is None or self.busy:
            return None
        return self._answered, answer

    @property
    def typed(self) -> tuple[str, str]:
        """The command that gives this answer again, and the file in which it keeps its runs.

        The command is empty where the file is there already.
        """
        return self._typed

    @property
    def answered(self) -> linesim.scenario.Scenario | None:
        """The scenario that the answer on the page is of; None while there is no answer."""
        return self._answered

    @property
    def caveats(self) -> tuple[str, ...]:
        """What stands against taking the answer for the last word on the line in the window."""
        busy = ("More runs are being made: this is the answer so far.",) if self.busy else ()
        return busy if self._stale.isHidden() else (*busy, self._stale.text())

    @property
    def told(self) -> tuple[str, ...]:
        """What stands on the page before there is an answer; on paper nothing can be pressed."""
        asked = f"{linesim.report.capital(self.settings.summary)}."
        refused = (self.refusal,) if self.refusal else ()
        state = self._nothing.words.partition(".")[0]
        return self._study.question, self._about.text(), asked, *refused, f"{state}."

    @property
    def refusal(self) -> str:
        """Why the last start led to no answer; empty where it did, or is about to."""
        return self._error.text().removeprefix("▲ ")

    @property
    def busy(self) -> bool:
        """Whether a study is under way."""
        return self._task is not None

    def start(self) -> None:
        """Ask what is set of the scenario in the window."""
        if self._task is not None or not self.progress.start.isEnabled():
            return
        self._show_error("")
        texts = [("", self._document.text)]
        if self.others is not None:
            name = self._document.name
            texts = [(name, self._document.text), *self.others.texts()]
            if len(texts) < 2:
                self._refuse_settings("Add a scenario to compare with.")
                return
            if name in {other for other, _ in texts[1:]}:
                texts[0] = (f"{name} (in the window)", texts[0][1])
        try:
            question = linesim.questions.Question(self._study.name, self.options.values())
        except ValueError as error:
            self._refuse_settings(str(error))
            return
        self._asked = self._document.scenario
        self._runs = self.settings.runs.value()
        kept = self.settings.file.name if self.settings.file else f"{self._study.name}.sqlite"
        names = [name or self._document.name for name, _ in texts]
        command = linesim.questions.study_typed(question, names, self.settings.asked(), kept)
        self._typed_when_asked = command, kept
        task = self._submit(
            {
                "question": question,
                "scenario_texts": texts,
                "settings": self.settings.settings(),
                "long_run": self.settings.long_run.isChecked(),
                "study_file": self.settings.file,
            }
        )
        self.progress.begin("starting …")
        self.show_options.setChecked(False)
        self._watch(task, _RUNNING)
        task.progress.connect(lambda part, words: self._on_progress(task, part, words))
        task.partial.connect(lambda value: self._on_partial(task, value))
        task.finished.connect(lambda answer: self._on_finished(task, answer))

    def _submit(self, asked: dict[str, Any]) -> Task:
        """Have it answered, in a process of its own."""
        return self._pool.ask(**asked)

    def open_kept(self, path: Path) -> None:
        """Show what a study file answers; no run is made."""
        if self._task is not None:
            return
        self._show_error("")
        self.progress.begin("reading …")
        task = self._pool.call("kept_answer", path=path)
        self._watch(task, _READING)
        task.finished.connect(lambda found: self._on_opened(task, path, found))

    def stop(self) -> None:
        """No further run is begun; the answer rests on those that are done."""
        if self._task is not None:
            self.progress.stopping()
            self._task.cancel()

    def _watch(self, task: Task, meanwhile: str) -> None:
        self._task = task
        self._nothing.say(meanwhile)
        self._update_enabled()
        load_plots_ahead()
        task.failed.connect(lambda words, details: self._on_failed(task, words, details))
        task.cancelled.connect(lambda: self._on_cancelled(task))

    def _on_cancelled(self, task: Task) -> None:
        self._end(task, "Stopped before there was an answer.")
        self._nothing.say(_NOTHING_YET)

    def _on_progress(self, task: Task, part: float, words: str) -> None:
        if task is self._task:
            self.progress.show_progress(part, words)

    def _on_partial(self, task: Task, value: object) -> None:
        if task is not self._task:
            return
        if isinstance(value, KeptRuns):
            self.progress.show_kept(value)
        elif isinstance(value, linesim.report.Answer):
            self._show(value, so_far=True)

    def _on_finished(self, task: Task, answer: linesim.report.Answer) -> None:
        if task is not self._task:
            return
        stopped = bool(answer.facts["stopped_early"])
        self._show(answer, so_far=False)
        words = "Complete."
        if stopped:
            done = answer.facts["replications"]
            words = (
                f"Stopped at {done} of {self._runs} runs of each variant; Start goes on from there."
            )
        self._end(task, words)

    def _on_opened(
        self, task: Task, path: Path, found: tuple[linesim.scenario.Scenario, linesim.report.Answer]
    ) -> None:
        scenario, answer = found
        self._end(task, "")
        if answer.study != self._study.name:
            title = linesim.questions.STUDIES[answer.study].title
            self._show_error(f"{path.name} answers another question: {title}.")
            return
        self._asked, self._typed_when_asked = scenario, ("", path.name)
        self._show(answer, so_far=False)
        self.progress.end(f"From {path.name}.")

    def _on_failed(self, task: Task, words: str, details: str) -> None:
        if task is not self._task:
            return
        self._end(task, "")
        self._nothing.say(_REFUSED)
        self._refuse_settings(with_titles(words), details)

    def _refuse_settings(self, words: str, details: str = "") -> None:
        """Say what is wrong with what is set, beside the settings."""
        self._show_error(words, details)
        self.show_options.setChecked(True)

    def _end(self, task: Task, words: str) -> None:
        if task is self._task:
            self._task = None
            self._nothing.say(self._nothing_asked())
            self.progress.end(words)
            self._update_enabled()

    # -- showing ----------------------------------------------------------------------------

    def _show(self, answer: linesim.report.Answer, *, so_far: bool) -> None:
        self._answered, self._typed = self._asked, self._typed_when_asked
        self.answer_view.show_answer(answer)
        self._nothing.hide()
        if so_far:
            self.progress.show_basis(answer, self._runs)
        self.exports.ready(complete=not so_far)
        self._scenario_changed()

    def _update_enabled(self) -> None:
        busy = self._task is not None
        self.progress.set_busy(busy)
        self._show_summary()
        self.options.setEnabled(not busy)
        self.settings.setEnabled(not busy)
        if self.others is not None:
            self.others.setEnabled(not busy)
        self._scenario_changed()

    def _edited(self) -> None:
        # What went wrong was of the line before the change, or of the file before this one.
        self._show_error("")
        self._scenario_changed()

    def _scenario_changed(self) -> None:
        self.options.refresh()
        faults = len(self._document.faults)
        usable = not faults and self._document.scenario is not None
        self.progress.start.setEnabled(self._task is None and usable)
        self.progress.start.setToolTip(
            "" if usable else "The scenario has faults; correct them first"
        )
        stale = self._answered is not None and (
            not usable or self._document.scenario != self._answered
        )
        self._stale.say(self._stale_words() if stale else "")

    def _stale_words(self) -> str:
        """What to say where the answer is of another scenario than the one in the window."""
        return _CHANGED

    def _show_error(self, words: str, details: str = "") -> None:
        self._error.say(words, details=details)
