"""Where systems differ, each played on the one at hand."""

from __future__ import annotations

import ast
import errno
import io
import os
import sys
from pathlib import Path, PureWindowsPath

import pytest

from linesim import platforms
from linesim.files import write_text

CLONE = Path(__file__).parent.parent


@pytest.fixture
def windows(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(platforms, "WINDOWS", True)
    monkeypatch.setattr(platforms, "HAS_ENTRIES", False)
    monkeypatch.setattr(platforms, "_PAUSE_S", 0.0)
    monkeypatch.setattr(platforms, "windows_code", lambda error: error.errno)


def _held_open(monkeypatch: pytest.MonkeyPatch, times: int) -> None:
    """Another program has every file open for so many tries."""
    left = [times]
    replace = Path.replace

    def held(new: Path, target: Path) -> Path:
        if left[0]:
            left[0] -= 1
            raise PermissionError(32, "being used by another process", str(new))
        return replace(new, target)

    monkeypatch.setattr(Path, "replace", held)


def test_a_file_that_another_program_had_open_for_a_moment_is_replaced(
    windows, tmp_path, monkeypatch
):
    file = tmp_path / "report.html"
    write_text(file, "old")
    _held_open(monkeypatch, 3)
    write_text(file, "new")
    assert file.read_text() == "new"


def test_a_file_that_stays_open_elsewhere_is_left_and_that_is_said(windows, tmp_path, monkeypatch):
    file = tmp_path / "report.html"
    write_text(file, "old")
    _held_open(monkeypatch, 100)
    with pytest.raises(PermissionError, match="another program has it open; close it") as refused:
        write_text(file, "new")
    assert refused.value.filename == str(file)
    assert [(each.name, each.read_text()) for each in tmp_path.iterdir()] == [(file.name, "old")]


def test_elsewhere_a_refusal_is_one_at_once(tmp_path, monkeypatch):
    _held_open(monkeypatch, 1)
    with pytest.raises(PermissionError, match="being used"):
        write_text(tmp_path / "a", "new")


@pytest.mark.parametrize(
    "name",
    ["NUL", "con.toml", "Com1.x.csv", "aux .txt", "a:b.csv", "what?.csv", "a.", "b ", "lpt³"],
)
def test_names_that_windows_would_take_for_something_else_are_refused(windows, name, tmp_path):
    with pytest.raises(OSError, match=r"Windows .*choose another") as refused:
        write_text(tmp_path / name, "x")
    assert refused.value.errno == errno.EINVAL
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["console.toml", "com10.csv", "nullify", "a.b.csv", ".hidden"])
def test_other_names_are_taken(windows, name, tmp_path):
    write_text(tmp_path / name, "x")
    write_text(tmp_path / ".." / tmp_path.name / name, "x")
    assert platforms.fault_of_name(PureWindowsPath("C:\\Users\\a", name)) == ""


def test_names_are_free_elsewhere(tmp_path):
    write_text(tmp_path / "NUL", "x")
    assert (tmp_path / "NUL").read_text() == "x"


def test_a_long_path_has_its_mark_on_windows_alone(windows, monkeypatch):
    long, short = Path("C:/" + "a/" * 150), Path("C:/a")
    assert str(platforms.open_name(long)) == f"\\\\?\\{long}"
    assert platforms.open_name(platforms.open_name(long)) == platforms.open_name(long)
    assert platforms.open_name(short) == short
    monkeypatch.setattr(platforms, "WINDOWS", False)
    assert platforms.open_name(long) == long


@pytest.mark.parametrize(("system", "one"), [("WINDOWS", True), ("MAC", True), ("", False)])
def test_large_and_small_letters_are_one_file_where_the_system_says_so(
    system, one, tmp_path, monkeypatch
):
    if system:
        monkeypatch.setattr(platforms, system, True)
    names = {platforms.name_of_file(tmp_path / name) for name in ("Line.toml", "line.TOML")}
    assert (len(names) == 1) == one


@pytest.mark.parametrize(
    ("encoding", "shown"),
    [("cp1252", "-54 ± 22, >=3 “x” ?"), ("ascii", '-54 +/- 22, >=3 "x" ?'), ("utf-8", "")],
)
def test_a_minus_sign_never_becomes_a_question(encoding, shown, monkeypatch):
    said = "−54 ± 22, ≥3 “x” 語"
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding=encoding))
    monkeypatch.setattr(sys, "stderr", None)
    platforms.make_output_forgiving()
    print(said, end="", flush=True)
    assert raw.getvalue().decode(encoding) == (shown or said)
    assert not platforms.has_terminal()


def test_a_process_of_its_own_is_begun_as_each_system_wants_it(monkeypatch):
    assert platforms.on_its_own() == {"start_new_session": True}
    monkeypatch.setattr(platforms, "WINDOWS", True)
    assert list(platforms.on_its_own()) == ["creationflags"]
    monkeypatch.delattr(os, "nice", raising=False)
    platforms.give_way(5)


def test_where_no_rights_are_told_a_folder_is_the_user_s(monkeypatch, tmp_path):
    tmp_path.chmod(0o777)
    assert not platforms.only_ours(tmp_path)
    monkeypatch.delattr(os, "getuid")
    assert platforms.only_ours(tmp_path)


def test_a_screen_is_named_on_linux_and_there_elsewhere(monkeypatch):
    assert not platforms.has_screen({"HOME": "/"})
    assert platforms.has_screen({"DISPLAY": ":0"})
    monkeypatch.setattr(platforms, "MAC", True)
    assert platforms.has_screen({})


def test_a_desktop_is_left_as_it_was_where_nothing_is_listed_any_more(tmp_path, monkeypatch):
    def make_lists(command: list[object], **_: object) -> None:
        tool, folder = command
        (folder / {"mime-tool": "mime.cache", "entry-tool": "mimeinfo.cache"}[tool]).touch()

    tools = {"update-mime-database": "mime-tool", "update-desktop-database": "entry-tool"}
    monkeypatch.setattr(platforms.shutil, "which", tools.get)
    monkeypatch.setattr(platforms.subprocess, "run", make_lists)
    ours = [tmp_path / "mime/packages/linesim.xml", tmp_path / "applications/x.desktop"]
    for file in ours:
        file.parent.mkdir(parents=True)
        file.touch()
    (tmp_path / "icons/hicolor/scalable/apps").mkdir(parents=True)
    (tmp_path / "icons/others").mkdir()
    platforms.refresh_desktop(tmp_path)
    assert {each.name for each in tmp_path.glob("*/*.cache")} == {"mime.cache", "mimeinfo.cache"}
    ours[0].unlink()
    platforms.refresh_desktop(tmp_path)
    # Another program's entry is still there, and an icon folder of somebody else's.
    assert [each.name for each in tmp_path.rglob("*.cache")] == ["mimeinfo.cache"]
    ours[1].unlink()
    platforms.refresh_desktop(tmp_path)
    left = sorted(each.relative_to(tmp_path).as_posix() for each in tmp_path.rglob("*"))
    assert left == ["icons", "icons/others"]


@pytest.mark.parametrize("before", [None, "/opt/lib"])
def test_another_program_is_not_given_the_libraries_of_a_bundle(before, monkeypatch):
    monkeypatch.setattr(platforms, "BUNDLED", True)
    monkeypatch.setenv("LD_LIBRARY_PATH", "/bundle")
    if before is not None:
        monkeypatch.setenv("LD_LIBRARY_PATH_ORIG", before)
    with platforms.starting_another_program():
        assert os.environ.get("LD_LIBRARY_PATH") == before
    assert os.environ["LD_LIBRARY_PATH"] == "/bundle"
    monkeypatch.setattr(platforms, "BUNDLED", False)
    with platforms.starting_another_program():
        assert os.environ["LD_LIBRARY_PATH"] == "/bundle"


def test_a_process_of_a_bundle_takes_up_what_it_was_started_for(monkeypatch):
    begun: list[str] = []
    monkeypatch.setattr("multiprocessing.freeze_support", lambda: begun.append("x"))
    platforms.begin_process()
    assert begun == []
    monkeypatch.setattr(platforms, "BUNDLED", True)
    platforms.begin_process()
    assert begun == ["x"]


def _tree(file: Path, words: set[str]) -> ast.Module:
    """The source of a file; an empty one where none of the words is in it, which is quick."""
    text = file.read_text(encoding="utf-8")
    return ast.parse(text if any(word in text for word in words) else "")


def test_nobody_else_asks_which_system_it_is() -> None:
    asked = {"sys.platform", "os.name", "platform.system", "sys.getwindowsversion"}
    found = {
        (file.relative_to(CLONE).as_posix(), ast.unparse(node))
        for package in ("linesim", "gui")
        for file in (CLONE / package).rglob("*.py")
        for node in ast.walk(_tree(file, asked))
        if isinstance(node, ast.Attribute) and ast.unparse(node) in asked
    }
    # The log names it.
    assert found == {
        ("linesim/platforms.py", "sys.platform"),
        ("linesim/log_file.py", "sys.platform"),
    }


def test_every_process_begins_anew_as_on_windows() -> None:
    """Nothing of the program counts on a copy of a process, which other systems do not make."""
    makers = {"get_context", "set_start_method", "fork", "Pool", "ProcessPoolExecutor", "Process"}
    found = {
        ast.unparse(node)
        for package in ("linesim", "gui")
        for file in (CLONE / package).rglob("*.py")
        for node in ast.walk(_tree(file, makers))
        if isinstance(node, ast.Call) and ast.unparse(node.func).split(".")[-1] in makers
    }
    assert found
    for call in found:
        assert "get_context('spawn')" in call or "context" in call, call
