"""The commands of the window that the pages print are taken as printed."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from PySide6.QtWidgets import QApplication

import linesim
from gui.command import application
from gui.command import window as command
from tests.caches import own_cache
from tests.docs.pages import CLONE, DEVELOPERS, MANUAL, README, blocks

LINES = sorted(
    {
        line.split("  #")[0].strip()
        for page in (README, DEVELOPERS, *MANUAL)
        for block in blocks(page)
        if block.kind == "sh"
        for line in block.lines
        if line.startswith("linesim-window")
    }
)


# Each opens a window with processes of its own: on a busy machine that takes its time.
@pytest.mark.timeout(200)
@pytest.mark.parametrize("line", LINES)
def test_every_command_of_the_window_runs_as_printed(
    line: str, qapp: QApplication, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own_cache(monkeypatch, tmp_path / "cache")
    monkeypatch.chdir(tmp_path)
    # Where crashes of the tests are told stays as it is.
    monkeypatch.setattr(linesim.log_file, "note_crashes", lambda: None)
    arguments = shlex.split(line)[1:]
    if "--picture" not in arguments:
        # Without a picture the window would stay open.
        arguments += ["--picture", "window.png"]
    picture = tmp_path / arguments[arguments.index("--picture") + 1]
    shown = CliRunner().invoke(command, arguments)
    # Colours that a command names are for its window alone.
    application()
    assert shown.exit_code == 0, shown.output
    assert picture.read_bytes().startswith(b"\x89PNG")


def test_the_command_is_what_the_process_of_the_window_takes(tmp_path: Path) -> None:
    environment = os.environ | {"PYTHONPATH": str(CLONE)}
    said = subprocess.run(
        [sys.executable, "-m", "gui", "--version"],
        env=environment,
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert said.stdout.strip() == f"linesim {linesim.__version__}"
