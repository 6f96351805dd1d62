"""Writing a file so that it is either the old one or the new one, never half of each."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from enum import Enum
from pathlib import Path


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


def write_whole(path: Path, content: bytes) -> None:
    """Put *content* at *path* in one step; a link stays a link, rights stay as they were.

    Raises :class:`SaveRefused` where that cannot be done; the old file then stands untouched.
    """
    temporary = ""
    try:
        target = path.resolve()
        if target.is_dir():
            raise SaveRefused(Reason.CANNOT_WRITE, f"{target} is a folder, not a file.")
        if target.exists() and not os.access(target, os.W_OK):
            raise SaveRefused(Reason.CANNOT_WRITE, f"{target} is read-only.")
        handle, temporary = tempfile.mkstemp(
            prefix=f".{target.name[:60]}.", suffix=".new", dir=target.parent
        )
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, _mode_for(target))
        os.replace(temporary, target)
        temporary = ""
        _settle(target.parent)
    except (OSError, ValueError, RuntimeError) as error:
        why = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise SaveRefused(Reason.CANNOT_WRITE, f"{path} cannot be written: {why}.") from None
    finally:
        if temporary:
            with contextlib.suppress(OSError):
                os.unlink(temporary)


def _mode_for(target: Path) -> int:
    try:
        return stat.S_IMODE(target.stat().st_mode)
    except FileNotFoundError:
        # What a plainly created file would get; asking for the mask means setting it.
        mask = os.umask(0o077)
        os.umask(mask)
        return 0o666 & ~mask


def _settle(folder: Path) -> None:
    """The new name is on the disk too; systems that cannot open a folder do it themselves."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
