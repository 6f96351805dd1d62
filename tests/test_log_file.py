"""The log of the program's own faults."""

from __future__ import annotations

import logging
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from linesim import log_file

SECRET = "Halle 7, 4711 reams"


@pytest.fixture
def log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.setattr(log_file, "logs_folder", lambda: tmp_path / "log")
    monkeypatch.setattr(sys, "excepthook", lambda *_: None)
    monkeypatch.setattr("threading.excepthook", lambda *_: None)
    logger = logging.getLogger("linesim")
    before = list(logger.handlers)
    log_file.begin_log("a test")
    log_file.begin_log("a test")
    yield tmp_path / "log" / "linesim.log"
    for handler in set(logger.handlers) - set(before):
        logger.removeHandler(handler)


def _fault() -> Exception:
    secret = SECRET
    try:
        try:
            int(secret)
        except ValueError as error:
            raise RuntimeError(f"{secret} was not expected") from error
    except RuntimeError as error:
        return error


def test_it_has_where_a_fault_came_about_and_not_a_word_of_what_it_says(log: Path) -> None:
    error = _fault()
    sys.excepthook(type(error), error, error.__traceback__)
    logging.getLogger("linesim").error("in passing", exc_info=error)
    said = log.read_text(encoding="utf-8")
    assert said.count("builtins.ValueError") == said.count("builtins.RuntimeError") == 1
    assert "test_log_file.py:" in said
    assert "in _fault" in said
    assert not any(word in said for word in ("Halle", "reams", "4711"))
    assert str(Path(__file__).parents[2]) not in said


def test_it_takes_turns_and_stays_small(log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (handler,) = (h for h in logging.getLogger("linesim").handlers if hasattr(h, "maxBytes"))
    monkeypatch.setattr(handler, "maxBytes", 500)
    for _ in range(40):
        log_file.note_start()
    files = [each for each in log.parent.iterdir() if each.suffix != ".lock"]
    assert len(files) == 4
    assert all(0 < each.stat().st_size <= 500 for each in files)


def test_where_no_log_can_be_kept_nobody_is_held_up(log: Path, capfd: pytest.CaptureFixture[str]):
    log.parent.parent.joinpath("log").write_text("a file, no folder")
    log_file.note_fault(_fault())
    assert capfd.readouterr() == ("", "")


def test_who_uses_it_from_python_is_written_nothing(tmp_path: Path) -> None:
    program = "from linesim import log_file; log_file.note_fault(ValueError('x'))"
    done = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True,
        text=True,
        env={"HOME": str(tmp_path), "PYTHONPATH": str(Path(__file__).parents[1])},
        timeout=30,
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert list(tmp_path.iterdir()) == []
