"""A process ended by force leaves every file whole, and what it kept is kept."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="kills by signal")

_HERE = Path(__file__).parent


def test_files_are_whole_after_a_kill_at_any_step(tmp_path: Path) -> None:
    """Reports and imports, which take longer to make, are written by the same hand as the JSON."""
    done = subprocess.run(
        [sys.executable, _HERE / "kill_points.py", "save", "unsaved-work", "json", "csv"],
        capture_output=True,
        text=True,
        env=os.environ | {"XDG_STATE_HOME": str(tmp_path)},
        timeout=100,
    )
    assert done.returncode == 0, done.stdout + done.stderr
