"""What the command of the window says, and that what its help tells one to type works."""

from __future__ import annotations

import re

import click
import pytest
from click.testing import CliRunner
from PySide6.QtWidgets import QApplication, QMessageBox

import gui.command
import linesim
from gui.command import window as command

_EXAMPLES = re.compile(r"such as ([\w-]+)(?:,? or ([\w-]+))?")


def examples() -> list[tuple[str, str]]:
    """Each option and what its help gives as an example of it."""
    return [
        (option.opts[0], example)
        for option in command.params
        if isinstance(option, click.Option)
        for found in _EXAMPLES.findall(option.help or "")
        for example in found
        if example
    ]


def test_every_example_of_the_help_can_be_typed() -> None:
    found = examples()
    assert {name for name, _ in found} == {"--page", "--size"}
    assert len(found) == 3
    for name, example in found:
        # Reading the options is all: no window is opened.
        command.make_context("linesim-window", [name, example])


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["nowhere"], "there is no such file"),
        (["--size", "12"], "1280x800"),
        (
            ["--page", "nowhere"],
            "there is no page 'nowhere'; there are shift, losses",
        ),
        (["--picture", "no/where/at-all.png"], "there is no folder"),
        (["--page", "losses", "--ask"], "name the page of a study with --page"),
        (["--page", "vary", "--hours", "8"], "are of the study that --ask starts"),
    ],
)
def test_the_command_says_what_is_wrong_without_a_window(arguments: list[str], words: str) -> None:
    shown = CliRunner().invoke(command, arguments)
    assert shown.exit_code == 2
    assert words in " ".join(shown.stderr.split())


def test_no_screen_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    for system in ("WINDOWS", "MAC"):
        monkeypatch.setattr(linesim.platforms, system, False)
    shown = CliRunner().invoke(command, [])
    assert shown.exit_code == 4
    assert "there is no screen here" in " ".join(shown.stderr.split())


def test_a_file_opened_from_the_desktop_in_vain_is_told_of_in_a_message(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On Windows a program with a window has no terminal to write to."""
    told: list[str] = []
    monkeypatch.setattr(linesim.platforms, "has_terminal", lambda: False)
    monkeypatch.setattr(QMessageBox, "exec", lambda box: told.append(box.text()))
    monkeypatch.setattr(gui.command, "prefetch_run", lambda _: None)
    with pytest.raises(SystemExit) as ended:
        command.main(["there-is-none.toml"], standalone_mode=False)
    assert ended.value.code == 2
    assert "there is no such file" in told[0]
