"""Questions put to the user: where something goes, and which of several ways to take."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path

from psygnal import Signal
from PySide6.QtCore import QDir, Qt
from PySide6.QtWidgets import QDialog, QFileDialog, QInputDialog, QLineEdit, QMessageBox, QWidget

import linesim

DISCARD = "Discard them"
"""What is unsaved is given up."""
_REPLACE, _KEEP = "Replace it", "Cancel"
_UNUSED = re.compile(r"[^\w.]+")
_SUFFIX = re.compile(r"\*(\.[A-Za-z]+)")
_WRITTEN = re.compile(r"\.[A-Za-z]{1,5}")


class _Written:
    told = Signal(Path)
    """A file, or a folder of them, that the user asked for is there now."""


WRITTEN = _Written()


class LastFolder:
    """Where the next question for a file begins: where the last file was, the next time as well."""

    def __init__(self) -> None:
        self._folder = Path()
        self._keep: Callable[[str], None] = lambda _: None

    def keep_by(self, kept: str, keep: Callable[[str], None]) -> None:
        """Begin with the folder that is kept; ``keep`` is told of others from now on."""
        self._folder, self._keep = Path(kept), keep

    def used(self, path: Path) -> None:
        """A file was opened or written here."""
        self._folder = path.absolute().parent
        self._keep(str(self._folder))

    def holding(self, name: str) -> str:
        """A file of this name there; an empty name gives the folder alone."""
        folder = self._folder if self._folder.is_dir() else Path()
        return str(folder.absolute() / name)


FOLDER = LastFolder()


def file_name(*parts: str, suffix: str = "") -> str:
    """The name to propose for a file of what these name.

    >>> file_name("Line 2: the new one.toml", "size-bridge", suffix="pdf")
    'Line-2-the-new-one-size-bridge.pdf'
    """
    stem = "-".join(_UNUSED.sub("-", part.removesuffix(".toml")).strip("-.") for part in parts)
    return f"{stem}.{suffix}" if suffix else stem


def choose(
    parent: QWidget | None, title: str, words: str, *ways: str, default: str, escape: str
) -> str:
    """Ask which way to take, a button for each; returns its words.

    ``default`` is what Return takes, ``escape`` what closing the question means.
    """
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setWindowTitle(title)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(words)
    role = QMessageBox.ButtonRole
    buttons = {
        way: box.addButton(
            way,
            role.RejectRole
            if way == escape
            else role.AcceptRole
            if way == ways[0]
            else role.DestructiveRole,
        )
        for way in ways
    }
    box.setDefaultButton(buttons[default])
    box.setEscapeButton(buttons[escape])
    box.exec()
    clicked = box.clickedButton()
    taken = next((way for way, button in buttons.items() if button is clicked), escape)
    box.deleteLater()
    return taken


def ask_one_of(
    parent: QWidget, title: str, words: str, choices: Sequence[str], does: str
) -> str | None:
    """Ask for one of several; None where none is wanted. ``does`` is what the button says."""
    box = QInputDialog(parent)
    box.setWindowTitle(title)
    box.setLabelText(words)
    box.setComboBoxItems(choices)
    box.setOkButtonText(does)
    taken = box.textValue() if box.exec() else None
    box.deleteLater()
    return taken


def ask_table(parent: QWidget, title: str, kinds: str = "") -> str:
    """Ask which table of the plant to read, or file of other ``kinds``; an empty text for none."""
    kinds = f"{kinds};;All files (*)" if kinds else _kinds_of_tables()
    found = ask_open(parent, title, kinds)
    return "" if found is None else str(found)


def ask_tables(parent: QWidget, title: str) -> list[str]:
    """Ask which tables of the plant to read together; none where none is wanted."""
    return [str(path) for path in ask_open_several(parent, title, _kinds_of_tables())]


def _kinds_of_tables() -> str:
    endings = " ".join(f"*{ending}" for ending in linesim.plant.TABLE_ENDINGS)
    return f"Tables ({endings});;All files (*)"


def ask_open(parent: QWidget, title: str, kinds: str) -> Path | None:
    """Ask which file to open; None where none is wanted."""
    typed, _ = QFileDialog.getOpenFileName(parent, title, FOLDER.holding(""), kinds)
    return _used(typed) if typed else None


def ask_open_several(parent: QWidget, title: str, kinds: str) -> list[Path]:
    """Ask which files to open; none where none is wanted."""
    typed, _ = QFileDialog.getOpenFileNames(parent, title, FOLDER.holding(""), kinds)
    return [_used(each) for each in typed]


def ask_kept(parent: QWidget, title: str, kinds: str) -> Path | None:
    """Ask which file to go on with, there already or not; None where none is wanted."""
    go_on = QFileDialog.Option.DontConfirmOverwrite
    start = FOLDER.holding("")
    typed, _ = QFileDialog.getSaveFileName(parent, title, start, kinds, options=go_on)
    return _used(typed) if typed else None


def _used(typed: str) -> Path:
    path = Path(typed)
    FOLDER.used(path)
    return path


def ask_file(parent: QWidget | None, title: str, name: str, kinds: str) -> Path | None:
    """Ask which file to write; None where none is wanted.

    ``kinds`` as Qt has them, such as ``PDF (*.pdf);;All files (*)``. A name without a suffix gets
    that of the kind chosen. Whether a file that is there may be replaced has been asked.
    """
    typed, kind = QFileDialog.getSaveFileName(parent, title, FOLDER.holding(name), kinds)
    if not typed:
        return None
    path = _with_suffix(Path(typed), Path(name).suffix, kind, kinds)
    # The dialog has asked about the name that was typed, not about the one made of it.
    if path != Path(typed) and path.exists():
        words = f"{path} is there already."
        if choose(parent, title, words, _REPLACE, _KEEP, default=_KEEP, escape=_KEEP) == _KEEP:
            return None
    return _used(str(path))


def _with_suffix(path: Path, proposed: str, kind: str, kinds: str) -> Path:
    wanted = _SUFFIX.search(kind or kinds.split(";;")[0])
    if wanted is None:
        return path
    suffix = wanted[1]
    if not _WRITTEN.fullmatch(path.suffix):
        return path.with_name(path.name + suffix)
    # Another kind was chosen, and the name left as it was proposed.
    left = path.suffix == proposed and path.suffix != suffix
    return path.with_suffix(suffix) if left and kind else path


class _FolderDialog(QFileDialog):
    """Takes the name of a folder, there already or not; Qt's own way insists that it is."""

    def folder(self) -> Path:
        """What is typed. Qt shortens it to a name, and selects more than that in the list."""
        edit = self.findChild(QLineEdit, "fileNameEdit")
        typed = edit.text() if edit is not None else ""
        selected = [Path(each) for each in self.selectedFiles()]
        named = [path for path in selected if path.name == Path(typed).name]
        return named[0] if named else Path(self.directory().absoluteFilePath(typed))

    def accept(self) -> None:
        typed = self.folder()
        several = len(self.selectedFiles()) > 1
        if several or typed.is_file() or not typed.parent.is_dir():
            self.setLabelText(QFileDialog.DialogLabel.FileName, "No folder can be here:")
        else:
            QDialog.accept(self)


def ask_folder(parent: QWidget | None, title: str, name: str = "") -> Path | None:
    """Ask for a folder to write into, there already or not; None where none is wanted."""
    dialog = _FolderDialog(parent, title)
    dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
    # As for a file to be: a folder asked for as such must be there before one may say yes.
    dialog.setFileMode(QFileDialog.FileMode.AnyFile)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setNameFilter("Folders")
    dialog.setFilter(QDir.Filter.AllDirs | QDir.Filter.NoDotAndDotDot)
    dialog.setLabelText(QFileDialog.DialogLabel.FileName, "&Folder:")
    dialog.setLabelText(QFileDialog.DialogLabel.Accept, "&Write here")
    dialog.setDirectory(FOLDER.holding(""))
    if name:
        dialog.selectFile(name)
    folder = _used(str(dialog.folder())) if dialog.exec() else None
    dialog.deleteLater()
    return folder
