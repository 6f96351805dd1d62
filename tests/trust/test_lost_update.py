"""A file that somebody else changes while the program works on it is not written over."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

import linesim
from linesim.commands import main
from linesim.report.answers import stop_fits


def test_fits_are_not_written_over_what_a_window_saved_meanwhile(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    line, log = tmp_path / "line.toml", tmp_path / "log.csv"
    shutil.copy(linesim.scenario.find_scenario("short-bridge"), line)
    rows = (f"2026-03-{day:02} 10:00;{5 + day % 7};wrapper jam" for day in range(1, 15))
    log.write_text("\n".join(["start;minutes;cause", *rows]), "utf-8")
    saved = line.read_text("utf-8") + "# saved by a window\n"
    fitted = stop_fits.fit_answer

    def meanwhile(*args: object, **kwargs: object) -> object:
        line.write_text(saved, "utf-8")
        return fitted(*args, **kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr(stop_fits, "fit_answer", meanwhile)
    words = ["fit-stops", str(log), "--into", str(line), "--resamples", "20"]
    refused = CliRunner().invoke(main, words)
    assert refused.exit_code == 2, refused.output
    assert "was changed by another program meanwhile" in refused.stderr
    assert line.read_text("utf-8") == saved
    monkeypatch.undo()
    assert CliRunner().invoke(main, words).exit_code == 0
    assert "# saved by a window" in line.read_text("utf-8")
