"""The main window: puts the parts together and passes word between them."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, QSize, Qt, QTimer
from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
    QGuiApplication,
    QResizeEvent,
)
from PySide6.QtWidgets import QDockWidget, QToolButton, QVBoxLayout, QWidget

from gui.document import Autosave, Document, OpenFileLock
from gui.form import FormView
from gui.look import CLOSE, FRAME, KEPT, NEAR, PlainLabel, plain_tip, set_icon
from gui.shift import ShownShift
from gui.window import menus
from gui.window.document_status import document_status
from gui.window.dropped_files import files_in, open_dropped
from gui.window.engine_status import EngineStatus
from gui.window.error_box import ErrorBox
from gui.window.exports import Exports
from gui.window.files import Files
from gui.window.first_hint import FirstHint
from gui.window.full_screen import FullScreen
from gui.window.garbage_collection import GarbageCollector
from gui.window.page_composer import PageComposer
from gui.window.page_find import PageFind
from gui.window.page_list import PageContext
from gui.window.page_switcher import PageSwitcher
from gui.window.run_bar import RunBar
from gui.window.runs import Runs
from gui.window.saved_notice import SavedNotice
from gui.window.tab_order import OrderedWindow
from gui.window.window_settings import WindowSettings
from gui.window.workspace import Workspace
from gui.work.worker_process import WorkerProcess
from gui.workers import WorkerPool
from linesim.report import GapCause

_SIZE = QSize(1440, 900)
_FORM_WIDTH_CH, _FORM_LEAST_CH = 72, 53
_BOTH_CH = 176
"""In a window of fewer letters page and form have no room beside each other."""
_FORM_PART = 0.3
"""The part of the window's width that the form takes, between those two, in letters."""
_LOOK_AT_DISK_MS = 2000
_TABLES = "plant tables"
_RUNNING = "Running the shift"
_NO_SCREEN = ("offscreen", "minimal")


class MainWindow(OrderedWindow):
    """One scenario, its run, and the questions asked of it."""

    def __init__(
        self, *, remember: bool = True, shift_process: WorkerProcess | None = None
    ) -> None:
        """``shift_process`` is the process for the run on screen, where one is at work already."""
        super().__init__()
        self._collector = GarbageCollector(self)
        # Not whether settings are kept: those of a newer window are left alone.
        self._remember = remember
        self.settings = WindowSettings(remember=remember)
        KEPT.keep_in(self.settings)
        KEPT.standard_again.connect(self._to_standard)
        self.document = Document()
        self._autosave = Autosave(self.document) if remember else None
        self._file_lock = OpenFileLock(self.document) if remember else None
        self.shown = ShownShift()
        self.pool = WorkerPool(self, shift_process=shift_process)
        self.pool.start_shift_worker()
        self.engine_status = EngineStatus(self.pool, self)
        self.runs = Runs(self.document, self.shown, self.pool, self)
        self.files = Files(self.document, self.settings, self, self._autosave)
        self.run_bar = RunBar()
        self.workspace = Workspace(self.runs, self.files, self.run_bar, self)
        self.setAcceptDrops(True)
        self._form_width: int | None = None
        self._form_away = False
        self._away_for: set[str] = set()
        self._build()
        self.resize(self._first_size())
        self._add_menus()
        self._listen()
        self._restore()

    # -- building ---------------------------------------------------------------------------

    def _build(self) -> None:
        self.hint = FirstHint()
        self.hint.setVisible(not self.settings.seen("first steps"))
        self.pages = PageSwitcher(PageContext(self.document, self.shown, self.pool, self.workspace))
        centre = QWidget()
        layout = QVBoxLayout(centre)
        layout.setContentsMargins(NEAR, CLOSE, NEAR, 0)
        layout.setSpacing(CLOSE)
        self.pages.put_above(self.run_bar, self.hint)
        layout.addWidget(self.pages, 1)
        self.setCentralWidget(centre)
        self.pages.turned.connect(self._turn_page)
        self.pages.list.setFocus()
        self.form = FormView(self.document)
        self.form_dock = QDockWidget("Scenario", self)
        self.form.setMinimumWidth(self._letters(_FORM_LEAST_CH))
        self.form_dock.setObjectName("scenario")
        self.form_dock.setWidget(self.form)
        self.addDockWidget(Qt.DockWidgetArea.RightDockWidgetArea, self.form_dock)
        self.page_find = PageFind(self.pages, self.form.text)
        self.pages.put_below(self.page_find)
        self.tab_parts = [self.pages.list, self.pages.beside, self.form_dock]
        self.home_part = self.pages.stack
        self._busy, self._engine, self._invented = (PlainLabel() for _ in range(3))
        for label in (self._busy, self._engine, self._invented):
            # What they say must not make the window wider; tips have it whole.
            label.setMinimumWidth(1)
        for label in (self._busy, self._engine):
            self.statusBar().addWidget(label, 1)
        self.statusBar().addPermanentWidget(SavedNotice())
        toggle = self.form_dock.toggleViewAction()
        toggle.triggered.connect(self._form_by_hand)
        self._form_button = QToolButton()
        self._form_button.setText("Scenario form")
        set_icon(self._form_button, "parts")
        self._form_button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self._form_button.clicked.connect(toggle.trigger)
        self._form_button.hide()
        self.form_dock.visibilityChanged.connect(self._suit_form)
        self.statusBar().addPermanentWidget(self._form_button)
        self.statusBar().addPermanentWidget(self._invented)

    def _add_menus(self) -> None:
        composer = PageComposer(self.document, self.shown, self.pages)
        self.exports = Exports(self, self.runs, self.pages, composer)
        menus.file_menu(self, self.workspace, self.files, self.settings, self.exports)
        menus.edit_menu(self.menuBar(), self.document, self.find_words, self.find_field)
        self.full_screen = FullScreen(self, self.pages, self.form_dock, self.statusBar())
        self.full_screen.left.connect(self._suit_form)
        menus.pages_menu(self, self.pages)
        menus.view_menu(self, self.form_dock, self.hint, self.settings, self.full_screen.toggle)
        menus.line_menu(
            self, self.workspace, self.run_bar, self.pages, self.exports, self.step_stop
        )
        menus.help_menu(self, self.pages, self.form, self.pool)

    def _listen(self) -> None:
        self.shown.busy_changed.connect(self._show_busy)
        self.shown.figures_changed.connect(self._on_idle)
        self.runs.progress.connect(self._show_progress)
        self._run_error = ErrorBox(self)
        self.runs.failed.connect(self._run_error.show)
        self.runs.started.connect(self._run_error.clear)
        self.engine_status.changed.connect(self._show_engine)
        self.workspace.begun.connect(lambda: self.form.show_part("line"))
        self.workspace.lesson_written.connect(self._open_lesson)
        self.engine_status.became_ready.connect(self.pages.shift.ask_again)
        self.pages.shift.cause_chosen.connect(self._look_into)
        self.pages.shift.help_chosen.connect(lambda: self.pages.go_to("what-to-change"))
        self.workspace.whole_run_wanted.connect(self._show_whole_run)
        document = self.document
        for signal in (
            document.changed,
            document.dirty_changed,
            document.path_changed,
            document.faults_changed,
        ):
            signal.connect(self._show_document)
        # Another window may save the same file.
        self._watch = QTimer(self)
        self._watch.setInterval(_LOOK_AT_DISK_MS)
        self._watch.timeout.connect(self._show_document)
        self._watch.start()

    def _first_size(self) -> QSize:
        """As large as it is good to work with, and no larger than the screen."""
        if QGuiApplication.platformName() in _NO_SCREEN:
            return _SIZE
        return _SIZE.boundedTo(QGuiApplication.primaryScreen().availableSize() - FRAME)

    def _to_standard(self) -> None:
        """The window and its form as they are without anybody's doing."""
        self.setWindowState(self.windowState() & ~Qt.WindowState.WindowMaximized)
        self.form_dock.setFloating(False)
        self.form_dock.show()
        self.addDockWidget(Qt.DockWidgetArea.RightDockWidgetArea, self.form_dock)
        self._form_width = None
        self.resize(self._first_size())
        self._fit_form()

    def _restore(self) -> None:
        for name, restore in (("place", self.restoreGeometry), ("parts", self.restoreState)):
            kept = self.settings.get(name)
            if kept is not None:
                restore(kept)
        tables = self.document.plant_tables
        tables.restore(self.settings.text(_TABLES))
        tables.changed.connect(self._keep_tables)

    def _keep_tables(self) -> None:
        self.settings.choose(_TABLES, self.document.plant_tables.as_text())

    # -- what others ask for ----------------------------------------------------------------

    @property
    def ready(self) -> bool:
        """Whether run and figures on screen are those of the document."""
        return not self.shown.busy and self.shown.figures is not None

    @property
    def told(self) -> bool:
        """Whether the line on screen is told to the end, too."""
        return self.ready and not self.pages.shift.story_under_way

    def open_at_start(self, path: Path) -> None:
        """Take up unsaved work of a window that did not close, if wanted; else open a file."""
        if self._remember and self.files.offer_recovered():
            self.runs.run_now()
        else:
            self.workspace.open(path)

    def find_words(self) -> None:
        """Look for words on the page; for a field where the keyboard is in the form."""
        focus = self.focusWidget()
        in_form = focus is not None and self.form_dock.isAncestorOf(focus)
        if in_form and focus is not self.form.text:
            self.find_field()
        else:
            self.page_find.begin()

    def find_field(self) -> None:
        """Show the form and look for a field in it."""
        self.form_dock.show()
        self.form_dock.raise_()
        self.form.search.setFocus()
        self.form.search.selectAll()

    def _turn_page(self, _name: str) -> None:
        """What is said of the run stands on its pages alone; the form opens what a page is of."""
        page = self.pages.shown
        self.run_bar.setVisible(page.of_the_run)
        if not page.of_the_run:
            # Who has found another page needs no hint any more.
            self.hint.hide()
        if page.part and not self.form.in_use:
            self.form.show_part(page.part)
        self._suit_form()

    def _suit_form(self) -> None:
        """The form is of the line that is open: away beside others, and in a window that has no
        room for both; then there again."""
        reasons = {"own lines"} if self.pages.shown.own_lines else set()
        if self.width() < self._letters(_BOTH_CH):
            reasons.add("narrow")
        self._keep_form(reasons)
        self._form_button.setVisible(self.form_dock.isHidden() and "own lines" not in reasons)

    def _keep_form(self, away_for: set[str]) -> None:
        """Away for a new reason only: who opens it all the same has it."""
        if self.full_screen.on:
            return
        if away_for - self._away_for and not self.form_dock.isHidden():
            self._form_away = True
            self.form_dock.hide()
        elif not away_for and self._form_away:
            self._form_away = False
            self.form_dock.show()
            # The letters may have been others, and its least width with them, when it went.
            self._form_width = None
            QTimer.singleShot(0, self, self._fit_form)
        self._away_for = away_for

    def _form_by_hand(self) -> None:
        """Where somebody put it away it stays away."""
        self._form_away = False

    def _look_into(self, cause: GapCause) -> None:
        """A stop's cause leads to what stops cost, others to their part of the form."""
        if not cause.table:
            self.pages.go_to("losses")
        elif cause.table == "stop":
            self.pages.go_to("rank-stops")
        else:
            self.form_dock.show()
            self.form_dock.raise_()
            self.form.show_part(cause.table)

    def step_stop(self, way: int) -> None:
        """Look at the next stop (1), or the one before (-1), and have the strip in view."""
        self.pages.go_to("shift")
        self.pages.bring_into_view(self.pages.shift.strip)
        self.pages.shift.strip.step(way)

    def _show_whole_run(self) -> None:
        self.pages.shift.strip.show_all()
        self.pages.go_to("shift")

    def _open_logs(self, *paths: Path) -> None:
        from gui.logs import StopLogPage

        self.pages.go_to("fit-stops")
        page = self.pages.current
        assert isinstance(page, StopLogPage)
        page.open(*paths)

    def _open_lesson(self, path: Path) -> None:
        from gui.lessons import LessonsPage

        self.pages.go_to("lessons")
        page = self.pages.current
        assert isinstance(page, LessonsPage)
        page.open(path)

    def _confirm_answers(self) -> bool:
        """Whether the window may close on answers to lessons; asks where they are in no file."""
        from gui.lessons import LessonsPage

        return all(page.confirm_close() for page in self.pages.findChildren(LessonsPage))

    def _on_idle(self) -> None:
        if self.ready:
            # What comes next is a study, perhaps.
            self.pool.enable_spare()
            if self._remember:
                self.engine_status.start()

    # -- words ------------------------------------------------------------------------------

    def _show_busy(self, busy: bool) -> None:
        self._busy.setText(f"{_RUNNING}…" if busy else "")

    def _show_progress(self, part: float, words: str) -> None:
        if self.shown.busy and part >= 0:
            self._busy.setText(f"{_RUNNING}… {part:.0%} {words}".rstrip())

    def _show_engine(self, words: str) -> None:
        self._engine.setText(words)
        self._engine.setToolTip(plain_tip(words))

    def _show_document(self, *_: object) -> None:
        document = self.document
        self.setWindowTitle(f"{document.name}[*]")
        self.setWindowModified(document.dirty)
        words = document_status(document, self._autosave, self._file_lock)
        self._invented.setText(words)
        self._invented.setToolTip(plain_tip(words))

    # -- Qt ---------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The form gives way to the page, unless somebody has given it a width of its own."""
        super().resizeEvent(event)
        self._suit_form()
        self._fit_form()

    def _fit_form(self) -> None:
        most, least = self._letters(_FORM_WIDTH_CH), self._letters(_FORM_LEAST_CH)
        wide = round(min(most, max(least, _FORM_PART * self.width())))
        wide = max(wide, self.form.minimumWidth())
        if self._form_width not in (None, self.form_dock.width()):
            return
        # Hidden it takes no width; it gets its own when it is there again.
        self._form_width = None if self.form_dock.isHidden() else wide
        self.resizeDocks([self.form_dock], [wide], Qt.Orientation.Horizontal)
        # At once: another width than the one asked for is taken for somebody's doing.
        if (layout := self.layout()) is not None:
            layout.activate()

    def changeEvent(self, event: QEvent) -> None:
        """Larger letters need more room."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "form"):
            standard = self._form_width in (None, self.form_dock.width())
            self.form.setMinimumWidth(self._letters(_FORM_LEAST_CH))
            if standard:
                # The minimum may have made it wider than was asked.
                self._form_width = None
                QTimer.singleShot(0, self, self._fit_form)
            QTimer.singleShot(0, self, self._suit_form)

    def _letters(self, number: int) -> int:
        """The width of so many letters, px."""
        return number * self.fontMetrics().averageCharWidth()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if files_in(event):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        files = files_in(event)
        if files:
            event.acceptProposedAction()
            open_dropped(files, self.workspace.open_if_free, self._open_logs, self)

    def abort(self) -> bool:
        """End without a question; True where unsaved work is kept for the next window."""
        kept = self._autosave is not None and self._autosave.abort()
        self._shut_down()
        return kept

    def _shut_down(self) -> None:
        if self._file_lock is not None:
            self._file_lock.close()
        self._watch.stop()
        self.engine_status.close()
        self.runs.close()
        self.pool.close()
        self._collector.close()

    def closeEvent(self, event: QCloseEvent) -> None:
        may = self.files.confirm_discard() and self._confirm_answers()
        if not may or not self.files.confirm_quit(self.pool.under_way()):
            event.ignore()
            return
        self.full_screen.leave()
        self._keep_form(set())
        self.settings.put("place", self.saveGeometry())
        self.settings.put("parts", self.saveState())
        if self._autosave is not None:
            self._autosave.close()
        self._shut_down()
        event.accept()
