"""Ctrl-C in every command: a sentence and 130, whatever it was doing."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner

from linesim.commands import main

_TOP = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize("name", sorted(main.commands))
def test_every_command_ends_in_words(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def pressed(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    command = main.commands[name]
    monkeypatch.setattr(command, "callback", pressed)
    # What a command must be told to get as far as its work.
    monkeypatch.setattr(command, "params", [])
    ended = CliRunner().invoke(main, [name])
    assert ended.exit_code == 130
    assert ended.stderr.startswith("Stopped")


def test_an_interrupt_swallowed_while_loading_is_one(monkeypatch: pytest.MonkeyPatch) -> None:
    def cut_off() -> None:
        raise ImportError("cannot load module more than once per process")

    monkeypatch.setattr(main.commands["schema"], "callback", cut_off)
    assert CliRunner().invoke(main, ["schema"]).exit_code == 1
    monkeypatch.setattr("linesim.interrupts._noted", True)
    ended = CliRunner().invoke(main, ["schema"])
    assert ended.exit_code == 130
    assert ended.stderr.startswith("Stopped")


@pytest.mark.skipif(sys.platform == "win32", reason="signals as on POSIX")
@pytest.mark.parametrize("module", ["linesim", "gui"])
def test_while_the_program_is_loading_it_is_answered_in_words(module: str, tmp_path: Path) -> None:
    """The first module that is loaded presses Ctrl-C."""
    (tmp_path / "click.py").write_text(
        "import os, signal\nos.kill(os.getpid(), signal.SIGINT)\nfor _ in range(9**9): pass\n"
    )
    ended = subprocess.run(
        [sys.executable, "-m", module],
        env=os.environ | {"PYTHONPATH": os.pathsep.join([str(tmp_path), str(_TOP)])},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert ended.returncode in (130, -signal.SIGINT)
    assert ended.stderr.startswith("Stopped")
    assert "Traceback" not in ended.stderr


def test_entries_load_nothing_before_they_listen() -> None:
    scripts = tomllib.loads((_TOP / "pyproject.toml").read_text("utf-8"))["project"]
    assert scripts["scripts"]["linesim"] == "linesim.__main__:main"
    assert scripts["gui-scripts"]["linesim-window"] == "gui.__main__:main"
