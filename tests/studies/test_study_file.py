"""Kept runs: resumed, refused when they belong to something else, safe to open."""

import shutil
import sqlite3
from pathlib import Path

import pytest

from linesim.studies import study_file
from linesim.studies.run_spec import make_run, spec_of
from linesim.studies.study_file import StudyFile, StudyFileError, discard
from tests.studies.lines import quick_line


def opened(path: Path, scenario: str = "s", program: str = "p") -> StudyFile:
    return StudyFile(path, scenario=scenario, name="a line", program=program)


def outcome() -> str:
    return make_run(spec_of(quick_line(), seed=1, replication=0, hours=0.5))


def test_what_was_kept_is_found_again(tmp_path: Path) -> None:
    text = outcome()
    with opened(tmp_path / "a.sqlite") as file:
        file.put("one", text)
    with opened(tmp_path / "a.sqlite") as file:
        found = file.get("one")
        assert found is not None
        assert found.text() == text
        assert file.get("two") is None


def test_a_changed_scenario_is_refused_by_name(tmp_path: Path) -> None:
    opened(tmp_path / "a.sqlite").close()
    with pytest.raises(StudyFileError, match=r"'a line'.*the scenario has changed"):
        opened(tmp_path / "a.sqlite", scenario="another")


def test_runs_of_another_version_are_refused(tmp_path: Path) -> None:
    opened(tmp_path / "a.sqlite").close()
    with pytest.raises(StudyFileError, match="another version"):
        opened(tmp_path / "a.sqlite", program="newer")


@pytest.mark.parametrize(
    ("kept_as", "words"),
    [(1, "another version of linesim and may differ"), (99, "a newer version of linesim keeps")],
)
def test_a_file_of_another_format_is_refused_in_words(
    tmp_path: Path, kept_as: int, words: str
) -> None:
    path = tmp_path / "a.sqlite"
    opened(path).close()
    with sqlite3.connect(path) as db:
        db.execute(f"PRAGMA user_version = {kept_as}")
    db.close()
    for again in (opened, reading):
        with pytest.raises(StudyFileError, match=words):
            again(path)


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody waits for another to let go."""
    monkeypatch.setattr(study_file, "_PATIENCE_S", 0.0)


@pytest.mark.usefixtures("impatient")
def test_a_second_study_on_the_same_file_is_told(tmp_path: Path) -> None:
    with (
        opened(tmp_path / "a.sqlite"),
        pytest.raises(StudyFileError, match="another study is using it"),
    ):
        opened(tmp_path / "a.sqlite")


@pytest.mark.parametrize("content", [b"hello", b"SQLite format 3\x00" + b"\xff" * 4096])
def test_a_file_that_is_something_else_is_left_as_it_is(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "letter"
    path.write_bytes(content)
    with pytest.raises(StudyFileError):
        opened(path)
    with pytest.raises(StudyFileError):
        discard(path)
    assert path.read_bytes() == content


def test_another_programs_database_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite"
    with sqlite3.connect(path) as db:
        db.execute("CREATE TABLE about (name TEXT)")
    db.close()
    before = path.read_bytes()
    with pytest.raises(StudyFileError, match="no study file"):
        opened(path)
    with pytest.raises(StudyFileError, match="no study file"):
        discard(path)
    assert path.read_bytes() == before


def test_a_trigger_smuggled_in_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.sqlite"
    opened(path).close()
    with sqlite3.connect(path) as db:
        db.execute("CREATE TRIGGER t AFTER INSERT ON run BEGIN DELETE FROM about; END")
    db.close()
    with pytest.raises(StudyFileError, match="no study file"):
        opened(path)


def test_an_outcome_tampered_with_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.sqlite"
    with opened(path) as file:
        file.put("one", '{"good_reams": 7}')
        with pytest.raises(StudyFileError, match="damaged"):
            file.get("one")


def test_discard_takes_a_study_file_away(tmp_path: Path) -> None:
    opened(tmp_path / "a.sqlite").close()
    discard(tmp_path / "a.sqlite")
    assert not (tmp_path / "a.sqlite").exists()
    discard(tmp_path / "a.sqlite")


def full(file: StudyFile) -> None:
    """From here on the file may not grow: what a full disk says, SQLite says."""
    pages = file._db.execute("PRAGMA page_count").fetchone()[0]
    file._db.execute(f"PRAGMA max_page_count = {pages}")


def test_on_a_full_disk_what_was_kept_stays_and_the_user_is_told(tmp_path: Path) -> None:
    text = outcome()
    with opened(tmp_path / "a.sqlite") as file:
        file.put("one", text)
        full(file)
        with pytest.raises(OSError, match=r"a run could not be kept: .*full"):
            file.put("two", text * 50)
    with opened(tmp_path / "a.sqlite") as file:
        assert len(file) == 1
        assert file.get("one") is not None


def test_a_file_that_may_fail_stops_nobody(tmp_path: Path) -> None:
    path = tmp_path / "a.sqlite"
    text = outcome()
    with StudyFile(path, scenario="s", name="n", program="p", may_fail=True) as file:
        full(file)
        for key in ("one", "two"):
            file.put(key, text * 50)
        assert "could not be kept" in file.failed
        assert len(file) == 0


def reading(path: Path) -> StudyFile:
    return StudyFile(path, scenario=None, name="", program="p")


def test_reading_changes_nothing_and_asks_for_no_right_to(tmp_path: Path) -> None:
    path = tmp_path / "a ?#%.sqlite"
    with opened(path) as file:
        file.put("one", outcome())
    before = path.read_bytes(), path.stat().st_mtime_ns
    with reading(path) as file:
        assert file.get("one") is not None
        with pytest.raises(OSError, match="readonly"):
            file.put("two", "{}")
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert [entry.name for entry in tmp_path.iterdir()] == [path.name]


@pytest.mark.usefixtures("impatient")
def test_a_file_in_use_is_neither_read_nor_thrown_away(tmp_path: Path) -> None:
    path = tmp_path / "a.sqlite"
    with opened(path) as file:
        file.put("one", outcome())
        with pytest.raises(StudyFileError, match="a study is using it"):
            reading(path)
        with pytest.raises(StudyFileError, match="another study is using it"):
            discard(path)
    assert path.exists()


def test_a_write_that_a_kill_cut_short_is_taken_back_by_reading(tmp_path: Path) -> None:
    """The file and its journal as a killed process leaves them: copied in the middle of a write."""
    path, left = tmp_path / "a.sqlite", tmp_path / "left.sqlite"
    with opened(path) as file:
        file.put("one", outcome())
        file._db.execute("PRAGMA cache_size = 1")
        file._db.execute("BEGIN")
        file._db.execute("UPDATE about SET value = ?", ("spoiled" * 4000,))
        for key in range(50):
            file._db.execute("INSERT INTO run VALUES (?, ?)", (f"half {key}", "{}" * 3000))
        shutil.copy(path, left)
        shutil.copy(f"{path}-journal", f"{left}-journal")
        file._db.execute("ROLLBACK")
    assert b"spoiled" in left.read_bytes()
    with reading(left) as file:
        assert len(file) == 1
        assert file.noted("name") == "a line"


def test_a_layout_that_is_no_text_is_damage(tmp_path: Path) -> None:
    """SQLite quotes a damaged layout in its own error, bytes and all."""
    path = tmp_path / "a.sqlite"
    opened(path).close()
    data = path.read_bytes()
    assert b"CREATE TABLE run" in data
    path.write_bytes(data.replace(b"CREATE TABLE run", b"CREATE \xb5ABLE run"))
    with pytest.raises(StudyFileError, match="damaged"):
        reading(path)
