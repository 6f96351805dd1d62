"""All work the window has done for it, by kind."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject

from gui.jobs.job import Job
from gui.jobs.reader import Reader
from gui.jobs.worker import Worker
from gui.work.begin import Begun

if TYPE_CHECKING:
    from gui.work.shift_task import ShiftRun
    from linesim import ForcedStop, Question, Scenario, Settings

_LASTING = {
    "ask": "a study",
    "ask_sizes": "a study",
    "lesson": "a lesson",
    "fit_log": "the fit of a stop log",
    "report": "a report",
    "run_tables": "tables of a run",
    "run_told": "runs in figures",
}
"""Tasks that somebody waits for."""


class Jobs(QObject):
    """A process for the run on screen, one for figures, and one more for each study under way.

    The run on screen comes first: the others give way where the processors are busy.
    """

    def __init__(self, parent: QObject | None = None, *, begun: Begun | None = None) -> None:
        """``begun`` is the process for the run on screen, where one was started already."""
        super().__init__(parent)
        self._reader = Reader(self)
        self._shift = Worker("linesim-shift", self, begun=begun, reader=self._reader)
        self._figures = Worker("linesim-figures", self, reader=self._reader, aside=True)
        self._others: list[Worker] = []
        self._spare: Worker | None = None
        self._keeps_spare = False
        self._shift_job: Job | None = None
        self._figures_job: Job | None = None

    def warm(self) -> None:
        """Start the process that will be needed at once."""
        self._shift.start()

    def keep_spare(self) -> None:
        """From now on have a process waiting for the next study, so that it need not start."""
        self._keeps_spare = True
        if self._spare is None:
            self._spare = self._another()
            self._spare.start()

    def _another(self) -> Worker:
        # A study may have processes of its own.
        return Worker("linesim-study", self, reader=self._reader, aside=True, alone=False)

    def run_shift(
        self,
        scenario: Scenario,
        *,
        hours: float,
        seed: int,
        replication: int = 0,
        forced: tuple[ForcedStop, ...] = (),
        on_arrival: Callable[[ShiftRun], None] | None = None,
    ) -> Job:
        """One run with history; a request takes the place of the one before.

        ``on_arrival``: as :meth:`Worker.submit` has it.
        """
        if self._shift_job is not None:
            self._shift_job.cancel()
        self._shift_job = self._shift.submit(
            "shift",
            on_arrival,
            scenario=scenario,
            hours=hours,
            seed=seed,
            replication=replication,
            forced=forced,
        )
        return self._shift_job

    def run_figures(
        self, scenario: Scenario, *, hours: float, seed: int, replications: int = 10
    ) -> Job:
        """Figures with intervals; a request takes the place of the one before."""
        if self._figures_job is not None:
            self._figures_job.cancel()
        self._figures_job = self._figures.submit(
            "figures", scenario=scenario, hours=hours, seed=seed, replications=replications
        )
        return self._figures_job

    def engine(self) -> Job:
        """Have the compiled engine made, if it is not there; finishes at once with how it stands.

        Whoever looks again is told by the same process, which alone knows how its maker ended.
        """
        return self._figures.submit("engine")

    def ask(
        self,
        question: Question,
        scenario_texts: Sequence[tuple[str, str]],
        settings: Settings,
        *,
        long_run: bool = False,
        study_file: Path | None = None,
    ) -> Job:
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

    def call(self, task: str, **arguments: Any) -> Job:
        """Any other task, in a process of its own; one that is done waits for the next."""
        worker, self._spare = self._spare or self._another(), None
        self._others.append(worker)
        job = worker.submit(task, **arguments)
        for ended in (job.finished, job.failed, job.cancelled):
            ended.connect(lambda *_: self._end(worker))
        return job

    def lasting(self) -> Worker:
        """A process for tasks that build on each other; it stays until the window closes."""
        worker, self._spare = self._spare or self._another(), None
        self._others.append(worker)
        return worker

    def _end(self, worker: Worker) -> None:
        if worker not in self._others:
            return
        self._others.remove(worker)
        if self._keeps_spare and self._spare is None:
            self._spare = worker
            worker.start()
        else:
            worker.retire()
            worker.deleteLater()

    def under_way(self) -> list[str]:
        """What would be broken off if the window closed now, in words; each kind once."""
        tasks = [task for worker in self._others for task in worker.tasks]
        return list(dict.fromkeys(_LASTING[task] for task in tasks if task in _LASTING))

    def close(self) -> None:
        """End all processes."""
        self._keeps_spare = False
        spare = () if self._spare is None else (self._spare,)
        for worker in (self._shift, self._figures, *spare, *self._others):
            worker.close()
        self._others.clear()
        self._spare = None
        self._reader.close()
