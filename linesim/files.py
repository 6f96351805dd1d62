"""Writing a file whole or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import tempfile
from pathlib import Path

from linesim.platforms import fault_of_name, open_name, take_name

_LONGEST_STEM = 40


def write_text(path: Path, text: str) -> None:
    """Write ``text`` as UTF-8 so that ``path`` holds all of it, or what it held before.

    Raises ``OSError`` where it cannot be written.
    """
    write_bytes(path, text.encode())


def write_bytes(path: Path, data: bytes, mode: int | None = None) -> None:
    """Write ``data`` so that ``path`` holds all of it, or what it held before.

    It is written beside the file, brought to the disk, and then takes the file's name in one
    step; a link stays a link, and rights stay as they were, unless ``mode`` says which. Raises
    ``OSError``, with the file's name in it, where it cannot be written or is read-only.
    """
    try:
        _write(path, data, mode)
    except OSError as error:
        # The name of the part beside it would tell the user nothing.
        raise type(error)(error.errno, error.strerror or str(error), str(path)) from None


def _write(path: Path, data: bytes, mode: int | None) -> None:
    if fault := fault_of_name(path):
        raise OSError(errno.EINVAL, fault, str(path))
    if path.exists() and not path.is_file():
        # A device or a pipe cannot be replaced, only written to; a folder neither.
        path.write_bytes(data)
        return
    target = open_name(path.resolve())
    if target.exists() and not os.access(target, os.W_OK):
        # Replacing asks only what may be done with the folder.
        raise PermissionError(errno.EACCES, "it is read-only", str(path))
    handle, name = tempfile.mkstemp(
        prefix=f".{target.name[:_LONGEST_STEM]}.", suffix=".new", dir=target.parent
    )
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        with contextlib.suppress(OSError):
            # Some file systems know no rights.
            part.chmod(_mode_for(target) if mode is None else mode)
        take_name(part, target)
    except BaseException:
        with contextlib.suppress(OSError):
            part.unlink()
        raise
    _settle(target.parent)


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
