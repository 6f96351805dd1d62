"""Where systems differ: what differs is one function here, and its test plays the other systems."""

from __future__ import annotations

import codecs
import contextlib
import os
import shutil
import stat
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from pathlib import Path, PureWindowsPath
from typing import Any

WINDOWS = sys.platform == "win32"
MAC = sys.platform == "darwin"
BUNDLED = bool(getattr(sys, "frozen", False))
"""Whether the program came with a Python of its own, in one folder."""
HAS_ENTRIES = not (WINDOWS or MAC)
"""Whether desktops here list their programs by the XDG standard of desktop entries."""

_LIBRARIES = "LD_LIBRARY_PATH"
"""Set by a bundle as it begins; what it was before has _ORIG after the name."""
_QUIET = subprocess.DEVNULL
_LONG = 240
"""Characters of a path beyond which Windows must be told that it is meant so."""
_HELD_OPEN = {5, 32, 33}
"""What Windows answers where another program has a file open."""
_TRIES, _PAUSE_S = 8, 0.1
_DESKTOP_LISTS = (
    (
        "update-mime-database",
        "mime",
        "packages/*.xml",
        "aliases generic-icons globs globs2 icons magic mime.cache subclasses treemagic types"
        " version XMLnamespaces",
    ),
    ("update-desktop-database", "applications", "**/*.desktop", "mimeinfo.cache"),
)
"""Who makes a desktop's lists, where, of which files, and the names of the lists."""
_DESKTOP_PLACES = (
    "mime/application",
    "mime/packages",
    "applications",
    "icons/hicolor/scalable/apps",
)
_KEPT_NAMES = {"con", "prn", "aux", "nul", "conin$", "conout$"} | {
    f"{port}{number}" for port in ("com", "lpt") for number in "123456789¹²³"
}
_KEPT_SIGNS = set('<>:"|?*') | {chr(code) for code in range(32)}
_PLAIN_SIGNS = {
    "−": "-", "–": "-", "—": "-", "─": "-", "±": "+/-", "×": "x", "·": ".", "…": "...",
    "≥": ">=", "≤": "<=", "≈": "~", "→": "->", "“": '"', "”": '"', "‘": "'", "’": "'", "€": "EUR",
    "µ": "u", "²": "2", "³": "3",
}  # fmt: skip


# -- processes ---------------------------------------------------------------------------------


def begin_process() -> None:
    """To be called first of all: in a bundle each process of the program begins as the command.

    One that was started to work for another does so here, and never comes back.
    """
    if BUNDLED:
        from multiprocessing import freeze_support

        freeze_support()


def command_of(program: str, module: str) -> list[str]:
    """How one of the program's commands is started again, from anywhere."""
    begun_as = Path(sys.argv[0]).absolute()
    if BUNDLED:
        return [str(Path(sys.executable).with_name(program + Path(sys.executable).suffix))]
    if begun_as.stem == program:
        return [str(begun_as)]
    return [sys.executable, "-m", module]


def give_way(steps: int) -> None:
    """From here on this process gives way to others, where it can say so itself."""
    if hasattr(os, "nice"):
        os.nice(steps)


@contextlib.contextmanager
def starting_another_program() -> Iterator[None]:
    """While one is started: a bundle has libraries of its own, and another program must not.

    Those of its system may be newer, and it would not begin.
    """
    own, before = (os.environ.get(name) for name in (_LIBRARIES, f"{_LIBRARIES}_ORIG"))
    if not BUNDLED or own is None:
        yield
        return
    try:
        if before is None:
            del os.environ[_LIBRARIES]
        else:
            os.environ[_LIBRARIES] = before
        yield
    finally:
        os.environ[_LIBRARIES] = own


def on_its_own() -> dict[str, Any]:
    """What ``subprocess.Popen`` is told of a process that outlives this one and its terminal."""
    if not WINDOWS:
        return {"start_new_session": True}
    # Without its own console it would open one, in front of whoever works.
    no_window, below_normal_priority = 0x08000000, 0x00004000
    return {"creationflags": no_window | below_normal_priority}


# -- files -------------------------------------------------------------------------------------


def take_name(new: Path, target: Path) -> None:
    """Give ``new`` the name of ``target``, in one step, whatever stood there.

    Windows lets nobody do that while another program has the file open, were it only to look for
    harmful code: it is tried for a second. Raises ``OSError``, in words where it is that.
    """
    for pause_s in (*[_PAUSE_S] * _TRIES, None):
        try:
            new.replace(target)
            return
        except PermissionError as error:
            if not WINDOWS or windows_code(error) not in _HELD_OPEN:
                raise
            if pause_s is None:
                words = "another program has it open; close it there, or choose another name"
                raise PermissionError(error.errno, words, str(target)) from None
            time.sleep(pause_s)


def windows_code(error: OSError) -> int:
    """The system's own number of an error on Windows; elsewhere 0."""
    return getattr(error, "winerror", None) or 0


def fault_of_name(path: Path) -> str:
    """Why a file cannot have this name here, in words; empty where it can.

    Windows writes to a device in place of ``NUL.csv``, to a part of a file that nobody sees in
    place of ``a:b.csv``, and leaves out a full stop or a blank at the end.
    """
    if not WINDOWS:
        return ""
    parts = PureWindowsPath(str(path))
    for part in parts.parts[1 if parts.anchor else 0 :]:
        if part in (".", ".."):
            continue
        if part.split(".")[0].rstrip(" ").lower() in _KEPT_NAMES:
            return f"Windows keeps the name {part!r} for a device; choose another"
        if _KEPT_SIGNS & set(part):
            signs = " ".join(sorted(_KEPT_SIGNS & set(part)))
            return f"on Windows no name has {signs!r} in it; choose another than {part!r}"
        if part[-1] in " .":
            return (
                f"on Windows no name ends in a full stop or a blank; choose another than {part!r}"
            )
    return ""


def open_name(path: Path) -> Path:
    """The path as the system must be given it: on Windows a long one has a mark before it."""
    if not WINDOWS or len(str(path)) < _LONG or str(path).startswith("\\\\"):
        return path
    return Path(f"\\\\?\\{path}")


def name_of_file(path: Path) -> str:
    """One text for all ways to write a file's name here: ``A.toml`` may be ``a.toml``."""
    name = str(path.resolve())
    return name.casefold() if WINDOWS or MAC else name


def only_ours(path: Path) -> bool:
    """Whether nobody but the user can have written a file or folder. Raises ``OSError``.

    On Windows the folders of a user are that by the rights they inherit.
    """
    if not hasattr(os, "getuid"):
        return True
    state = path.stat()
    return state.st_uid == os.getuid() and not state.st_mode & (stat.S_IWGRP | stat.S_IWOTH)


# -- terminal and screen -----------------------------------------------------------------------


def make_output_forgiving() -> None:
    """Where a sign cannot be shown, a minus above all, plain ones are in its place."""
    codecs.register_error("linesim.plain", _in_plain_signs)
    for stream in (sys.stdout, sys.stderr):
        # A program without a terminal has none on Windows; a test has one of its own.
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="linesim.plain")


def _in_plain_signs(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(
        _PLAIN_SIGNS.get(s, "?") for s in error.object[error.start : error.end]
    ), error.end


def has_terminal() -> bool:
    """Whether there is an error stream; on Windows a program with a window has none."""
    return sys.stderr is not None


def has_screen(environment: Mapping[str, str]) -> bool:
    """Whether a window can be opened, as far as the environment says."""
    named = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return WINDOWS or MAC or any(environment.get(name) for name in named)


def refresh_desktop(folder: Path) -> None:
    """Have a desktop look at its lists of programs and kinds of files; some look by themselves.

    Where nothing is left to be listed the lists go, too, and the folders that were made for them.
    """
    for tool, of, listed, lists in _DESKTOP_LISTS:
        path = shutil.which(tool)
        if path is not None and (folder / of).is_dir():
            with starting_another_program():
                subprocess.run([path, folder / of], stdout=_QUIET, stderr=_QUIET, check=False)
        if not any((folder / of).glob(listed)):
            for name in lists.split():
                with contextlib.suppress(OSError):
                    (folder / of / name).unlink()
    for place in _DESKTOP_PLACES:
        with contextlib.suppress(OSError):
            for each in (folder / place, *(folder / place).parents):
                if each == folder:
                    break
                each.rmdir()
