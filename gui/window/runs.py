"""Keeps the run on screen true to the scenario: every change is run again at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

import linesim
from gui.shift import ShownShift
from gui.workers import Task, WorkerPool

if TYPE_CHECKING:
    from gui.document import Document
    from gui.work.shift_task import ShiftRun
    from linesim import ForcedStop, Scenario
    from linesim.studies import Replicated

RUNS_FOR_FIGURES = 10
_WAIT_FOR_MORE_TYPING_MS = 15


class Runs(QObject):
    """Listens to the document and shows its line's run in ``shown``.

    The run before a change stays as its ghost. A change of replication or length is a question of
    its own: nothing of the old run can be compared with the new one, so no ghost is kept.
    """

    started = Signal()
    """A run is being made, perhaps in place of one that was."""
    failed = Signal(str, str)
    progress = Signal(float, str)

    def __init__(
        self, document: Document, shown: ShownShift, pool: WorkerPool, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.document, self.shown, self.pool = document, shown, pool
        self.hours = 8.0
        self.seed = 1
        self.replication = 0
        self.forced: tuple[ForcedStop, ...] = ()
        self._wanted: Scenario | None = None
        self._on_screen: Scenario | None = None
        self._figures_of: tuple[Scenario, Replicated] | None = None
        self._ghost_figures: Replicated | None = None
        self._task: Task | None = None
        self._first_run = True
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_WAIT_FOR_MORE_TYPING_MS)
        self._timer.timeout.connect(self.run_now)
        document.changed.connect(self._on_document)

    def _on_document(self) -> None:
        scenario = self.document.scenario
        if scenario is not None and scenario != self._wanted:
            self.forced = ()
            self._timer.start()

    def clear_comparison(self) -> None:
        """Another file was opened: the run on screen is no ghost of what comes."""
        self._on_screen = None
        self._figures_of = None
        self.forced = ()

    def close(self) -> None:
        """The window closes: nothing is run any more."""
        self._timer.stop()
        # What is still under way ends after the views are gone.
        self._task, self._on_screen = None, None
        self.document.changed.disconnect(self._on_document)

    def set_run(self, *, hours: float, seed: int, replication: int) -> None:
        """Run so many hours of this replication."""
        if (hours, seed, replication) != (self.hours, self.seed, self.replication):
            self.hours, self.seed, self.replication = hours, seed, replication
            self.clear_comparison()
            self.run_now()

    def force(self, stops: tuple[ForcedStop, ...]) -> None:
        """Run the line again with these stops in it; none takes them out."""
        self.forced = stops
        self.run_now()

    def start_over(self, *, hours: float) -> None:
        """Run so many hours with the first replication, as if nothing had been shown before."""
        self.hours, self.replication = hours, 0
        self.clear_comparison()
        self._first_run = True
        self.run_now()

    def take_out(self) -> None:
        """Show the line without a stop put in."""
        self.clear_comparison()
        self.run_now()

    def run_now(self) -> None:
        """Run the line of the document as it is now."""
        self._timer.stop()
        scenario = self.document.scenario
        if scenario is None:
            # A file that never was without a fault: no run on screen is of it.
            self._task = self._wanted = None
            self.clear_comparison()
            self.shown.busy = False
            self.shown.clear()
            return
        self._wanted = scenario
        self.shown.busy = True
        self.started.emit()
        task = self.pool.run_shift(
            scenario,
            hours=self.hours,
            seed=self.seed,
            replication=self.replication,
            forced=self.forced,
            on_arrival=self._prepare,
        )
        self._task = task
        task.progress.connect(self.progress)
        task.finished.connect(lambda run: self._show(task, scenario, run))
        task.failed.connect(lambda words, details: self._fail(task, words, details))

    def _prepare(self, run: ShiftRun) -> None:
        self.shown.prepare(run.record, run.ghost)

    def _fail(self, task: Task, words: str, details: str) -> None:
        if task is self._task:
            self.shown.busy = False
            self.failed.emit(words, details)

    def _show(self, task: Task, scenario: Scenario, run: ShiftRun) -> None:
        if task is not self._task:
            return
        ghost, before = run.ghost, self._on_screen
        changed = scenario != before
        # Where only what is not known of the line was stated anew, its run is the same.
        other_line = before is None or _as_run(scenario) != _as_run(before)
        if ghost is None and changed and before is not None:
            # Without a forced stop the ghost is the run before the last change of the line.
            if self.shown.forced:
                ghost = self.shown.ghost if other_line else None
            else:
                ghost = self.shown.record if other_line else self.shown.ghost
        self.shown.busy = False
        first, self._first_run = self._first_run, False
        self.shown.show(run.record, ghost=ghost, forced=self.forced, disturbance=run.disturbance)
        if first:
            # The middle of a shift says more than its first moment, when nothing moves yet.
            self.shown.cursor_ns = (run.record.start_ns + run.record.end_ns) // 2
        if changed:
            if other_line:
                kept = self._figures_of
                self._ghost_figures = kept[1] if kept and before is not None else None
            self._on_screen = scenario
            self._ask_figures(scenario)
        elif self._figures_of is not None:
            self._show_figures(*self._figures_of)

    def _ask_figures(self, scenario: Scenario) -> None:
        self.shown.show_figures(None)
        task = self.pool.run_figures(
            scenario, hours=self.hours, seed=self.seed, replications=RUNS_FOR_FIGURES
        )
        task.finished.connect(lambda figures: self._show_figures(scenario, figures))
        task.failed.connect(lambda *said: self._figures_failed(scenario, *said))

    def _figures_failed(self, scenario: Scenario, words: str, details: str) -> None:
        if scenario == self._on_screen:
            self.shown.show_figures(None, failed=True)
        self.failed.emit(words, details)

    def _show_figures(self, scenario: Scenario, figures: Replicated) -> None:
        if scenario == self._on_screen:
            self._figures_of = (scenario, figures)
            ghost = self._ghost_figures
            # Runs of plants that agree with what is known and runs of the line as stated are no
            # pairs.
            pairs = ghost is not None and ghost.crossed == figures.crossed
            self.shown.show_figures(figures, ghost if pairs else None)


def _as_run(scenario: Scenario) -> Scenario:
    """The line of a scenario as its single runs see it: as stated."""
    return linesim.scenario.without_doubt(scenario)
