"""All work the window has done for it, by kind."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject

from gui.work.worker_process import WorkerProcess
from gui.workers.reader import Reader
from gui.workers.task import Task
from gui.workers.worker import Worker

if TYPE_CHECKING:
    from gui.work.shift_task import ShiftRun
    from linesim import ForcedStop, Scenario
    from linesim.questions import Question
    from linesim.studies import Replicated, Settings

_AWAITED = {
    "ask": "a study",
    "ask_sizes": "a study",
    "lesson": "a lesson",
    "fit_log": "the fit of a stop log",
    "report": "a report",
    "share": "a shift to share",
    "run_tables": "tables of a run",
    "run_report": "runs in figures",
}
"""Tasks that somebody waits for."""


class WorkerPool(QObject):
    """A process for the run on screen, one for figures, and one more for each study under way.

    The run on screen comes first: the others give way where the processors are busy.
    """

    def __init__(
        self, parent: QObject | None = None, *, shift_process: WorkerProcess | None = None
    ) -> None:
        """``shift_process`` is the process for the run on screen, where one was started already."""
        super().__init__(parent)
        self._reader = Reader(self)
        self._shift = Worker("linesim-shift", self, process=shift_process, reader=self._reader)
        self._figures = Worker("linesim-figures", self, reader=self._reader, low_priority=True)
        self._others: list[Worker] = []
        self._spare: Worker | None = None
        self._spare_enabled = False
        self._shift_task: Task | None = None
        self._figures_task: Task | None = None
        self._story_task: Task | None = None

    def start_shift_worker(self) -> None:
        """Start the process that will be needed at once."""
        self._shift.start()

    def enable_spare(self) -> None:
        """From now on have a process waiting for the next study, so that it need not start."""
        self._spare_enabled = True
        if self._spare is None:
            self._spare = self._another()
            self._spare.start()

    def _another(self) -> Worker:
        # A study may have processes of its own.
        return Worker("linesim-study", self, reader=self._reader, low_priority=True, daemon=False)

    def run_shift(
        self,
        scenario: Scenario,
        *,
        hours: float,
        seed: int,
        replication: int = 0,
        forced: tuple[ForcedStop, ...] = (),
        on_arrival: Callable[[ShiftRun], None] | None = None,
    ) -> Task:
        """One run with history; a request takes the place of the one before.

        ``on_arrival``: as :meth:`Worker.submit` has it.
        """
        if self._shift_task is not None:
            self._shift_task.cancel()
        self._shift_task = self._shift.submit(
            "shift",
            on_arrival,
            scenario=scenario,
            hours=hours,
            seed=seed,
            replication=replication,
            forced=forced,
        )
        return self._shift_task

    def run_figures(
        self, scenario: Scenario, *, hours: float, seed: int, replications: int = 10
    ) -> Task:
        """Figures with intervals; a request takes the place of the one before."""
        for task in (self._figures_task, self._story_task):
            if task is not None:
                task.cancel()
        self._figures_task = self._figures.submit(
            "figures", scenario=scenario, hours=hours, seed=seed, replications=replications
        )
        return self._figures_task

    def run_story(self, figures: Replicated) -> Task:
        """The paragraph of these runs, first without what would help; new figures end it."""
        if self._story_task is not None:
            self._story_task.cancel()
        self._story_task = self._figures.submit("story", figures=figures)
        return self._story_task

    def engine(self) -> Task:
        """Have the compiled engine made, if it is not there; finishes at once with how it stands.

        Whoever looks again is told by the same process, which alone knows how its maker ended.
        """
        return self._figures.submit("engine")

    def about(self) -> Task:
        """What the program is here, a :class:`linesim.about.Facts`."""
        return self._figures.submit("about")

    def ask(
        self,
        question: Question,
        scenario_texts: Sequence[tuple[str, str]],
        settings: Settings,
        *,
        long_run: bool = False,
        study_file: Path | None = None,
    ) -> Task:
        """Put a study question. ``scenario_texts`` are pairs of a name and the file's text.

        Partial results are first a ``KeptRuns`` of ``gui.work.ask_task``, then answers. A study
        that is cancelled finishes with what it has, if that says anything.
        """
        return self.call(
            "ask",
            question=question,
            scenario_texts=tuple(scenario_texts),
            settings=settings,
            long_run=long_run,
            study_file=study_file,
        )

    def call(self, name: str, /, **arguments: Any) -> Task:
        """Any other task, in a process of its own; one that is done waits for the next."""
        worker, self._spare = self._spare or self._another(), None
        self._others.append(worker)
        task = worker.submit(name, **arguments)
        for ended in (task.finished, task.failed, task.cancelled):
            ended.connect(lambda *_: self._end(worker))
        return task

    def reserve_worker(self) -> Worker:
        """A process for tasks that build on each other; it stays until the window closes."""
        worker, self._spare = self._spare or self._another(), None
        self._others.append(worker)
        return worker

    def _end(self, worker: Worker) -> None:
        if worker not in self._others:
            return
        self._others.remove(worker)
        if self._spare_enabled and self._spare is None:
            self._spare = worker
            worker.start()
        else:
            worker.retire()
            worker.deleteLater()

    def under_way(self) -> list[str]:
        """What would be broken off if the window closed now, in words; each kind once."""
        names = [name for worker in self._others for name in worker.task_names]
        return list(dict.fromkeys(_AWAITED[name] for name in names if name in _AWAITED))

    def close(self) -> None:
        """End all processes."""
        self._spare_enabled = False
        spare = () if self._spare is None else (self._spare,)
        for worker in (self._shift, self._figures, *spare, *self._others):
            worker.close()
        self._others.clear()
        self._spare = None
        self._reader.close()
