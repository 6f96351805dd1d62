"""The page of lessons: a question, an answer one commits to, then what happens and why."""

from __future__ import annotations

from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QDoubleSpinBox,
    QFileDialog,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QProgressBar,
    QPushButton,
    QSplitter,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.lessons.attempt import Attempt
from gui.look import NEAR, PageTitle, PlainLabel, PrimaryButton, spaced
from gui.workers import WorkerPool

if TYPE_CHECKING:
    from collections.abc import Iterable

_MOST_ANSWER = 100_000.0
_PARTS = 1000
_COMMIT, _AGAIN = "&Commit to it", "Answer a&new"


class LessonsPage(QWidget):
    """Lessons on the left, the question and the truth on the right.

    ``show_truth`` carries the ``LessonTruth``, so that the window can put its run on screen.
    Answers stay with their lessons, and runs go on, whichever lesson is looked at.
    """

    show_truth = Signal(object)

    def __init__(self, pool: WorkerPool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pool = pool
        self._attempts: list[Attempt] = []
        self._shown: Attempt | None = None
        self._truth_shown: object = None
        self._build()
        for path in linesim.lessons.shipped_lessons().values():
            self.add(path)
        self._list.setCurrentRow(0)

    def _build(self) -> None:
        splitter = QSplitter(Qt.Orientation.Horizontal, self)
        splitter.addWidget(self._make_list(splitter))
        splitter.addWidget(self._make_lesson(splitter))
        splitter.setStretchFactor(1, 1)
        splitter.setSizes([240, 700])
        layout = QVBoxLayout(self)
        spaced(layout, NEAR, NEAR)
        layout.addWidget(PageTitle("Lessons"))
        layout.addWidget(splitter, 1)

    def _make_list(self, parent: QWidget) -> QWidget:
        left = QWidget(parent)
        self._list = QListWidget(left)
        self._list.setAccessibleName("lessons")
        self._list.setWordWrap(True)
        self._list.currentRowChanged.connect(self._chosen)
        own = QPushButton("Open your o&wn…", left)
        own.setToolTip("A lesson is a small file; the developers' page says what it may hold")
        own.clicked.connect(self._ask_own)
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._list, 1)
        column.addWidget(own)
        return left

    def _make_lesson(self, parent: QWidget) -> QWidget:
        right = QWidget(parent)
        self._question = QTextBrowser(right)
        self._question.setAccessibleName("question")
        self._answer = QDoubleSpinBox(right)
        self._answer.setRange(0.0, _MOST_ANSWER)
        self._answer.setAccessibleName("your answer")
        self._answer.valueChanged.connect(self._name_unit)
        label = PlainLabel("&Your answer", right)
        label.setBuddy(self._answer)
        self._commit = PrimaryButton(_COMMIT, right)
        self._commit.clicked.connect(self.commit)
        self._see = QPushButton("&See it on the strip", right)
        self._see.setToolTip("Opens the line of the lesson, with this run and its stop on screen")
        self._see.clicked.connect(self._show)
        self._progress = QProgressBar(right)
        self._progress.setRange(0, _PARTS)
        self._progress.setTextVisible(False)
        self._progress.setFixedWidth(120)
        self._status = PlainLabel("", right)
        row = QHBoxLayout()
        for part in (label, self._answer, self._commit):
            row.addWidget(part)
        row.addStretch(1)
        row.addWidget(self._see)
        # In a row of its own, so that nothing beside it moves as its words grow.
        how_far = QHBoxLayout()
        how_far.addWidget(self._progress)
        how_far.addWidget(self._status, 1)
        self._truth_text = QTextBrowser(right)
        self._truth_text.setAccessibleName("what happens")
        column = QVBoxLayout(right)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._question, 2)
        column.addLayout(row)
        column.addLayout(how_far)
        column.addWidget(self._truth_text, 5)
        return right

    def add(self, path: Path) -> bool:
        """Add a lesson to the list; one that cannot be used says why in the page."""
        try:
            lesson = linesim.lessons.load_lesson(path)
        except linesim.scenario.ScenarioFaults as faults:
            self._truth_text.setPlainText(f"{path.name} is no lesson that can be used.\n\n{faults}")
            return False
        attempt = Attempt(path, lesson, self)
        attempt.changed.connect(self._refresh)
        self._attempts.append(attempt)
        self._list.addItem(QListWidgetItem(lesson.title))
        return True

    def _ask_own(self) -> None:
        name, _ = QFileDialog.getOpenFileName(self, "Open a lesson", "", "Lessons (*.toml)")
        if name and self.add(Path(name)):
            self._list.setCurrentRow(self._list.count() - 1)

    def _chosen(self, row: int) -> None:
        if not 0 <= row < len(self._attempts):
            return
        self._keep_typed()
        self._shown = attempt = self._attempts[row]
        lesson = attempt.lesson
        mark = "<p><i>The line is invented.</i></p>" if lesson.invented else ""
        self._question.setHtml(
            f"<h3>{escape(lesson.title)}</h3><p>{escape(' '.join(lesson.story.split()))}</p>"
            f"<p><b>{escape(lesson.asks)}</b></p>{mark}"
        )
        self._answer.setDecimals(0 if lesson.unit == "reams" else 1)
        self._answer.setValue(attempt.answer)
        self._name_unit(attempt.answer)
        self._truth_shown = None
        self._refresh()

    def _keep_typed(self) -> None:
        """What was typed and not committed to is there again when the lesson is."""
        shown = self._shown
        if shown is not None and not shown.running and shown.truth is None:
            self._answer.interpretText()
            shown.answer = self._answer.value()

    def _name_unit(self, value: float) -> None:
        unit = self._shown.lesson.unit if self._shown is not None else ""
        self._answer.setSuffix(" ream" if unit == "reams" and value == 1 else f" {unit}")

    def _refresh(self) -> None:
        """Show how far the lesson that is looked at is."""
        shown = self._shown
        if shown is None:
            return
        truth, running = shown.truth, shown.running
        self._answer.setEnabled(truth is None and not running)
        self._commit.setText(_COMMIT if truth is None else _AGAIN)
        self._commit.setEnabled(not running)
        self._progress.setVisible(running)
        self._progress.setValue(round(_PARTS * shown.part))
        self._status.setText(shown.words if running else "")
        self._see.setEnabled(truth is not None)
        outcome = truth or shown.error
        if outcome is self._truth_shown:
            return
        self._truth_shown = outcome
        if truth is None:
            self._truth_text.setPlainText(shown.error)
            return
        bar = self._truth_text.verticalScrollBar()
        read_to = bar.value()
        self._truth_text.setHtml(truth_html(shown.lesson, truth, shown.answer))
        bar.setValue(read_to)

    def commit(self) -> None:
        """The learner's answer stands; now the line is run. Or, once it is told, answers anew."""
        shown = self._shown
        if shown is None or shown.running:
            return
        if shown.truth is not None:
            shown.begin_again()
            self._answer.setFocus()
            self._answer.selectAll()
            return
        self._answer.interpretText()
        shown.commit(self._answer.value(), self._pool)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Return in the answer commits to it."""
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and self.focusWidget() is self._answer:
            self.commit()
        else:
            super().keyPressEvent(event)

    def _show(self) -> None:
        if self._shown is not None and self._shown.truth is not None:
            self.show_truth.emit(self._shown.truth)


def truth_html(
    lesson: linesim.lessons.Lesson, truth: linesim.lessons.LessonTruth, answer: float
) -> str:
    """Truth beside the learner's answer and the sum on paper, as HTML."""
    parts: list[str] = []
    for line in linesim.report.truth_words(lesson, truth, answer):
        parts.append(f"<p>{escape(line)}</p>")
    parts.append("<h4>The sum on paper</h4>" + _list(truth.sum.steps))
    parts.append(f"<p>{escape(' '.join(lesson.afterwards.split()))}</p>")
    parts.append("<h4>What happened in the first of the runs</h4>")
    parts.append(_list(linesim.report.disturbance_words(truth.first[1], truth.first_disturbance)))
    return "".join(parts)


def _list(lines: Iterable[str]) -> str:
    return "<ul>" + "".join(f"<li>{escape(line)}</li>" for line in lines) + "</ul>"
