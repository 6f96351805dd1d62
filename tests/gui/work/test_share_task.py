"""The task of a shared shift: its page is the one the packages make, and it can be given up."""

from __future__ import annotations

from pathlib import Path

import pytest

import linesim
from gui.work.messages import TaskCancelledError
from gui.work.share_task import share

LINE = linesim.scenario.check_text("[line]\nname = 'quick'\nshift_hours = 1\n")
STOP = linesim.scenario.ForcedStop(station="wrapper", at_h=0.005, minutes=0.5)
ASKED = {"scenario": LINE, "hours": 0.02, "seed": 5, "replication": 0, "replications": 1}


class Heard:
    """A window that listens, and no longer wants it once told so much."""

    def __init__(self, enough: str = "never") -> None:
        self.words: list[str] = []
        self._enough = enough

    def progress(self, part: float | None, words: str = "") -> None:
        self.words.append(words)

    def partial(self, value: object) -> None:
        raise AssertionError("there is no part of a page")

    def cancelled(self) -> bool:
        return self._enough in self.words


def test_the_page_is_that_of_the_command(tmp_path: Path) -> None:
    target, heard = tmp_path / "shift.html", Heard()
    assert share(heard, forced=(), target=target, **ASKED) == target
    runs = linesim.studies.replicate(LINE, replications=1, hours=0.02, seed=5)
    record = linesim.fast.simulate(LINE, seed=5, hours=0.02)
    why_not = linesim.report.no_help_words(runs)
    assert target.read_text("utf-8") == linesim.report.shared_shift(record, runs, why_not)
    assert heard.words[-1].endswith(" %")


def test_of_a_stop_put_in_it_tells_what_that_did(tmp_path: Path) -> None:
    target = tmp_path / "stop.html"
    share(Heard(), forced=(STOP,), target=target, **ASKED)
    said = target.read_text("utf-8")
    assert "A stop was put in." in said
    assert "The paragraph at the top is about" not in said
    assert "The thin line is the same run without the stop" in said
    assert "stood for 30 s" in said.replace("\u00a0", " ")


def test_given_up_it_writes_nothing(tmp_path: Path) -> None:
    target = tmp_path / "shift.html"
    with pytest.raises(TaskCancelledError):
        share(Heard("0 %"), forced=(), target=target, **ASKED)
    assert not target.exists()
