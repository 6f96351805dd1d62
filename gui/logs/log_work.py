"""A stop log under work: read, matched and fitted in other processes. No widgets."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal

import linesim
from gui.document import Document
from gui.jobs import Job, Jobs
from gui.work.log_task import FittedLog


class LogWork(QObject):
    """What is known of a log: ``look`` once it is read, ``fitted`` once it is fitted.

    ``changed`` comes when what is known or under way is another.
    """

    changed = Signal()
    looked = Signal()
    fits_in = Signal()
    progress = Signal(float, str)
    said = Signal(str)
    """How something ended, or what began."""
    failed = Signal(str, str)

    def __init__(self, document: Document, jobs: Jobs, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document, self._jobs = document, jobs
        self.path: Path | None = None
        self.look: linesim.plant.LogLook | None = None
        self.fitted: FittedLog | None = None
        self._job: Job | None = None
        self._fits = False
        self._looked_at: object = None

    @property
    def busy(self) -> bool:
        """Whether a log is being read or fitted."""
        return self._job is not None

    @property
    def fitting(self) -> bool:
        """Whether a fit is under way."""
        return self._job is not None and self._fits

    @property
    def stale(self) -> bool:
        """Whether causes were matched to other stops than the scenario has now.

        After a fit they are not: the scenario changes by what is written into it.
        """
        read = self.path is not None and self.fitted is None
        return read and self._looked_at != names_of(self._document.scenario)

    @property
    def why_not_written(self) -> str:
        """Why nothing can be written into the scenario now; empty where it can."""
        scenario = self._document.scenario
        if self.fitted is None:
            return "Fit the causes first"
        if scenario is None or self._document.faults:
            return "The scenario has faults; put them right first"
        if names_of(scenario) != names_of(self.fitted.fits.scenario):
            return "The scenario has other stops than the one these fits were made for"
        return ""

    def read(
        self,
        path: Path,
        reading: linesim.plant.LogSettings,
        settings: linesim.plant.FitSettings,
        *,
        forget: bool = False,
    ) -> None:
        """Look at a log; what was known before is forgotten."""
        self._give_up()
        self.path, self.fitted = path, None
        self._looked_at = names_of(self._document.scenario)
        job = self._jobs.call(
            "look_at_log",
            path=path,
            scenario=self._document.scenario,
            reading=reading,
            settings=settings,
            forget=forget,
        )
        self._watch(job, fits=False, words=f"reading {path.name} …")
        job.finished.connect(lambda look: self._looked(job, look))

    def fit(self, settings: linesim.plant.FitSettings) -> None:
        """Fit every cause of the log as it was read."""
        if self.busy or self.look is None or self.look.matched is None:
            return
        job = self._jobs.call(
            "fit_log",
            log=self.look.matched.log,
            scenario=self._document.scenario,
            settings=settings,
        )
        self._watch(job, fits=True, words="starting …")
        job.progress.connect(lambda part, words: self.progress.emit(part, words))
        job.finished.connect(lambda fitted: self._fitted(job, fitted))
        job.cancelled.connect(lambda: self._over(job, "Stopped; nothing was fitted."))

    def stop(self) -> None:
        """No fit, after all."""
        if self._job is not None and self._fits:
            self._job.cancel()

    def write(self, chosen: list[linesim.plant.CauseFit]) -> str:
        """Write these into the document, as one step that undo takes back; says what was done."""
        scenario, fitted = self._document.scenario, self.fitted
        if fitted is None or scenario is None or self.why_not_written:
            return ""
        found = linesim.plant.write_fits(self._document.text, scenario, fitted.fits.log, chosen)
        name = Path(fitted.fits.log.file).name
        self._document.part()
        self._document.set_text(found.text, f"fits of {name}")
        self._document.part()
        return " ".join(linesim.report.written_words(found, self._document.name))

    def save(self, folder: Path) -> str:
        """Write tables and pictures of the fits into a folder; says how many. Raises OSError."""
        if self.fitted is None:
            return ""
        tables = linesim.report.write_answer_csv(folder, self.fitted.answer)
        pictures = linesim.report.write_fit_pictures(folder, self.fitted.fits.fits)
        return f"{len(tables)} tables and {len(pictures)} pictures written to {folder}."

    def _watch(self, job: Job, *, fits: bool, words: str) -> None:
        self._job, self._fits = job, fits
        self.said.emit(words)
        self.changed.emit()
        job.failed.connect(lambda words, details: self._failed(job, words, details))

    def _give_up(self) -> None:
        job, self._job = self._job, None
        if job is not None:
            job.cancel()

    def _looked(self, job: Job, look: linesim.plant.LogLook) -> None:
        if job is self._job:
            self.look = look
            self._over(job, "")
            self.looked.emit()

    def _fitted(self, job: Job, fitted: FittedLog) -> None:
        if job is self._job:
            self.fitted = fitted
            self._over(job, "Complete.")
            self.fits_in.emit()

    def _failed(self, job: Job, words: str, details: str) -> None:
        if job is self._job:
            if not self._fits:
                self.look = None
            self._over(job, "")
            self.failed.emit(words, details)

    def _over(self, job: Job, words: str) -> None:
        if job is self._job:
            self._job = None
            self.said.emit(words)
            self.changed.emit()


def names_of(scenario: linesim.scenario.Scenario | None) -> object:
    """What causes are matched to: stops and wrappers by name, in order, and the meters."""
    if scenario is None:
        return None
    stops = tuple((stop.cause, stop.station, stop.meter) for stop in scenario.stop)
    return stops, tuple(wrapper.name for wrapper in scenario.wrapper)
