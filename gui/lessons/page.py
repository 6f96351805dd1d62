"""The page of lessons: a course of questions, answers one commits to, then what happens and why."""

from __future__ import annotations

import math
from pathlib import Path

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QInputDialog,
    QProgressBar,
    QPushButton,
    QSplitter,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui import dialogs
from gui.lessons.answer_edit import AnswerEdit
from gui.lessons.attempt import Attempt, same
from gui.lessons.course import Course
from gui.lessons.picture import LessonPicture
from gui.lessons.texts import question_html, truth_html
from gui.look import (
    KEPT,
    NEAR,
    ElidedLabel,
    FaultLabel,
    FlowRow,
    PageTitle,
    PlainLabel,
    PrimaryButton,
    set_icon,
    spaced,
    wrapped_label,
)
from gui.work.fault_words import fault_words
from gui.workers import WorkerPool

_SAVE, _CANCEL = "Save them…", "Cancel"
_PARTS = 1000
_COMMIT, _NEXT, _AGAIN = "&Commit to it", "&Next lesson", "Answer ane&w"
_MARKS = {True: "right", False: "off"}
_LEAST_NAME = 16
_PICTURE_HEIGHT = 320
_LEAST_LINES = 8
"""Of the words that are seen at once on a screen with little room."""
_INDENT = 20
"""Of what is listed, px."""


class LessonsPage(QWidget):
    """A lesson is chosen above; below are its question, the answer, and the line it is about.

    Answers stay with their lessons, and runs go on, whichever lesson is looked at. The scenario
    that is open in the window is not touched: the picture has a run of its own.
    """

    def __init__(self, pool: WorkerPool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pool = pool
        self.course = Course(self)
        self._shown: Attempt | None = None
        self._text_shown: tuple[object, ...] = ()
        self._build()
        for path in linesim.lessons.shipped_lessons().values():
            self.add(path)
        self.course.changed.connect(self._show_course)
        self.course.begun.connect(self._begin)
        self._show_course()
        self.chooser.setCurrentIndex(0)

    # -- building ---------------------------------------------------------------------------

    def _build(self) -> None:
        self.picture = LessonPicture(self)
        self._splitter = splitter = QSplitter(Qt.Orientation.Vertical, self)
        splitter.addWidget(self._make_lesson(splitter))
        splitter.addWidget(self.picture)
        splitter.setStretchFactor(0, 0)
        splitter.setStretchFactor(1, 1)
        self._share()
        KEPT.arrange(splitter, self._share)
        splitter.setChildrenCollapsible(False)
        self._score = PlainLabel("", self)
        self._said = wrapped_label()
        self._said.setParent(self)
        self._wrong = FaultLabel(self)
        head = QHBoxLayout()
        head.addWidget(PageTitle("Lessons"), 1)
        head.addWidget(self._score)
        layout = QVBoxLayout(self)
        spaced(layout, NEAR, NEAR)
        layout.addLayout(head)
        layout.addWidget(self._make_course())
        layout.addWidget(self._said)
        layout.addWidget(self._wrong)
        layout.addWidget(splitter, 1)

    def _share(self) -> None:
        """The text is as high as its words, and the picture has the rest of the page.

        Where that would be too little for the picture the words have a bar of their own.
        """
        words = math.ceil(self._text.document().size().height()) + 2 * self._text.frameWidth()
        least = min(words, _LEAST_LINES * self.fontMetrics().height())
        self._text.setMinimumHeight(least)
        # At once: where it is less than before the splitter would hold to what it was.
        self._column.activate()
        if KEPT.by_hand(self._splitter):
            return
        beside = self._column.minimumSize().height() - least
        room = self._splitter.height() - beside
        high = min(words, max(least, room - _PICTURE_HEIGHT))
        self._splitter.setSizes([high + beside, room - high])

    def _share_soon(self) -> None:
        # The words know how high they are when they know how wide.
        QTimer.singleShot(0, self, self._share)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In another width the words need another height."""
        super().resizeEvent(event)
        self._share_soon()

    def changeEvent(self, event: QEvent) -> None:
        """Larger letters need more room."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_text"):
            self._share_soon()

    def _make_course(self) -> FlowRow:
        row = FlowRow(parent=self)
        self.chooser = QComboBox(self)
        self.chooser.setAccessibleName("lesson")
        self.chooser.setMinimumContentsLength(_LEAST_NAME)
        self.chooser.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.chooser.currentIndexChanged.connect(self._chosen)
        row.add(self.chooser)
        self._who = self._button("", "", self._ask_who)
        self._who.setToolTip("Somebody else answers, from the first lesson on; no answer is lost")
        self._save = self._button("Save the answe&rs…", "save", self._ask_save)
        self._save.setToolTip("All answers with their truths, as a table for a spreadsheet (CSV)")
        self._own = self._button("&Open your own…", "open", self._ask_own)
        self._own.setToolTip("A lesson is a small file; the developers' page says what it may hold")
        for button in (self._who, self._save, self._own):
            row.add(button)
        return row

    def _button(self, text: str, icon: str, act: object) -> QPushButton:
        button = QPushButton(text, self)
        button.clicked.connect(act)
        if icon:
            set_icon(button, icon)
        return button

    def _make_lesson(self, parent: QWidget) -> QWidget:
        lesson = QWidget(parent)
        self._text = QTextBrowser(lesson)
        self._text.setAccessibleName("question, and what happens")
        self._text.document().setIndentWidth(_INDENT)
        self._text.textChanged.connect(self._share_soon)
        self._answer = AnswerEdit(lesson)
        self._answer.valueChanged.connect(self._show_go_on)
        self._unit = PlainLabel("", lesson)
        # Not the Y: without its kerning the words need more room than is kept for them.
        label = PlainLabel("Your an&swer", lesson)
        label.setBuddy(self._answer)
        self._go_on = PrimaryButton(_COMMIT, lesson)
        self._go_on.clicked.connect(self.go_on)
        self._again = QPushButton(_AGAIN, lesson)
        self._again.setToolTip("Another answer; the first one counts")
        self._again.clicked.connect(self.answer_again)
        self._progress = QProgressBar(lesson)
        self._progress.setRange(0, _PARTS)
        self._progress.setTextVisible(False)
        self._progress.setFixedWidth(120)
        self._status = ElidedLabel("", lesson)
        row = QHBoxLayout()
        for part in (label, self._answer, self._unit, self._go_on, self._again):
            row.addWidget(part)
        row.addWidget(self._progress)
        row.addWidget(self._status, 1)
        self._column = column = QVBoxLayout(lesson)
        spaced(column, NEAR)
        column.addWidget(self._text, 1)
        column.addLayout(row)
        return lesson

    # -- the course -------------------------------------------------------------------------

    def add(self, path: Path) -> bool:
        """Add a lesson to the course; one that cannot be used says why in the page."""
        try:
            attempt = self.course.add(path)
        except linesim.scenario.ScenarioFaults as faults:
            self._wrong.say(f"This is no lesson that can be used: {fault_words(faults)}")
            return False
        self._say("")
        attempt.changed.connect(self._refresh)
        self.chooser.addItem(self._name_of(attempt))
        return True

    def open(self, path: Path) -> bool:
        """Add a lesson and show it."""
        added = self.add(path)
        if added:
            self.chooser.setCurrentIndex(self.chooser.count() - 1)
            self._answer.setFocus()
        return added

    def _ask_own(self) -> None:
        path = dialogs.ask_open(self, "Open a lesson", "Lessons (*.toml)")
        if path is not None:
            self.open(path)

    def _ask_who(self) -> None:
        asked = "A name, or group. Whoever it is begins with the first lesson."
        who, yes = QInputDialog.getText(self, "Who answers?", asked, text=self.course.who)
        if yes and who.strip():
            self.course.begin(who.strip())

    def _begin(self) -> None:
        """The first lesson, and nothing of what the one before typed."""
        self._shown = None
        self.chooser.setCurrentIndex(0)
        self._chosen(0)
        self._answer.setFocus()

    def _ask_save(self) -> bool:
        path = dialogs.ask_file(self, "Save the answers", "answers.csv", "Tables (*.csv)")
        return path is not None and self.save(path)

    def save(self, path: Path) -> bool:
        """Keep all answers in this file, and those still to come; False where that fails."""
        try:
            self.course.save(path)
        except OSError as error:
            self._wrong.say(f"It could not be written: {error}")
            return False
        dialogs.WRITTEN.told.emit(path)
        self._say(f"Answers still to come are written to {path.name}, too.")
        return True

    def confirm_close(self) -> bool:
        """Whether the window may close; asks where answers are in no file."""
        unsaved = self.course.unsaved
        if not unsaved:
            return True
        are = "is" if unsaved == 1 else "are"
        taken = dialogs.choose(
            self,
            "Answers to lessons",
            f"{linesim.statistics.counted(unsaved, 'answer')} to lessons {are} in no file.",
            _SAVE,
            dialogs.DISCARD,
            _CANCEL,
            default=_SAVE,
            escape=_CANCEL,
        )
        return self._ask_save() if taken == _SAVE else taken == dialogs.DISCARD

    def _show_course(self) -> None:
        course = self.course
        if course.file is not None and course.unsaved:
            self.save(course.file)
            return
        for number, attempt in enumerate(course.attempts):
            self.chooser.setItemText(number, self._name_of(attempt))
        self._who.setText(f"Who &answers: {course.who.replace('&', '&&')}")
        self._save.setEnabled(bool(course.answers))
        words = linesim.report.score_words(course.mine, len(course.attempts))
        self._score.setText(words)
        self._refresh()

    def _name_of(self, attempt: Attempt) -> str:
        number = self.course.attempts.index(attempt) + 1
        right = self.course.mark(attempt)
        mark = "" if right is None else f"  ({_MARKS[right]})"
        return f"{number}  {attempt.lesson.title}{mark}"

    def _say(self, words: str) -> None:
        self._wrong.say()
        self._said.setText(words)
        self._said.setVisible(bool(words))

    @property
    def attempt(self) -> Attempt | None:
        """The lesson that is looked at, as far as it has come."""
        return self._shown

    # -- the lesson -------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._look()

    def _look(self) -> None:
        if self._shown is not None and self.isVisible():
            self._shown.look(self._pool)

    def _chosen(self, row: int) -> None:
        if not 0 <= row < len(self.course.attempts):
            return
        self._keep_typed()
        self._shown = attempt = self.course.attempts[row]
        self._answer.ask(attempt.lesson, attempt.answer)
        self._look()
        self._refresh()

    def _keep_typed(self) -> None:
        """What was typed and not committed to is there again when the lesson is."""
        shown = self._shown
        if shown is not None and not shown.committed:
            shown.answer = self._answer.answer

    def _show_go_on(self) -> None:
        """One commits to a number; once its truth is told there is the next lesson, or none."""
        shown = self._shown
        if shown is None:
            return
        self._unit.setText(self._answer.unit)
        told = shown.truth is not None
        last = self.chooser.currentIndex() == self.chooser.count() - 1
        self._go_on.setText(_NEXT if told else _COMMIT)
        may_commit = not shown.running and self._answer.answer is not None
        self._go_on.setEnabled(not last if told else may_commit)
        if self.window().focusWidget() is self:
            self._hand_on()

    def _hand_on(self) -> None:
        """Enter leads on from what the page itself had the keyboard for: commit, read, next."""
        shown = self._shown
        if shown is not None and (shown.truth is not None or not shown.running):
            (self._answer if shown.truth is None else self._go_on).setFocus()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """A page that is gone to as a whole takes the answer, or goes on."""
        super().focusInEvent(event)
        self._hand_on()

    def _refresh(self) -> None:
        """Show how far the lesson that is looked at is."""
        shown = self._shown
        if shown is None:
            return
        truth, running = shown.truth, shown.running
        self._answer.setEnabled(not shown.committed)
        self._show_go_on()
        self._again.setVisible(truth is not None and not running)
        self._who.setEnabled(not self.course.running)
        self._progress.setVisible(running)
        self._progress.setValue(round(_PARTS * shown.part))
        self._status.setText(shown.words if running else shown.error)
        self.picture.show_attempt(shown)
        self._show_text(shown)

    def _show_text(self, shown: Attempt) -> None:
        text = (shown, shown.truth, shown.answer if shown.committed else None)
        if same(text, self._text_shown):
            return
        before, truth_before = (*self._text_shown, None, None)[:2]
        grown = before is shown and truth_before is not None and shown.truth is not None
        self._text_shown = text
        bar = self._text.verticalScrollBar()
        read_to = bar.value()
        if shown.truth is None:
            self._text.setHtml(question_html(shown.lesson, shown.scenario))
        else:
            self._text.setHtml(truth_html(shown.lesson, shown.truth, shown.given))
        # What comes in later must not take away what is being read.
        bar.setValue(read_to if grown else 0)

    def go_on(self) -> None:
        """The answer stands; now the line is run. Or, once it is told, the next lesson."""
        shown = self._shown
        if shown is None:
            return
        if shown.truth is not None:
            self.chooser.setCurrentIndex(
                min(self.chooser.currentIndex() + 1, self.chooser.count() - 1)
            )
            self._answer.setFocus()
            self._answer.selectAll()
        elif not shown.running and (answer := self._answer.answer) is not None:
            shown.commit(answer, self._pool)
            # Answer and button rest until it is told: the focus must not go to what is next.
            self.setFocus()
            self._hand_on()

    def answer_again(self) -> None:
        """Another answer to the same lesson; the first one stays in the table, and counts."""
        if self._shown is not None:
            self._shown.begin_again()
            self._answer.setFocus()
            self._answer.selectAll()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Return in the answer commits to it; on the button it goes on."""
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and self.focusWidget() in (self._answer, self._go_on):
            if self._go_on.isEnabled():
                self.go_on()
        else:
            super().keyPressEvent(event)
