"""Kept machine code is run only where nobody else can have written it, and whole."""

from __future__ import annotations

import hashlib
import os
import sys
from pathlib import Path

import pytest

from linesim.fast import kept_engine

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="rights as on POSIX")

CODE = b"code" * 100


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    folder = tmp_path / "engine"
    folder.mkdir(mode=0o700)
    path = folder / "kept.o"
    path.write_bytes(hashlib.sha256(CODE).digest() + CODE)
    path.chmod(0o600)
    return path


def test_whole_and_our_own_it_is_used(kept: Path) -> None:
    assert kept_engine._code_in(kept) == CODE
    assert kept_engine._code_in(kept.with_name("none.o")) is None


@pytest.mark.parametrize(
    "spoil", [lambda data: data[:-1], lambda data: b"", lambda data: data[32:]]
)
def test_damaged_it_is_not_used(kept: Path, spoil) -> None:  # type: ignore[no-untyped-def]
    kept.write_bytes(spoil(kept.read_bytes()))
    assert kept_engine._code_in(kept) is None


def test_where_others_may_write_it_is_not_used(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept.chmod(0o666)
    assert kept_engine._code_in(kept) is None
    kept.chmod(0o600)
    kept.parent.chmod(0o777)
    assert kept_engine._code_in(kept) is None
    kept.parent.chmod(0o700)
    monkeypatch.setattr(os, "getuid", lambda: kept.stat().st_uid + 1)
    assert kept_engine._code_in(kept) is None


def test_only_the_newest_stay_when_one_more_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "engine"
    folder.mkdir(mode=0o700)
    for number in range(8):
        for name in (f"old{number}.o", f"old{number}.lock"):
            (folder / name).write_bytes(CODE)
            os.utime(folder / name, (1_000_000 + number, 1_000_000 + number))
    being_made = folder / "being_made.lock"
    being_made.touch()
    new = folder / "new.o"
    monkeypatch.setattr(kept_engine, "file", lambda: new)
    monkeypatch.setattr("linesim.fast.compiling.compile_rules", lambda: CODE)
    assert kept_engine.make() == new
    assert kept_engine._code_in(new) == CODE
    stay = {"new", *(f"old{number}" for number in (3, 4, 5, 6, 7))}
    assert {path.stem for path in folder.glob("*.o")} == stay
    assert {path.stem for path in folder.glob("*.lock")} == stay | {"being_made"}


def test_a_bundle_has_one_of_its_own_and_makes_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shipped = tmp_path / "shipped"
    shipped.mkdir()
    monkeypatch.setattr(kept_engine, "_SHIPPED", shipped)
    assert kept_engine.file() != shipped
    of_this_kind = shipped / kept_engine._named(kept_engine.platform.machine())
    kept_engine._write(of_this_kind, CODE, mode=0o644)
    # Whoever unpacked it owns it, and numba is not there.
    monkeypatch.setattr(kept_engine, "_name", lambda: "")
    monkeypatch.setattr(os, "getuid", lambda: of_this_kind.stat().st_uid + 1)
    assert kept_engine.file() == of_this_kind
    assert kept_engine._code_in(of_this_kind) == CODE
    assert kept_engine.make() == of_this_kind
    assert [each.name for each in shipped.iterdir()] == [of_this_kind.name]
    monkeypatch.setattr(kept_engine.platform, "machine", lambda: "another")
    assert kept_engine.file() is None
