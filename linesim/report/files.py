"""Writing a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_text(path: Path, text: str) -> None:
    """Write ``text`` as UTF-8 so that ``path`` holds all of it, or what it held before.

    Raises ``OSError`` where it cannot be written.
    """
    write_bytes(path, text.encode())


def write_bytes(path: Path, data: bytes) -> None:
    """Write ``data`` so that ``path`` holds all of it, or what it held before.

    Raises ``OSError`` where it cannot be written.
    """
    if path.exists() and not path.is_file():
        # A device or a pipe cannot be replaced, only written to; a folder neither.
        path.write_bytes(data)
        return
    target = path.resolve()
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        part.chmod(target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_mask())
        part.replace(target)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def _mask() -> int:
    """The permissions that new files do not get here; asking means setting it twice."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
