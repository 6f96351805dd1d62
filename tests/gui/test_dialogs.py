"""Questions to the user: which file, which folder, which way."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import (
    QApplication,
    QFileDialog,
    QLineEdit,
    QMessageBox,
    QPushButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from gui import dialogs
from gui.window.saved_notice import SavedNotice

_REPORT = "Web page (*.html);;PDF (*.pdf)"


@pytest.mark.parametrize(
    ("typed", "kind", "path"),
    [
        ("mine", "Web page (*.html)", "mine.html"),
        ("mine", "PDF (*.pdf)", "mine.pdf"),
        ("mine", "", "mine.html"),
        ("mine", "All files (*)", "mine"),
        ("line 2.5", "PDF (*.pdf)", "line 2.5.pdf"),
        ("mine.htm", "Web page (*.html)", "mine.htm"),
        ("mine.pdf", "Web page (*.html)", "mine.pdf"),
        # The kind was changed and the name left as it was proposed.
        ("report.html", "PDF (*.pdf)", "report.pdf"),
    ],
)
def test_a_name_gets_the_suffix_of_its_kind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, typed: str, kind: str, path: str
) -> None:
    given = lambda *_: (str(tmp_path / typed), kind)  # noqa: E731
    monkeypatch.setattr(QFileDialog, "getSaveFileName", given)
    assert dialogs.ask_file(None, "Save", "report.html", _REPORT) == tmp_path / path


def test_a_question_for_a_file_begins_where_the_last_file_was(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    there = tmp_path / "plant"
    there.mkdir()
    answer = str(there / "mine.html")

    def ask(_: object, __: str, start: str, *___: object, **____: object) -> tuple[str, str]:
        asked.append(start)
        return answer, ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", ask)
    monkeypatch.setattr(QFileDialog, "getOpenFileName", ask)
    monkeypatch.chdir(tmp_path)
    kept: list[str] = []
    monkeypatch.setattr(dialogs, "FOLDER", dialogs.LastFolder())
    dialogs.FOLDER.keep_by("", kept.append)
    parent = QWidget()
    qtbot.addWidget(parent)
    dialogs.ask_file(parent, "Save", "report.html", _REPORT)
    dialogs.ask_file(parent, "Save", "report.html", _REPORT)
    dialogs.ask_open(parent, "Open", "")
    assert asked == [str(tmp_path / "report.html"), str(there / "report.html"), str(there)]
    assert set(kept) == {str(there)}
    # The next window begins there, too; unless the folder has gone.
    dialogs.FOLDER.keep_by(kept[-1], kept.append)
    assert dialogs.FOLDER.holding("a") == str(there / "a")
    there.rmdir()
    assert dialogs.FOLDER.holding("a") == str(tmp_path / "a")
    # A whole path is taken as it is.
    assert dialogs.FOLDER.holding(answer) == answer


def test_files_are_asked_for_in_one_place() -> None:
    gui = Path(dialogs.__file__).parent
    asking = [file for file in gui.rglob("*.py") if "QFileDialog" in file.read_text("utf-8")]
    assert asking == [Path(dialogs.__file__)]


def test_what_was_written_is_said_with_a_way_to_it(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []
    monkeypatch.setattr(
        QDesktopServices, "openUrl", lambda url: opened.append(url.toLocalFile()) or True
    )
    notice = SavedNotice()
    qtbot.addWidget(notice)
    assert notice.isHidden()
    file = tmp_path / dialogs.file_name("my line.toml", "size-bridge", suffix="pdf")
    assert file.name == "my-line-size-bridge.pdf"
    file.write_bytes(b"x")
    dialogs.WRITTEN.told.emit(file)
    assert notice.words.text() == "Saved to my-line-size-bridge.pdf"
    notice.open.click()
    notice.open_folder.click()
    assert opened == [str(file), str(tmp_path)]
    file.unlink()
    notice.open.click()
    assert "no longer there" in notice.words.text()
    dialogs.WRITTEN.told.emit(tmp_path)
    assert notice.open_folder.isHidden()


def test_a_file_that_only_the_suffix_makes_is_not_replaced_unasked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "mine.html").write_text("kept", encoding="utf-8")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "mine"), ""))
    asked: list[tuple[str, ...]] = []

    def answer(way: str) -> None:
        def choose(_: object, __: str, words: str, *ways: str, default: str, escape: str) -> str:
            asked.append((words, default, escape))
            return way

        monkeypatch.setattr(dialogs, "choose", choose)

    answer("Cancel")
    assert dialogs.ask_file(None, "Save", "", _REPORT) is None
    answer("Replace it")
    assert dialogs.ask_file(None, "Save", "", _REPORT) == tmp_path / "mine.html"
    assert asked == [(f"{tmp_path / 'mine.html'} is there already.", "Cancel", "Cancel")] * 2


def press(name: str) -> None:
    """Press a button of the question on screen; empty: what Return takes."""
    box = QApplication.activeModalWidget()
    assert isinstance(box, QMessageBox)
    wanted = box.defaultButton() if not name else None
    for button in box.buttons():
        if button.text() == name:
            wanted = button
    assert wanted is not None
    wanted.click()


@pytest.mark.parametrize(("press_what", "taken"), [("", "Keep"), ("Throw away", "Throw away")])
def test_a_question_has_a_verb_on_every_button(qtbot: QtBot, press_what: str, taken: str) -> None:
    QTimer.singleShot(0, lambda: press(press_what))
    ways = ("Take", "Throw away", "Keep")
    found = dialogs.choose(None, "It", "<b>What?</b>", *ways, default="Keep", escape="Keep")
    assert found == taken


def test_closing_a_question_takes_the_way_that_changes_nothing(qtbot: QtBot) -> None:
    QTimer.singleShot(0, lambda: QApplication.activeModalWidget().close())
    assert dialogs.choose(None, "It", "What?", "Take", "Leave", default="Take", escape="Leave") == (
        "Leave"
    )


@pytest.mark.parametrize("name", ["there", "new", "file"])
def test_a_folder_may_be_a_new_one_but_no_file(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.setattr(dialogs, "FOLDER", dialogs.LastFolder())
    dialogs.FOLDER.used(tmp_path / "last.html")
    (tmp_path / "there").mkdir()
    (tmp_path / "file").touch()
    seen: list[object] = []

    def type_it() -> None:
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, QFileDialog)
        edit = dialog.findChild(QLineEdit, "fileNameEdit")
        (yes,) = (each for each in dialog.findChildren(QPushButton) if each.text() == "&Write here")
        seen.append(edit.text())
        edit.setText(str(tmp_path / name))
        # As by hand: a button that is not enabled takes nothing.
        yes.click()
        if dialog.isVisible():
            dialog.reject()

    QTimer.singleShot(0, type_it)
    taken = dialogs.ask_folder(None, "Folder", "run-tables")
    assert seen == ["run-tables"]
    assert taken == (None if name == "file" else tmp_path / name)
