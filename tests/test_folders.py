"""Where the program keeps its own things, and that they can be taken away."""

from __future__ import annotations

import sys
from pathlib import Path

import platformdirs
import pytest

from linesim import folders

WINDOWS = Path("/windows/AppData/Local/linesim")


def _each_place() -> set[Path]:
    return {place for kind in folders.KEPT for place in folders.places(kind)}


@pytest.mark.skipif(sys.platform != "linux", reason="what another system says is told apart below")
def test_on_linux_places_are_those_of_the_standard_for_desktops(monkeypatch: pytest.MonkeyPatch):
    for name in ("CACHE", "CONFIG", "STATE", "DATA"):
        monkeypatch.setenv(f"XDG_{name}_HOME", f"/own/{name}")
    of_the_desktop = set(folders.places(folders.ENTRY))
    assert all(each.is_relative_to("/own/DATA") for each in of_the_desktop)
    assert {str(each.parent) for each in _each_place() - of_the_desktop} == {
        "/own/CACHE/linesim",
        "/own/CONFIG/linesim",
        "/own/STATE/linesim",
    }


@pytest.mark.parametrize("system", ["windows", "macos"])
def test_on_other_systems_no_two_things_share_a_place(
    system: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """There caches, settings and logs lie in one folder of the program, or beside each other."""
    from platformdirs.macos import MacOS
    from platformdirs.windows import Windows

    kind = {"windows": Windows, "macos": MacOS}[system]
    monkeypatch.setattr(platformdirs.windows, "get_win_folder", lambda _: str(WINDOWS.parent))
    monkeypatch.setattr(folders, "PlatformDirs", kind)
    monkeypatch.delitem(folders.KEPT, folders.ENTRY, raising=False)
    found = sorted(_each_place())
    assert len(found) == sum(len(places) for places in folders.KEPT.values())
    assert not any(a in b.parents for a in found for b in found)
    assert not any("linesim/linesim" in each.as_posix() for each in found)


def test_what_is_removed_leaves_no_empty_folder_and_no_neighbour(tmp_path: Path) -> None:
    own, other = tmp_path / "linesim", tmp_path / "other"
    (own / "Cache" / "engine").mkdir(parents=True)
    (own / "Cache" / "engine" / "a.o").write_bytes(b"12345")
    (own / "window.conf").write_text("x")
    other.mkdir()
    assert folders.size_bytes(own / "Cache") == 5
    assert list(folders.remove([own / "Cache" / "engine", own / "none"])) == [
        own / "Cache" / "engine"
    ]
    assert [each.name for each in own.iterdir()] == ["window.conf"]
    list(folders.remove([own / "window.conf"]))
    assert list(tmp_path.iterdir()) == [other]
