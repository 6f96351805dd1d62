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
from gui.jobs import Job, Jobs
from gui.look import PlainLabel

if TYPE_CHECKING:
    from collections.abc import Iterable

_MOST_ANSWER = 100_000.0


class LessonsPage(QWidget):
    """Lessons on the left, the question and the truth on the right.

    ``show_truth`` carries the :class:`linesim.LessonTruth`, so that the window can put its run on
    screen.
    """

    show_truth = Signal(object)

    def __init__(self, jobs: Jobs, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._jobs = jobs
        self._lesson: linesim.Lesson | None = None
        self._path: Path | None = None
        self._truth: linesim.LessonTruth | None = None
        self._job: Job | None = None
        self._build()
        for path in linesim.shipped_lessons().values():
            self.add(path)
        self._list.setCurrentRow(0)

    def _build(self) -> None:
        self._list = QListWidget()
        self._list.setAccessibleName("lessons")
        self._list.setWordWrap(True)
        self._list.currentItemChanged.connect(self._chosen)
        own = QPushButton("Open your o&wn…")
        own.setToolTip("A lesson is a small file; the developers' page says what it may hold")
        own.clicked.connect(self._ask_own)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._list, 1)
        column.addWidget(own)
        self._question = QTextBrowser()
        self._question.setAccessibleName("question")
        self._answer = QDoubleSpinBox()
        self._answer.setRange(0.0, _MOST_ANSWER)
        self._answer.setDecimals(1)
        self._answer.setAccessibleName("your answer")
        label = PlainLabel("&Your answer")
        label.setBuddy(self._answer)
        self._commit = QPushButton("&Commit to it")
        self._commit.clicked.connect(self.commit)
        self._see = QPushButton("&See it on the strip")
        self._see.clicked.connect(self._show)
        self._progress = QProgressBar()
        self._progress.setRange(0, 1000)
        self._progress.setTextVisible(False)
        self._told = PlainLabel()
        row = QHBoxLayout()
        for part in (label, self._answer, self._commit, self._progress, self._told):
            row.addWidget(part)
        row.addStretch(1)
        row.addWidget(self._see)
        self._truth_text = QTextBrowser()
        self._truth_text.setAccessibleName("what happens")
        right = QWidget()
        column = QVBoxLayout(right)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._question, 2)
        column.addLayout(row)
        column.addWidget(self._truth_text, 3)
        splitter = QSplitter(Qt.Orientation.Horizontal)
        splitter.addWidget(left)
        splitter.addWidget(right)
        splitter.setStretchFactor(1, 1)
        splitter.setSizes([240, 700])
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(splitter)

    def add(self, path: Path) -> bool:
        """Add a lesson to the list; one that cannot be used says why in the page."""
        try:
            lesson = linesim.load_lesson(path)
        except linesim.ScenarioFaults as faults:
            self._truth_text.setPlainText(f"{path.name} is no lesson that can be used.\n\n{faults}")
            return False
        item = QListWidgetItem(lesson.title)
        item.setData(Qt.ItemDataRole.UserRole, (path, lesson))
        self._list.addItem(item)
        return True

    def _ask_own(self) -> None:
        name, _ = QFileDialog.getOpenFileName(self, "Open a lesson", "", "Lessons (*.toml)")
        if name and self.add(Path(name)):
            self._list.setCurrentRow(self._list.count() - 1)

    def _chosen(self, item: QListWidgetItem | None) -> None:
        if item is None:
            return
        if self._job is not None:
            self._job.cancel()
            self._job = None
        self._path, self._lesson = item.data(Qt.ItemDataRole.UserRole)
        self._truth = None
        assert self._lesson is not None
        lesson = self._lesson
        mark = "<p><i>The line is invented.</i></p>" if lesson.invented else ""
        self._question.setHtml(
            f"<h3>{escape(lesson.title)}</h3><p>{escape(' '.join(lesson.story.split()))}</p>"
            f"<p><b>{escape(lesson.asks)}</b></p>{mark}"
        )
        self._answer.setSuffix(f" {lesson.unit}")
        self._answer.setDecimals(0 if lesson.unit == "reams" else 1)
        self._answer.setValue(0)
        self._truth_text.clear()
        self._told.clear()
        self._ready(asked=True)

    def _ready(self, *, asked: bool) -> None:
        """Whether an answer is awaited, or a truth being made."""
        self._answer.setEnabled(asked)
        self._commit.setEnabled(asked)
        self._progress.setVisible(not asked and self._truth is None)
        self._see.setEnabled(self._truth is not None)

    def commit(self) -> None:
        """The learner's answer stands; now the line is run."""
        if self._path is None or self._job is not None:
            return
        self._progress.setValue(0)
        job = self._jobs.call("lesson", path=self._path)
        self._job = job
        self._ready(asked=False)
        job.progress.connect(lambda part, words: self._tell(job, part, words))
        job.finished.connect(lambda truth: self._finished(job, truth))
        job.failed.connect(lambda words, _: self._ended(job, words))
        job.cancelled.connect(lambda: self._ended(job, ""))

    def _tell(self, job: Job, part: float, words: str) -> None:
        if job is self._job:
            self._progress.setValue(round(1000 * max(0.0, part)))
            self._told.setText(words)

    def _ended(self, job: Job, words: str) -> None:
        if job is self._job:
            self._job = None
            self._told.clear()
            self._truth_text.setPlainText(words)
            self._ready(asked=True)

    def _finished(self, job: Job, truth: linesim.LessonTruth) -> None:
        if job is not self._job or self._lesson is None:
            return
        self._job, self._truth = None, truth
        self._told.clear()
        self._truth_text.setHtml(truth_html(self._lesson, truth, self._answer.value()))
        self._ready(asked=False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Return in the answer commits to it."""
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and self.focusWidget() is self._answer:
            self.commit()
        else:
            super().keyPressEvent(event)

    def _show(self) -> None:
        if self._truth is not None:
            self.show_truth.emit(self._truth)


def truth_html(lesson: linesim.Lesson, truth: linesim.LessonTruth, answer: float) -> str:
    """Truth beside the learner's answer and the sum on paper, as HTML."""
    parts: list[str] = []
    for line in linesim.truth_words(lesson, truth, answer):
        parts.append(f"<p>{escape(line)}</p>")
    parts.append("<h4>The sum on paper</h4>" + _list(truth.sum.steps))
    parts.append(f"<p>{escape(' '.join(lesson.afterwards.split()))}</p>")
    parts.append("<h4>What happened in the first of the runs</h4>")
    parts.append(_list(linesim.disturbance_words(truth.first[1], truth.first_disturbance)))
    return "".join(parts)


def _list(lines: Iterable[str]) -> str:
    return "<ul>" + "".join(f"<li>{escape(line)}</li>" for line in lines) + "</ul>"
