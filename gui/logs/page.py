"""The page of a stop log: a file, its columns and causes put right, the fits, into the scenario."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QShowEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui import dialogs
from gui.document import LOGS, STOP_LOG, Document
from gui.logs.columns_row import ColumnsRow
from gui.logs.log_options import LogOptions
from gui.logs.log_tabs import LogTabs
from gui.logs.log_work import LogWork
from gui.logs.parts import dropped_tables, fault_text
from gui.look import (
    NEAR,
    FaultLabel,
    PageTitle,
    PlainLabel,
    fold_button,
    placeholder_label,
    plain_tip,
    spaced,
    wrapped_label,
)
from gui.pages.progress_row import ProgressRow
from gui.shift import connect_weakly
from gui.workers import WorkerPool

_ABOUT = (
    "What the plant's own stop log says of each cause: how often, for how long, and how sure that"
    " is. Every row that cannot be used is listed with its reason."
)
_WRITES = "Each with a note of where its figures came from; undo takes it back"
_NOT_READ = "Once the log can be read, its causes stand here."
_NOTHING = (
    "Choose logs or drop them here: CSV files or workbooks with a row for each stop.\n"
    "Columns: when it began, when it ended or how long it took, where, and why."
)


class StopLogPage(QWidget):
    """File and options on top, then columns, then tabs: causes, rows left out, fits, notes."""

    def __init__(self, document: Document, pool: WorkerPool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._written_text: str | None = None
        """The scenario's text with the fits in it, while the page says that they are."""
        self.work = LogWork(document, pool, self)
        self._causes: dict[str, str] = {}
        self._stations: dict[str, str] = {}
        self.columns = ColumnsRow(self)
        self.options = LogOptions(document.plant_tables, self)
        self.tabs = LogTabs()
        self.run = ProgressRow("Fit each ca&use", bar_px=120)
        self._build()
        self.setAcceptDrops(True)
        document.changed.connect(self._scenario_changed)
        document.faults_changed.connect(self._update_enabled)
        connect_weakly(document.plant_tables.changed, self._take_chosen)
        self._update_enabled()

    # -- building ---------------------------------------------------------------------------

    def _build(self) -> None:
        self.about = PlainLabel(_ABOUT)
        self.about.setWordWrap(True)
        self.choose = QPushButton("&Choose a log…")
        self.choose.clicked.connect(self._ask)
        self.example = QPushButton("Try an &invented one")
        self.example.setToolTip(
            "The log and the counts of an invented plant, as dirty as real ones"
        )
        self.example.clicked.connect(self._open_example)
        self.file = PlainLabel()
        self.file.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.show_options = fold_button("&Options", self.options)
        self.show_columns = fold_button("Colum&ns", self.columns)
        self.show_columns.setChecked(True)
        head = QHBoxLayout()
        for button in (self.choose, self.example):
            head.addWidget(button)
        head.addWidget(self.file)
        head.addStretch(1)
        head.addWidget(self.show_columns)
        head.addWidget(self.show_options)
        self.error, self.counts, self.written = FaultLabel(), wrapped_label(), wrapped_label()
        bold = self.counts.font()
        bold.setBold(True)
        self.counts.setFont(bold)
        self.nothing = placeholder_label(_NOTHING)
        self.write = QPushButton("&Write the ticked fits into the scenario")
        self.write.clicked.connect(self.write_fits)
        self.save = QPushButton("&Save it all…")
        self.save.setToolTip("Tables as CSV and the pictures of every cause as SVG, in a folder")
        self.save.clicked.connect(self._ask_folder)
        foot = QHBoxLayout()
        foot.addWidget(self.write)
        foot.addWidget(self.save)
        foot.addWidget(self.written, 1)
        foot.addStretch(0)
        layout = QVBoxLayout(self)
        spaced(layout, NEAR, NEAR)
        layout.addWidget(PageTitle(STOP_LOG))
        layout.addWidget(self.about)
        layout.addLayout(head)
        for part in (self.options, self.columns, self.error, self.counts, self.run):
            layout.addWidget(part)
        layout.addWidget(self.nothing, 1)
        layout.addWidget(self.tabs, 1)
        layout.addLayout(foot)
        self.columns.changed.connect(self.reread)
        self.columns.forgotten.connect(self._forget)
        self.options.changed.connect(self.reread)
        self.tabs.causes.renamed.connect(self._renamed)
        self.tabs.causes.placed.connect(self._placed)
        self.tabs.fits.ticked.connect(self._update_enabled)
        self.run.start.clicked.connect(self.fit)
        self.run.stop.clicked.connect(self.stop)
        self.work.changed.connect(self._update_enabled)
        self.work.looked.connect(self._looked)
        self.work.fits_in.connect(self._fits_in)
        self.work.progress.connect(self.run.show_progress)
        self.work.status.connect(self.run.show_status)
        self.work.failed.connect(self._failed)

    @property
    def told(self) -> tuple[str, ...]:
        """What stands on the page before anything is fitted."""
        said = (self.about, self.file, self.error, self.counts, self.nothing)
        words = (" ".join(each.text().split()) for each in said if not each.isHidden())
        return tuple(each for each in words if each)

    # -- the log ----------------------------------------------------------------------------

    def open(self, *paths: Path) -> None:
        """Read this log, or these together; nothing is told of them yet."""
        self._causes, self._stations = {}, {}
        self.columns.begin()
        self.show_columns.setChecked(True)
        more = f" and {len(paths) - 1} more" if len(paths) > 1 else ""
        self.file.setText(f"{paths[0].name}{more}")
        self.file.setToolTip(plain_tip("\n".join(map(str, paths))))
        self._read(paths)
        self._document.plant_tables.choose(LOGS, paths)

    def _take_chosen(self) -> None:
        """Read the logs that were chosen on another page, or when the scenario was open before."""
        chosen = self._document.plant_tables.of(LOGS)
        other = chosen and chosen != self.work.paths
        if other and self.isVisible() and all(path.is_file() for path in chosen):
            self.open(*chosen)

    def reread(self, *_: object, forget: bool = False) -> None:
        """Read the log as it is told now."""
        if self.work.paths:
            self._read(self.work.paths, forget=forget)

    def _read(self, paths: tuple[Path, ...], *, forget: bool = False) -> None:
        try:
            reading = self.options.reading(self.columns.overrides, self._causes, self._stations)
            settings = self.options.settings()
        except ValueError as error:
            self.error.say(str(error))
            return
        self._show_written("")
        self.work.read(paths, reading, settings, forget=forget)

    def _looked(self) -> None:
        look = self.work.look
        assert look is not None
        self.columns.show_look(look)
        self.options.show_counter(bool(look.columns.get("counter")))
        named = len(self.work.paths) > 1
        self.error.say(*(fault_text(each, named=named) for each in look.faults))
        if look.faults:
            self.show_columns.setChecked(True)
        self._show_matched(look.matched)
        self._update_enabled()

    def _show_matched(self, matched: linesim.plant.MatchedLog | None) -> None:
        self.counts.setVisible(matched is not None)
        self.tabs.show_log(matched, self._document.scenario)
        if matched is not None:
            log = matched.log
            counts = linesim.report.log_words(log)[0]
            self.counts.setText(counts.removeprefix(f"{log.name}: "))

    def _renamed(self, written: tuple[str, ...], name: str) -> None:
        for each in written:
            self._causes[each] = name
        self.reread()

    def _placed(self, written: tuple[str, ...], station: str) -> None:
        for each in written:
            self._stations[each] = station
        self.reread()

    def _forget(self) -> None:
        self._causes, self._stations = {}, {}
        self.reread(forget=True)

    # -- fit and scenario -------------------------------------------------------------------

    def fit(self) -> None:
        """Fit every cause of the log as it was read."""
        try:
            settings = self.options.settings()
        except ValueError as error:
            self.error.say(str(error))
            return
        self.work.fit(settings)

    def stop(self) -> None:
        """No fit, after all."""
        self.run.stopping()
        self.work.stop()

    def _fits_in(self) -> None:
        fitted = self.work.fitted
        assert fitted is not None
        # Columns are settled; tables and pictures need the room.
        self.show_columns.setChecked(False)
        self.about.hide()
        self.tabs.show_fits(fitted)
        self._update_enabled()

    def write_fits(self) -> None:
        """Write the ticked fits into the document; undo takes it back."""
        message = self.work.write(self.tabs.fits.chosen)
        self._show_written(message, self._document.text)
        self._update_enabled()

    def _failed(self, words: str, details: str) -> None:
        if self.work.look is None:
            self._show_matched(None)
        self.error.say(words, details=details)

    # -- what can be done -------------------------------------------------------------------

    def _update_enabled(self, *_: object) -> None:
        work = self.work
        there = bool(work.paths)
        matched = work.look.matched if work.look is not None else None
        self.save.setEnabled(work.fitted is not None)
        self.show_columns.setVisible(there)
        # Of what could not be read there is nothing to say but why.
        read = there and (matched is not None or work.busy)
        for part in (self.tabs, self.run, self.write, self.save):
            part.setVisible(read)
        self.nothing.setVisible(not read)
        self.nothing.setText(_NOT_READ if there else _NOTHING)
        self.columns.setVisible(there and self.show_columns.isChecked())
        usable = not work.busy and matched is not None and bool(matched.causes)
        self.run.set_busy(work.fitting)
        self.run.start.setEnabled(usable)
        why_not = work.why_not_written
        if not why_not and not self.tabs.fits.chosen:
            why_not = "Nothing is ticked"
        self.write.setEnabled(not why_not and not work.busy)
        self.write.setToolTip(why_not or _WRITES)

    def _scenario_changed(self) -> None:
        """Other stops: the causes of the log are matched anew when the page is seen."""
        if self._written_text not in (None, self._document.text):
            # It was taken back or changed, or the text is another file's.
            self._show_written("")
        if self.isVisible() and self.work.stale:
            self.reread()
        self._update_enabled()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._take_chosen()
        if self.work.stale:
            self.reread()

    def _show_written(self, words: str, text: str | None = None) -> None:
        """``text``: the scenario's, where that is what was written."""
        self.written.setText(words)
        self.written.setVisible(bool(words))
        self._written_text = text if words else None

    # -- files ------------------------------------------------------------------------------

    def _ask(self) -> None:
        if names := dialogs.ask_tables(self, "Choose stop logs"):
            self.open(*map(Path, names))

    def _ask_folder(self) -> None:
        folder = dialogs.ask_folder(self, "Folder for tables and pictures", "stop-log-fits")
        if folder is not None:
            self.save_all(folder)

    def save_all(self, folder: Path) -> None:
        """Write tables and pictures; says what could not be."""
        try:
            message = self.work.save(folder)
        except OSError as error:
            self.error.say(f"It could not be written: {error}")
            return
        self._show_written(message)
        dialogs.WRITTEN.told.emit(folder)

    def _open_example(self) -> None:
        log, production = linesim.plant.invented_plant()
        self.options.set_production(production)
        self.open(log)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if dropped_tables(event):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        paths = dropped_tables(event)
        if paths:
            event.acceptProposedAction()
            self.open(*paths)
