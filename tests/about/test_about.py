"""What the program says of itself, and how it is told that something is wrong."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from linesim import folders
from linesim.about import self_check
from linesim.about.facts import Facts
from linesim.commands import main
from linesim.fast import NoCompiledEngineError
from linesim.log_file import log_file

KNOWN = json.loads(Path(self_check.__file__).with_name("known_digests.json").read_text("utf-8"))


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Folders in which nothing was kept yet, as on another machine."""
    for kind in ("CACHE", "CONFIG", "STATE", "DATA"):
        monkeypatch.setenv(f"XDG_{kind}_HOME", str(tmp_path / kind))
    return tmp_path


def test_the_known_figures_are_those_of_the_line_as_it_is() -> None:
    """After a change of a rule: tests/trust/kept_records.py --make."""
    assert self_check.digests("auto") == KNOWN


def _digests(monkeypatch: pytest.MonkeyPatch, **by_engine: dict[str, str]) -> None:
    def digests(engine: str) -> dict[str, str]:
        if engine not in by_engine:
            raise NoCompiledEngineError
        return by_engine[engine]

    monkeypatch.setattr(self_check, "digests", digests)


def test_a_machine_that_gives_other_figures_is_told_so(own, monkeypatch) -> None:
    _digests(monkeypatch, interpreted=KNOWN, compiled=KNOWN | {"orders": "0"})
    done = CliRunner().invoke(main, ["about"])
    assert done.exit_code == 1
    assert "NOT the known figures in orders" in done.output
    assert "DIFFER in orders" in done.output
    assert "the known figures in 6 demo lines" in done.output


def test_without_the_compiled_engine_the_check_says_that_it_was_not_tried(own, monkeypatch):
    _digests(monkeypatch, interpreted=KNOWN)
    done = CliRunner().invoke(main, ["about"])
    assert done.exit_code == 0
    assert "not made yet, so not tried" in done.output
    assert "each other" not in done.output
    for word in ("Python", "numpy", "PySide6-Essentials", str(own / "CACHE"), "-o FILE"):
        assert word in done.output
    assert max(map(len, done.output.splitlines())) <= 100 + len(str(own))


def test_a_fault_report_has_the_log_and_no_name_of_who_is_at_the_machine(own, monkeypatch) -> None:
    monkeypatch.setattr(Path, "home", lambda: own)
    log_file().parent.mkdir(parents=True)
    log_file().write_text("linesim 1 ERROR fault", encoding="utf-8")
    report = own / "report.txt"
    done = CliRunner().invoke(main, ["about", "--no-check", "-o", str(report)])
    assert done.exit_code == 0
    said = report.read_text(encoding="utf-8")
    assert "ERROR fault" in said
    assert "~/CACHE/linesim/engine" in said
    assert str(own) not in said


def test_all_is_removed_but_unsaved_work_and_what_is_the_user_s(own, monkeypatch) -> None:
    told: list[Path] = []
    monkeypatch.setattr("linesim.commands.about.refresh_desktop", told.append)
    for place in (each for kind in folders.KEPT for each in folders.places(kind)):
        place.parent.mkdir(parents=True, exist_ok=True)
        if place.suffix:
            place.write_text("x")
        else:
            place.mkdir()
    unsaved = folders.recovery_folder() / "a.json"
    unsaved.write_text("{}")
    done = CliRunner().invoke(main, ["about", "--remove", "all"])
    assert done.exit_code == 0
    assert f"Left: unsaved work of a window in {unsaved.parent}" in done.output
    assert told == [folders.desktop_folder()] * folders.HAS_ENTRIES
    assert [each for each in own.rglob("*") if each.is_file()] == [unsaved]
    CliRunner().invoke(main, ["about", "--remove", folders.UNSAVED])
    assert not any(each.name == "linesim" for each in own.rglob("*"))


def test_rows_stand_under_each_other_and_paths_stay_whole() -> None:
    path = "/a" * 60
    text = Facts({"Title": {"a": f"{path} is here", "long name": "b"}}, None).text
    assert text == f"Title\n-----\na          {path}\n           is here\nlong name  b\n"
