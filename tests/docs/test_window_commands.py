"""The commands of the window that the pages print are taken as printed."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from tests.docs.pages import CLONE, DEVELOPERS, MANUAL, README, blocks


# Each starts the window and its processes anew: on a busy machine that takes its time.
@pytest.mark.timeout(400)
def test_every_command_of_the_window_runs_as_printed(tmp_path: Path) -> None:
    every = [
        line.split("  #")[0].strip()
        for page in (README, DEVELOPERS, *MANUAL)
        for block in blocks(page)
        if block.kind == "sh"
        for line in block.lines
        if line.startswith("linesim-window")
    ]
    lines = list(dict.fromkeys(every))
    assert lines
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(CLONE)}
    for number, line in enumerate(lines):
        arguments = shlex.split(line)[1:]
        picture = tmp_path / f"{number}.png"
        if "--picture" in arguments:
            arguments[arguments.index("--picture") + 1] = str(picture)
        else:
            # Without a picture the window would stay open.
            arguments += ["--picture", str(picture)]
        subprocess.run(
            [sys.executable, "-m", "gui", *arguments],
            check=True,
            env=environment,
            cwd=tmp_path,
            timeout=180,
        )
        assert picture.read_bytes().startswith(b"\x89PNG")
