"""The window among the programs of a desktop."""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
import sys
from configparser import RawConfigParser
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

import linesim
from gui import desktop_entry
from gui.command import window

pytestmark = pytest.mark.skipif(
    not linesim.platforms.HAS_ENTRIES, reason="desktops have no such entries here"
)


@pytest.fixture
def desktop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
    return tmp_path / "share"


def _entry(file: Path) -> dict[str, str]:
    parser = RawConfigParser(interpolation=None)
    parser.optionxform = str  # type: ignore[assignment, method-assign]
    parser.read(file, encoding="utf-8")
    return dict(parser["Desktop Entry"])


def test_it_is_put_there_and_taken_out_without_a_trace(desktop: Path) -> None:
    done = CliRunner().invoke(window, ["--desktop-entry", "put"])
    assert done.exit_code == 0
    files = [Path(line.removeprefix("Written: ")) for line in done.output.splitlines()]
    entry, kinds, icon = files
    assert entry.parent == desktop / "applications"
    assert shlex.split(_entry(entry)["Exec"])[-1] == "%f"
    assert desktop_entry.KIND in _entry(entry)["MimeType"].split(";")
    assert icon.stem == _entry(entry)["Icon"]
    ElementTree.fromstring(icon.read_text(encoding="utf-8"))
    (kind,) = ElementTree.fromstring(kinds.read_bytes())
    assert kind.get("type") == desktop_entry.KIND
    if shutil.which("desktop-file-validate"):
        checked = subprocess.run(["desktop-file-validate", entry], capture_output=True, text=True)
        assert (checked.returncode, checked.stdout) == (0, "")
    assert CliRunner().invoke(window, ["--desktop-entry", "remove"]).exit_code == 0
    assert not any(file.exists() for file in files)


@pytest.mark.parametrize("part", ["/opt/a b/x", "/opt/50 %f/x", '/opt/"q"/x', "/opt/$HOME/`x`\\y"])
def test_a_command_comes_out_of_an_entry_as_it_went_in(part: str) -> None:
    said = desktop_entry.as_exec([part, "-m"])
    # As the standard reads it: first the escapes of a string, then the quotes, then the codes.
    as_string = said.replace("\\\\", "\\")
    quoted = re.findall(r'"((?:\\.|[^"\\])*)"', as_string)
    first, second = (re.sub(r"\\(.)", r"\1", each) for each in quoted)
    assert (first.replace("%%", "%"), second) == (part, "-m")


@pytest.mark.parametrize(
    ("bundled", "argv0", "wanted"),
    [
        (True, "/opt/linesim/linesim", ["/opt/linesim/linesim-window"]),
        (False, "/home/a/.local/bin/linesim-window", ["/home/a/.local/bin/linesim-window"]),
        (False, "/clone/gui/__main__.py", ["/opt/linesim/linesim", "-m", "gui"]),
    ],
)
def test_it_names_the_command_that_is_there(
    bundled: bool, argv0: str, wanted: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(linesim.platforms, "BUNDLED", bundled)
    monkeypatch.setattr(sys, "executable", "/opt/linesim/linesim")
    monkeypatch.setattr(sys, "argv", [argv0])
    assert linesim.platforms.command_of("linesim-window", "gui") == wanted


def test_a_system_without_such_entries_is_told_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(linesim.platforms, "HAS_ENTRIES", False)
    done = CliRunner().invoke(window, ["--desktop-entry", "put"])
    assert done.exit_code == 2
    assert "make a shortcut" in done.output
