"""Questions put to the user: where something goes, and which of several ways to take."""

from __future__ import annotations

import re
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QFileDialog, QMessageBox, QWidget

_REPLACE, _KEEP = "Replace it", "Cancel"
_SUFFIX = re.compile(r"\*(\.[A-Za-z]+)")
_WRITTEN = re.compile(r"\.[A-Za-z]{1,5}")


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


def file_for(parent: QWidget | None, title: str, name: str, kinds: str) -> Path | None:
    """Ask which file to write; None where none is wanted.

    ``kinds`` as Qt has them, such as ``PDF (*.pdf);;All files (*)``. A name without a suffix gets
    that of the kind chosen. Whether a file that is there may be replaced has been asked.
    """
    typed, kind = QFileDialog.getSaveFileName(parent, title, name, kinds)
    if not typed:
        return None
    path = _with_suffix(Path(typed), Path(name).suffix, kind, kinds)
    # The dialog has asked about the name that was typed, not about the one made of it.
    if path != Path(typed) and path.exists():
        words = f"{path} is there already."
        if choose(parent, title, words, _REPLACE, _KEEP, default=_KEEP, escape=_KEEP) == _KEEP:
            return None
    return path


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
    """Takes the name of a folder that is not there yet; Qt's own insists that it is."""

    def accept(self) -> None:
        typed = [Path(each) for each in self.selectedFiles()]
        if len(typed) == 1 and not typed[0].exists() and typed[0].parent.is_dir():
            QDialog.accept(self)
        else:
            super().accept()


def folder_for(parent: QWidget | None, title: str, name: str = "") -> Path | None:
    """Ask for a folder to write into, there already or not; None where none is wanted."""
    dialog = _FolderDialog(parent, title)
    dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
    dialog.setFileMode(QFileDialog.FileMode.Directory)
    dialog.setLabelText(QFileDialog.DialogLabel.FileName, "&Folder:")
    dialog.setLabelText(QFileDialog.DialogLabel.Accept, "&Write here")
    if name:
        dialog.selectFile(name)
    taken = dialog.exec()
    chosen = dialog.selectedFiles()
    dialog.deleteLater()
    return Path(chosen[0]) if taken and chosen else None
