"""Where the program keeps what is its own, for each user; the systems differ in the places."""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from platformdirs import PlatformDirs

from linesim.platforms import HAS_ENTRIES

_NAME = "linesim"
ENTRY = "desktop entry"
UNSAVED = "unsaved work"
_LIBRARY_FOLDER = "MPLCONFIGDIR"
"""Variable that tells matplotlib where to keep its list of fonts."""


def _folders() -> PlatformDirs:
    # Without an author: on Windows one folder of the program, not one within another.
    return PlatformDirs(_NAME, appauthor=False)


def engine_folder() -> Path:
    """Machine code; made again where it is missing."""
    return _folders().user_cache_path / "engine"


def studies_folder() -> Path:
    """Runs of studies that are not complete yet."""
    return _folders().user_cache_path / "studies"


def fonts_folder() -> Path:
    """The list of fonts that charts are drawn with; made again where it is missing."""
    return _folders().user_cache_path / "fonts"


def columns_file() -> Path:
    """What was told of stop logs by hand."""
    return _folders().user_config_path / "log-columns.toml"


def window_file() -> Path:
    """What the window remembers."""
    return _folders().user_config_path / "window.conf"


def recovery_folder() -> Path:
    """Copies of unsaved work."""
    return _folders().user_state_path / "recovery"


def open_folder() -> Path:
    """Which files are open in which window."""
    return _folders().user_state_path / "open"


def logs_folder() -> Path:
    """The log of the program's own faults."""
    return _folders().user_log_path


def desktop_folder() -> Path:
    """Of a desktop's programs, icons and kinds of files; where there is such a desktop."""
    return _folders().user_data_path.parent


def entry_file() -> Path:
    """The window among the programs of the desktop."""
    return desktop_folder() / "applications" / "linesim-window.desktop"


def kinds_file() -> Path:
    """Scenarios among the kinds of files."""
    return desktop_folder() / "mime" / "packages" / "linesim.xml"


def icon_file() -> Path:
    """The program's icon among those of all programs."""
    return desktop_folder() / "icons" / "hicolor" / "scalable" / "apps" / "linesim.svg"


KEPT: dict[str, tuple[Callable[[], Path], ...]] = {
    "caches": (engine_folder, studies_folder, fonts_folder),
    "settings": (window_file, columns_file),
    "logs": (logs_folder,),
    UNSAVED: (recovery_folder, open_folder),
}
"""All that is kept, by kind."""
if HAS_ENTRIES:
    KEPT[ENTRY] = (entry_file, kinds_file, icon_file)


def keep_in_own_folders() -> None:
    """Have libraries keep their files among the program's, so that nothing of it lies elsewhere.

    For the program as a command; who uses it from Python has folders of an own choice.
    """
    os.environ.setdefault(_LIBRARY_FOLDER, str(fonts_folder()))


def places(kind: str) -> tuple[Path, ...]:
    """The places of a kind of thing kept, there or not."""
    return tuple(each() for each in KEPT[kind])


def size_bytes(path: Path) -> int:
    """What a file, or all in a folder, takes; 0 where there is nothing."""
    if not path.is_dir():
        return path.stat().st_size if path.is_file() else 0
    return sum(each.stat().st_size for each in path.rglob("*") if each.is_file())


def remove(paths: Iterable[Path]) -> Iterator[Path]:
    """Remove files and folders, and what is left empty above them; gives those that were there.

    Raises ``OSError`` where one cannot be removed.
    """
    for path in paths:
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        elif path.exists() or path.is_symlink():
            path.unlink()
        else:
            continue
        yield path
        _remove_empty(path.parent)


def _remove_empty(folder: Path) -> None:
    """The folder and those above it up to the program's own, as far as nothing is in them."""
    own = [folder, folder.parent, folder.parent.parent]
    names = [each.name for each in own]
    if _NAME in names:
        with contextlib.suppress(OSError):
            for each in own[: names.index(_NAME) + 1]:
                each.rmdir()
