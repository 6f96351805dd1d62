"""A stop log under work: read, matched and fitted in other processes. No widgets."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal

import linesim
from gui.document import Document
from gui.work.log_task import FittedLog
from gui.workers import Task, WorkerPool


class LogWork(QObject):
    """What is known of a log: ``look`` once it is read, ``fitted`` once it is fitted.

    ``changed`` comes when what is known or under way is another.
    """

    changed = Signal()
    looked = Signal()
    fits_in = Signal()
    progress = Signal(float, str)
    status = Signal(str)
    """How something ended, or what began."""
    failed = Signal(str, str)

    def __init__(self, document: Document, pool: WorkerPool, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document, self._pool = document, pool
        self.paths: tuple[Path, ...] = ()
        self.look: linesim.plant.LogLook | None = None
        self.fitted: FittedLog | None = None
        self._task: Task | None = None
        self._fits = False
        self._looked_at: object = None

    @property
    def busy(self) -> bool:
        """Whether a log is being read or fitted."""
        return self._task is not None

    @property
    def fitting(self) -> bool:
        """Whether a fit is under way."""
        return self._task is not None and self._fits

    @property
    def stale(self) -> bool:
        """Whether causes were matched to other stops than the scenario has now.

        After a fit they are not: the scenario changes by what is written into it.
        """
        read = bool(self.paths) and self.fitted is None
        return read and self._looked_at != names_of(self._document.scenario)

    @property
    def why_not_written(self) -> str:
        """Why nothing can be written into the scenario now; empty where it can."""
        scenario = self._document.scenario
        if self.fitted is None:
            return "Fit the causes first"
        if scenario is None or self._document.faults:
            return "The scenario has faults; correct them first"
        if names_of(scenario) != names_of(self.fitted.fits.scenario):
            return "The scenario has other stops than the one these fits were made for"
        return ""

    def read(
        self,
        paths: tuple[Path, ...],
        reading: linesim.plant.LogSettings,
        settings: linesim.plant.FitSettings,
        *,
        forget: bool = False,
    ) -> None:
        """Look at a log, or at several together; what was known before is forgotten."""
        self._give_up()
        self.paths, self.fitted = paths, None
        self._looked_at = names_of(self._document.scenario)
        task = self._pool.call(
            "look_at_log",
            paths=paths,
            scenario=self._document.scenario,
            reading=reading,
            settings=settings,
            forget=forget,
        )
        self._watch(task, fits=False, words=f"reading {paths[0].name} …")
        task.finished.connect(lambda look: self._looked(task, look))

    def fit(self, settings: linesim.plant.FitSettings) -> None:
        """Fit every cause of the log as it was read."""
        if self.busy or self.look is None or self.look.matched is None:
            return
        task = self._pool.call(
            "fit_log",
            log=self.look.matched.log,
            scenario=self._document.scenario,
            settings=settings,
        )
        self._watch(task, fits=True, words="starting …")
        task.progress.connect(lambda part, words: self.progress.emit(part, words))
        task.finished.connect(lambda fitted: self._fitted(task, fitted))
        task.cancelled.connect(lambda: self._over(task, "Stopped; nothing was fitted."))

    def stop(self) -> None:
        """No fit, after all."""
        if self._task is not None and self._fits:
            self._task.cancel()

    def write(self, chosen: list[linesim.plant.CauseFit]) -> str:
        """Write these into the document, as one step that undo takes back; says what was done."""
        scenario, fitted = self._document.scenario, self.fitted
        if fitted is None or scenario is None or self.why_not_written:
            return ""
        found = linesim.plant.write_fits(self._document.text, scenario, fitted.fits, chosen)
        self._document.end_step()
        self._document.set_text(found.text, f"fits of {fitted.fits.log.name}")
        self._document.end_step()
        return " ".join(linesim.report.written_words(found, self._document.name))

    def save(self, folder: Path) -> str:
        """Write tables and pictures of the fits into a folder; says how many. Raises OSError."""
        if self.fitted is None:
            return ""
        tables = linesim.report.write_answer_csv(folder, self.fitted.answer)
        pictures = linesim.report.write_fit_pictures(folder, self.fitted.fits.fits)
        return f"{len(tables)} tables and {len(pictures)} pictures written to {folder}."

    def _watch(self, task: Task, *, fits: bool, words: str) -> None:
        self._task, self._fits = task, fits
        self.status.emit(words)
        self.changed.emit()
        task.failed.connect(lambda words, details: self._failed(task, words, details))

    def _give_up(self) -> None:
        task, self._task = self._task, None
        if task is not None:
            task.cancel()

    def _looked(self, task: Task, look: linesim.plant.LogLook) -> None:
        if task is self._task:
            self.look = look
            self._over(task, "")
            self.looked.emit()

    def _fitted(self, task: Task, fitted: FittedLog) -> None:
        if task is self._task:
            self.fitted = fitted
            self._over(task, "Complete.")
            self.fits_in.emit()

    def _failed(self, task: Task, words: str, details: str) -> None:
        if task is self._task:
            if not self._fits:
                self.look = None
            self._over(task, "")
            self.failed.emit(words, details)

    def _over(self, task: Task, words: str) -> None:
        if task is self._task:
            self._task = None
            self.status.emit(words)
            self.changed.emit()


def names_of(scenario: linesim.scenario.Scenario | None) -> object:
    """What causes are matched to: stops and wrappers by name, in order, and the meters."""
    if scenario is None:
        return None
    stops = tuple((stop.cause, stop.station, stop.meter) for stop in scenario.stop)
    return stops, tuple(wrapper.name for wrapper in scenario.wrapper)
