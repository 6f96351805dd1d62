"""Where systems differ: what differs is one function here, and its test plays the other systems."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

_QUIET = subprocess.DEVNULL

BUNDLED = bool(getattr(sys, "frozen", False))
"""Whether the program came with a Python of its own, in one folder."""
HAS_ENTRIES = sys.platform not in ("win32", "darwin")
"""Whether desktops here list their programs by the XDG standard of desktop entries."""


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


def refresh_desktop(folder: Path) -> None:
    """Have a desktop look at its lists of programs and kinds of files; some look by themselves."""
    for tool, of in (("update-mime-database", "mime"), ("update-desktop-database", "applications")):
        path = shutil.which(tool)
        if path is not None and (folder / of).is_dir():
            subprocess.run([path, folder / of], stdout=_QUIET, stderr=_QUIET, check=False)
