"""Opening and saving scenario files: asking where, and saying in words what did not work."""

from __future__ import annotations

import re
from difflib import unified_diff
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QElapsedTimer, QEventLoop, QObject
from PySide6.QtWidgets import QApplication, QWidget

import linesim
from gui import dialogs
from gui.document import Autosave, Document, Reason, Recoverable, SaveRefused, recoverable
from gui.window.error_box import ErrorBox, show_error
from gui.window.text_window import TextWindow

if TYPE_CHECKING:
    from gui.window.window_settings import WindowSettings

_FILTER = "Scenario files (*.toml);;All files (*)"
TAKE_UP, LOOK, DISCARD_IT = "Restore it", "Look at it first", "Discard it"
_LATER = "Ask again at the next start"
SMALLEST = "the smallest line: every figure is standard"
_NEW = "new-line"
_FOLDER = "last folder"
_PLACE = re.compile(r"^@@ -\d+(?:,\d+)? \+(\d+)(?:,\d+)? @@$")
_PLACED_MS = 500
END, _GO_ON = "End it and quit", "Go on working"


class Files(QObject):
    """What the menu File does to the document."""

    def __init__(
        self,
        document: Document,
        settings: WindowSettings,
        window: QWidget,
        autosave: Autosave | None = None,
    ) -> None:
        super().__init__(window)
        self._document, self._settings, self._window = document, settings, window
        self._autosave = autosave
        self._open_error = ErrorBox(window)
        dialogs.FOLDER.keep_by(settings.text(_FOLDER), partial(settings.choose, _FOLDER))

    def open(self, path: Path) -> bool:
        """Open a file; says what is wrong where it cannot be read at all."""
        try:
            self._document.open(path)
        except (linesim.scenario.ScenarioFaults, OSError, ValueError) as error:
            self._open_error.show(f"{path.name} could not be opened.", str(error))
            return False
        self._open_error.clear()
        if not self._document.is_demo:
            self._settings.opened(path)
            dialogs.FOLDER.used(path)
        return True

    def ask_new(self) -> bool:
        """Ask what to begin from, and begin; False where nothing was begun."""
        demos = linesim.scenario.shipped_scenarios()
        lines = {f"the demo line {name}": path for name, path in demos.items()}
        begun = [SMALLEST, *lines]
        chosen = dialogs.ask_one_of(self._window, "New scenario", "Begin from:", begun, "&Begin")
        if chosen is None or not self.confirm_discard():
            return False
        path = lines.get(chosen)
        if path is None:
            self._document.new(name=_NEW)
        else:
            self._document.new(_from_demo(linesim.scenario.read_text(path), chosen), _NEW)
        return True

    def ask_open(self) -> Path | None:
        """Ask which file to open; None where what is unsaved stands against it."""
        if not self.confirm_discard():
            return None
        return dialogs.ask_open(self._window, "Open a scenario", _FILTER)

    def save(self, path: Path | None = None, *, overwrite: bool = False) -> bool:
        """Save; asks for a name where one is needed, and before anything is lost."""
        try:
            self._document.save(path, overwrite=overwrite)
        except SaveRefused as refused:
            return self._refused(refused, path)
        if self._document.path is not None:
            self._settings.opened(self._document.path)
        return True

    def _refused(self, refused: SaveRefused, path: Path | None) -> bool:
        if refused.reason in (Reason.NEEDS_NAME, Reason.DEMO):
            return self.ask_save()
        if refused.reason in (Reason.CHANGED_ON_DISK, Reason.EXISTS):
            over, open_elsewhere, cancel = "Save over it", "Save under another name…", "Cancel"
            taken = dialogs.choose(
                self._window,
                "Save",
                str(refused),
                over,
                open_elsewhere,
                cancel,
                default=cancel,
                escape=cancel,
            )
            if taken == open_elsewhere:
                return self.ask_save()
            return taken == over and self.save(path, overwrite=True)
        show_error(self._window, str(refused))
        return False

    def ask_save(self) -> bool:
        """Ask for a name, and save under it."""
        here = self._document.path
        start = f"my-{Path(self._document.name).stem}.toml"
        if here is not None and not self._document.is_demo:
            start = str(here.absolute())
        path = dialogs.ask_file(self._window, "Save the scenario as", start, _FILTER)
        return path is not None and self.save(path, overwrite=True)

    def offer_recovered(self) -> bool:
        """Offer unsaved work of a window that did not close; True where it was taken."""
        for work in recoverable():
            _await_place(self._window)
            while (taken := self._ask_about(work)) == LOOK:
                self._show_work(work)
            if taken == TAKE_UP:
                self._document.restore(work.text, work.path, work.name, work.based_on)
                if self._autosave is not None:
                    self._autosave.take_over(work)
                return True
            if taken == DISCARD_IT:
                work.discard()
        return False

    def _ask_about(self, work: Recoverable) -> str:
        where = "no file yet" if work.path is None else str(work.path)
        written = work.written.astimezone()
        added, gone = (sum(line[0] == sign for line in _changes(work)) for sign in "+-")
        return dialogs.choose(
            self._window,
            "Unsaved work found",
            f"A window did not close and left unsaved work on {work.name} ({where}), of"
            f" {written.day} {written:%B %Y, %H:%M}. Since it was saved"
            f" {linesim.statistics.counted(added, 'line')} came in and {gone} went. Restoring it"
            " changes no file.",
            TAKE_UP,
            LOOK,
            DISCARD_IT,
            _LATER,
            default=TAKE_UP,
            escape=_LATER,
        )

    def _show_work(self, work: Recoverable) -> None:
        """What would be restored: where it differs from what was saved, then all of it."""
        changes = "\n".join(_changes(work)) or "It does not differ from what was saved."
        text = f"+ stands in the unsaved work alone, - in the file alone.\n\n{changes}\n\n"
        text += "All of the unsaved work:\n\n"
        shown = TextWindow(f"Unsaved work on {work.name}", text + work.text, self._window)
        shown.exec()

    def confirm_discard(self) -> bool:
        """Whether the document may be left; asks where something is unsaved."""
        if not self._document.dirty:
            return True
        save, cancel = "Save them", "Cancel"
        taken = dialogs.choose(
            self._window,
            "Unsaved changes",
            f"{self._document.name} has changes that are not saved.",
            save,
            dialogs.DISCARD,
            cancel,
            default=save,
            escape=cancel,
        )
        if taken == save:
            return self.save()
        return taken == dialogs.DISCARD

    def confirm_quit(self, under_way: list[str]) -> bool:
        """Whether the window may close on work under way; asks where there is some."""
        if not under_way:
            return True
        taken = dialogs.choose(
            self._window,
            "Work under way",
            f"Under way: {', '.join(under_way)}. The runs of a study that are done are kept, and"
            " the next Start goes on from there; all else would be lost.",
            END,
            _GO_ON,
            default=_GO_ON,
            escape=_GO_ON,
        )
        return taken == END


def _changes(work: Recoverable) -> list[str]:
    """The lines that differ, each after its sign, with two of those about them."""
    then, now = (text.splitlines() for text in (work.based_on, work.text))
    lines = list(unified_diff(then, now, n=2, lineterm=""))[2:]
    return [_PLACE.sub(r"From line \1 on:", line) for line in lines]


def _from_demo(text: str, demo: str) -> str:
    """The text of a demo as the begin of a line of one's own: it does not say it is invented.

    Nor does it say that it is measured: the note tells whose figures they are.
    """
    note = f"Begun from {demo}: its figures are invented until they are replaced."
    changes = {"line.name": "new line", "line.note": note, "line.invented": None}
    # What the file says of the demo above its first field is not about the new line.
    head = "format = "
    return linesim.scenario.update(head + text.partition(head)[2], changes)


def _await_place(window: QWidget) -> None:
    """Until the system has put a window that begins in its place: a question stands over it."""
    clock = QElapsedTimer()
    clock.start()
    while window.isVisible() and clock.elapsed() < _PLACED_MS:
        QApplication.processEvents(QEventLoop.ProcessEventsFlag.ExcludeUserInputEvents, 20)
        # Asked for its handle the window would be taken for a part of it.
        if window.isActiveWindow() and not window.pos().isNull():
            break
