"""The paragraph that tells the line on screen: made beside the window, never of another line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from gui.document import with_titles
from gui.shift import ShownShift, connect_weakly

if TYPE_CHECKING:
    from gui.workers import Task, WorkerPool
    from linesim.report import Story
    from linesim.studies import Replicated

MAKING = "What the line makes, what it loses and what would help: being run …"
FAILED = (
    "What the line makes, what it loses and what would help is not known: the runs for it failed."
    " Another run makes them again."
)
HELP = "What would help"
"""Sentences on it begin so."""
_HELP_TO_COME = f"{HELP} is being run …"


class RunStory(QObject):
    """Asks whenever figures of many runs come in, and says nothing old while a run is made.

    Nothing is said of a run with a stop put in: the figures are of the line without it.
    """

    changed = Signal()
    """``text`` is another."""

    def __init__(self, shown: ShownShift, pool: WorkerPool, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._shown, self._pool = shown, pool
        self._task: Task | None = None
        self._told: tuple[Replicated, Story] | None = None
        self.text = self.short = ""
        """The paragraph; in ``short`` without what is lost, for which there is a picture."""
        connect_weakly(shown.record_changed, self._look)
        connect_weakly(shown.figures_changed, self._look)
        connect_weakly(shown.busy_changed, self._on_busy)

    @property
    def under_way(self) -> bool:
        """Whether more is to come."""
        return self._task is not None

    @property
    def told(self) -> str:
        """``short``, once nothing of it is still to come; empty before."""
        known = self._told is not None and self.text == with_titles(self._told[1].text)
        return self.short if known and not self.under_way else ""

    def ask_again(self) -> None:
        """Runs have become quick: ask what would help, where that was not told."""
        if self._told is not None and self._told[1].helps is None:
            self._told = None
            self._look()

    def _on_busy(self, _busy: bool) -> None:
        self._look()

    def _look(self) -> None:
        record, figures, told = self._shown.record, self._shown.figures, self._told
        task, self._task = self._task, None
        if task is not None:
            task.cancel()
        if record is None or self._shown.forced:
            self._set("")
        elif self._shown.figures_failed and not self._shown.busy:
            self._set(FAILED)
        elif self._shown.busy or figures is None or figures.scenario != record.scenario:
            self._set(MAKING)
        elif told is not None and told[0] is figures:
            self._set(told[1].text, told[1].short)
        else:
            self._set(MAKING)
            self._task = task = self._pool.run_story(figures)
            task.partial.connect(self._on_first)
            task.finished.connect(self._on_finished)
            task.failed.connect(self._on_failed)

    def _on_first(self, story: Story) -> None:
        if self._is_current():
            self._set(*(f"{each} {_HELP_TO_COME}" for each in (story.text, story.short)))

    def _on_finished(self, story: Story) -> None:
        figures = self._shown.figures
        if self._is_current() and figures is not None:
            self._task = None
            self._told = figures, story
            self._set(story.text, story.short)

    def _on_failed(self, words: str, _details: str) -> None:
        if self._is_current():
            self._task = None
            self._set(f"The line could not be told: {words}")

    def _is_current(self) -> bool:
        return self._task is not None and self.sender() is self._task

    def _set(self, words: str, short: str = "") -> None:
        words, short = with_titles(words), with_titles(short)
        if words != self.text:
            self.text, self.short = words, short or words
            self.changed.emit()
