"""The window ends in words where nobody closed it."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QLibraryInfo
from pytestqt.qtbot import QtBot

from gui.document import Document, recoverable
from gui.document.recovery import Autosave
from gui.window.abnormal_exit import InterruptHandler, missing_library

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="as Linux does")


@pytest.mark.parametrize(
    ("platform", "display"),
    [("xcb", ":957"), ("no-such-platform", "")],
)
def test_a_screen_that_cannot_be_reached_is_said_without_a_crash(
    platform: str, display: str, tmp_path: Path
) -> None:
    env = {name: value for name, value in os.environ.items() if name != "WAYLAND_DISPLAY"}
    env |= {"DISPLAY": display, "QT_QPA_PLATFORM": platform, "XDG_STATE_HOME": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", "from gui.command import application; application()"],
        env=env,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 4, done
    assert "the screen cannot be used" in done.stderr
    assert "The command linesim does without a screen" in done.stderr


def test_an_interrupt_is_heard_at_once_and_left_to_others_afterwards(qtbot: QtBot) -> None:
    before = signal.getsignal(signal.SIGINT)
    heard: list[None] = []
    interrupts = InterruptHandler(lambda: heard.append(None))
    os.kill(os.getpid(), signal.SIGINT)
    qtbot.waitUntil(lambda: len(heard) == 1, timeout=20_000)
    interrupts.close()
    assert signal.getsignal(signal.SIGINT) == before


def test_work_broken_off_is_kept_for_the_next_window(tmp_path: Path) -> None:
    document = Document()
    keeper = Autosave(document, tmp_path, after_s=60)
    assert not keeper.abort()
    document.set_field("bridge.places", 77)
    assert keeper.abort()
    assert keeper._owner is not None
    keeper._owner.release()
    (work,) = recoverable(tmp_path)
    assert "77" in work.text
    keeper.close()


def test_a_library_that_the_screen_needs_is_named(tmp_path: Path) -> None:
    plugins = Path(QLibraryInfo.path(QLibraryInfo.LibraryPath.PluginsPath))
    whole = (plugins / "platforms/libqxcb.so").read_bytes()
    lame = tmp_path / "libqxcb.so"
    lame.write_bytes(whole.replace(b"libQt6XcbQpa.so.6", b"libNotThere1.so.6"))
    assert missing_library(lame) == "libNotThere1.so.6"
    assert missing_library(tmp_path / "none.so") == ""
    none = tmp_path / "words.so"
    none.write_bytes(b"no library at all")
    assert missing_library(none) == ""
