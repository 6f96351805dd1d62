"""Writing a file so that it is either the old one or the new one, never half of each."""

from __future__ import annotations

from enum import Enum
from pathlib import Path

import linesim


class Reason(Enum):
    """Why a file was not saved."""

    NEEDS_NAME = "needs a name"
    DEMO = "demo"
    CHANGED_ON_DISK = "changed on disk"
    EXISTS = "exists"
    CANNOT_WRITE = "cannot write"


class SaveRefused(Exception):  # noqa: N818 - nothing went wrong, the user is asked
    """Nothing was written. ``reason`` is for the program, the text for the user."""

    def __init__(self, reason: Reason, words: str) -> None:
        super().__init__(words)
        self.reason = reason


def as_bytes(text: str) -> bytes:
    """*text* as it is saved. Raises :class:`SaveRefused` where UTF-8 has no such characters."""
    try:
        return text.encode("utf-8")
    except UnicodeEncodeError:
        words = "The text has characters that cannot be saved as UTF-8."
        raise SaveRefused(Reason.CANNOT_WRITE, words) from None


def holds_other(path: Path, text: str) -> bool:
    """Whether the file is there, can be read and holds something else than *text*."""
    try:
        return path.read_bytes() != text.encode("utf-8", "surrogatepass")
    except OSError:
        return False


def is_demo(path: Path) -> bool:
    """Whether the file came with the program."""
    return path.resolve() in {
        demo.resolve() for demo in linesim.scenario.shipped_scenarios().values()
    }


def write_whole(path: Path, content: bytes) -> None:
    """Put *content* at *path* in one step; a link stays a link, rights stay as they were.

    Raises :class:`SaveRefused` where that cannot be done; the old file then stands untouched.
    """
    try:
        if path.is_dir():
            raise SaveRefused(Reason.CANNOT_WRITE, f"{path.resolve()} is a folder, not a file.")
        linesim.files.write_bytes(path, content)
    except (OSError, ValueError, RuntimeError) as error:
        why = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise SaveRefused(Reason.CANNOT_WRITE, f"{path} cannot be written: {why}.") from None
