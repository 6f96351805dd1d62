"""A cache of its own for a test, without making the compiled engine once more for each."""

from __future__ import annotations

from pathlib import Path

import pytest

from linesim.folders import engine_folder


def own_cache(patch: pytest.MonkeyPatch, folder: Path) -> None:
    """Give the program a cache of its own; the compiled engine stays the one of this machine."""
    engine = engine_folder()
    engine.mkdir(parents=True, exist_ok=True, mode=0o700)
    (folder / "linesim").mkdir(parents=True)
    (folder / "linesim" / "engine").symlink_to(engine, target_is_directory=True)
    patch.setenv("XDG_CACHE_HOME", str(folder))
