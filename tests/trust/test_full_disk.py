"""A disk that is full, and one that may only be read: said in words, and nothing is lost.

The disk is a small one in memory, so these tests need the right to mount it; elsewhere they are
left out, and the tests of each writer, which only pretend, must do.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import linesim
from gui.document import Autosave, Document, OpenFileLock, Reason, SaveRefused
from linesim.commands import main
from tests.caches import own_cache
from tests.studies.lines import quick_line


class Disk:
    """A disk of 512 kB."""

    def __init__(self, top: Path) -> None:
        self.top = top
        self._mount("-t", "tmpfs", "-o", "size=512k", "tmpfs", top)

    def _mount(self, *words: str | Path) -> None:
        done = subprocess.run(["mount", *words], capture_output=True, check=False)
        if done.returncode:
            pytest.skip("needs the right to mount a disk")

    def fill(self, leave_kb: int = 0) -> None:
        """Fill it up, but for so much."""
        with (self.top / "filler").open("wb", buffering=0) as file:
            try:
                while True:
                    file.write(bytes(4096))
            except OSError:
                file.truncate(max(0, file.tell() - leave_kb * 1024))

    def empty(self) -> None:
        """Take the filling away."""
        (self.top / "filler").unlink()

    def only_read(self) -> None:
        """From here on it may only be read."""
        self._mount("-o", "remount,ro", self.top)


@pytest.fixture
def disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Disk]:
    if not sys.platform.startswith("linux"):
        pytest.skip("mounts as Linux does")
    own_cache(monkeypatch, tmp_path / "cache")
    top = tmp_path / "disk"
    top.mkdir()
    made = Disk(top)
    (top / "line.toml").write_text(linesim.scenario.dump(quick_line()), "utf-8")
    shutil.copy(linesim.scenario.find_scenario("short-bridge"), top / "old.toml")
    yield made
    subprocess.run(["umount", top], check=True)


def called(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def study(disk: Disk, *words: str | Path) -> Result:
    short = ("--hours", "1", "--replications", "4", "--processes", "1")
    return called("vary", disk.top / "line.toml", "crew.size=1,2,3", *short, *words)


def test_a_study_on_a_full_disk_says_so_and_goes_on_from_there_later(disk: Disk) -> None:
    disk.fill(leave_kb=70)
    kept = disk.top / "kept.sqlite"
    stopped = study(disk, "--keep", kept)
    assert stopped.exit_code == 2, stopped.output
    assert "a run could not be kept: database or disk is full" in stopped.stderr
    assert "the same command goes on from there" in stopped.stderr
    disk.empty()
    resumed = study(disk, "--keep", kept, "--json", "-")
    assert resumed.exit_code == 0, resumed.output
    assert "finished runs found" in resumed.stderr
    assert resumed.stdout == study(disk, "--json", "-", "--keep", kept).stdout


def test_a_full_cache_stops_no_study(disk: Disk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(disk.top / "cache"))
    disk.fill(leave_kb=60)
    answer = study(disk)
    assert answer.exit_code == 0, answer.output
    assert "kept" in answer.stderr
    assert "Note: " in answer.stderr


@pytest.mark.parametrize("wrong", ["full", "only read"])
def test_what_cannot_be_written_leaves_the_old_files(disk: Disk, wrong: str) -> None:
    old = disk.top / "old.json"
    old.write_text("{}", "utf-8")
    line = linesim.scenario.find_scenario("short-bridge")
    log = disk.top.with_name("log.csv")
    rows = (f"2026-03-{day:02} 10:00;{5 + day % 7};wrapper jam" for day in range(1, 15))
    log.write_text("\n".join(["start;minutes;cause", *rows]), "utf-8")
    if wrong == "full":
        disk.fill()
        said = "No space left on device"
    else:
        disk.only_read()
        said = "read-only"
    before = {path: path.read_bytes() for path in disk.top.iterdir()}
    short = ("--hours", "0.2", "--replications", "2")
    for words in (
        ("run", line, *short, "--json", old),
        ("vary", line, "crew.size=1,2", *short[2:], "--hours", "1", "--json", old),
        ("fit-stops", log, "--resamples", "20", "--into", disk.top / "old.toml"),
    ):
        result = called(*words)
        assert result.exit_code == 2, (words, result.output)
        assert said in result.stderr.replace("Read", "read"), words
        assert "Traceback" not in result.stderr
    document = Document()
    keeper = Autosave(document, disk.top / "kept", after_s=60)
    lock = OpenFileLock(document, disk.top / "open")
    document.open(disk.top / "old.toml")
    document.set_field("bridge.places", 30)
    with pytest.raises(SaveRefused, match=said) as refused:
        document.save()
    assert refused.value.reason is Reason.CANNOT_WRITE
    assert document.dirty
    keeper.write_now()
    assert said in keeper.failed.replace("Read", "read")
    keeper.close()
    lock.close()
    assert {path: path.read_bytes() for path in before} == before
    assert not [path for path in disk.top.iterdir() if path.name.endswith(".new")]


def test_a_kept_study_answers_from_a_disk_that_may_only_be_read(disk: Disk) -> None:
    kept = disk.top / "kept.sqlite"
    told = study(disk, "--keep", kept, "--json", "-").stdout
    disk.only_read()
    _, answer = linesim.questions.answer_from_file(kept)
    assert linesim.report.answer_json(answer).splitlines()[:5] == told.splitlines()[:5]
    refused = study(disk, "--keep", kept)
    assert refused.exit_code == 2
    assert "could not be kept: attempt to write a readonly database" in refused.stderr
