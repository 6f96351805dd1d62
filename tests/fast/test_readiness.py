"""Having the compiled engine made beside a program, and being told how that stands."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest
from filelock import FileLock

from linesim.fast import kept_engine, readiness
from linesim.fast.readiness import EngineState, see_to_engine

# The processes here are shell scripts in the maker's place: the real one takes half a minute.
pytestmark = pytest.mark.skipif(not Path("/bin/sh").exists(), reason="needs a shell")


@pytest.fixture
def made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The file that says that the engine is there; nobody has made it yet."""
    file = tmp_path / "engine.o"
    monkeypatch.delenv("LINESIM_ENGINE", raising=False)
    monkeypatch.setattr(kept_engine, "_making", [])
    monkeypatch.setattr(kept_engine, "file", lambda: file)
    monkeypatch.setattr(kept_engine, "ready", lambda: object() if file.exists() else None)
    return file


def maker(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, does: str) -> None:
    script = tmp_path / "maker"
    script.write_text(f"#!/bin/sh\n{does}\n", encoding="utf-8")
    script.chmod(0o755)
    monkeypatch.setattr(kept_engine.sys, "executable", str(script))


def settled() -> EngineState:
    until = time.monotonic() + 20
    while (state := see_to_engine()).making and time.monotonic() < until:
        time.sleep(0.02)
    return state


def test_it_is_being_made_and_then_it_is_there(
    made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    go = tmp_path / "go"
    maker(
        tmp_path,
        monkeypatch,
        f"while [ ! -e {go} ]; do sleep 0.02; done; echo x >> {tmp_path}/log; touch {made}",
    )
    for _ in range(3):
        state = see_to_engine()
        assert (state.ready, state.making) == (False, True)
        assert "is being made beside this" in state.words
    go.touch()
    assert settled() == EngineState(ready=True, making=False, words="")
    # Asked three times, made once.
    assert (tmp_path / "log").read_text() == "x\n"


@pytest.mark.parametrize(
    ("does", "words"),
    [
        ("echo noise >&2; echo no space left on device >&2; exit 1", "no space left on device"),
        ("kill -9 $$", "ended with code -9"),
        ("exit 0", "cannot be used from"),
    ],
)
def test_why_it_could_not_be_made_is_said_and_it_is_not_tried_for_ever(
    made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, does: str, words: str
) -> None:
    maker(tmp_path, monkeypatch, f"echo x >> {tmp_path}/log; {does}")
    state = settled()
    assert (state.ready, state.making) == (False, False)
    assert words in state.words
    assert see_to_engine() == state
    assert (tmp_path / "log").read_text() == "x\n"


def test_nothing_is_made_where_nobody_wants_it_or_nothing_can(
    made: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LINESIM_ENGINE", "interpreted")
    assert see_to_engine() == EngineState(ready=False, making=False, words="")
    monkeypatch.delenv("LINESIM_ENGINE")
    monkeypatch.setattr(kept_engine, "file", lambda: None)
    assert see_to_engine().words == readiness._NO_COMPILER
    assert kept_engine._making == []


def test_what_another_process_makes_is_left_to_it_while_it_is_at_it(
    made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    maker(tmp_path, monkeypatch, f"touch {made}")
    with FileLock(made.with_suffix(".lock")):
        assert see_to_engine().making
        assert kept_engine._making == []
    # It ended without an engine: then it is for this one to make.
    assert settled().ready
    assert len(kept_engine._making) == 1


def test_a_maker_that_finds_the_work_done_has_not_loaded_the_compiler(tmp_path: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from linesim.fast import kept_engine;"
        f"kept_engine.file = lambda: Path({str(tmp_path / 'kept/engine.o')!r});"
        "kept_engine.ready = object; kept_engine.make();"
        "print('numba' in sys.modules)"
    )
    said = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout
    assert said == "False\n"
