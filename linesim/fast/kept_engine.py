"""The compiled engine as a file of machine code: kept in the user's cache, made once.

The file is named after all it depends on: the rules, the sources of this folder, the compiler's
versions, this machine. Whatever changes, another name is looked for, and an old file is never
taken for a new one. It is code, like Python's own compiled files: it lies where only the user may
write, and is used only while that is so and it is whole, as its checksum tells.

A bundle comes with one for any processor of its kind, beside these sources and named after them.
"""

from __future__ import annotations

import atexit
import hashlib
import importlib.metadata
import platform
import subprocess
import sys
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryFile
from typing import IO, TYPE_CHECKING

from linesim.folders import engine_folder
from linesim.platforms import on_its_own, only_ours

if TYPE_CHECKING:
    from filelock import BaseFileLock

    from linesim.fast.machine_code import Engine

_COMPILED_IN = (
    "fast/*.py",
    "line/*.py",
    "record/states.py",
    "scenario/goods.py",
    "scenario/shifts.py",
    "scenario/stops.py",
    "scenario/units.py",
)
"""Sources of rules, and of the records and numbers that are compiled into them."""
_SHIPPED = Path(__file__).with_name("shipped")
"""Where the engine of a bundle is; in a clone or a wheel there is none."""
_KEPT_FILES = 6
"""As many clones or versions of the program can be in use beside each other."""
_loaded: dict[Path, Engine] = {}
_making: list[tuple[subprocess.Popen[bytes], IO[bytes]]] = []
"""Makers and what they say of faults; held as long as this process lasts: one let go while it
runs would be warned of."""


@lru_cache(maxsize=1)
def _sources() -> bytes:
    """Digest of the sources that the machine code is made of; the same however lines end."""
    digest = hashlib.sha256()
    package = Path(__file__).parents[1]
    for file in sorted(file for sources in _COMPILED_IN for file in package.glob(sources)):
        digest.update(f"{file.relative_to(package).as_posix()}\x1f".encode())
        digest.update(file.read_bytes().replace(b"\r\n", b"\n"))
    return digest.digest()


@lru_cache(maxsize=1)
def _name() -> str:
    """The name of what is made here, after what it depends on; empty where there is no compiler."""
    try:
        versions = [importlib.metadata.version(name) for name in ("numba", "llvmlite")]
        import llvmlite.binding as llvm  # type: ignore[import-untyped]
    except ImportError:
        return ""
    machine = [platform.machine(), llvm.get_host_cpu_name(), llvm.get_default_triple()]
    return _named("\x1f".join([*versions, *machine]))


def _named(after: str) -> str:
    return f"{hashlib.sha256(_sources() + after.encode()).hexdigest()[:32]}.o"


def file() -> Path | None:
    """The file of the compiled engine, there or not; None where it cannot be made.

    That of a bundle, where there is one.
    """
    shipped = _SHIPPED / _named(platform.machine())
    if shipped.is_file():
        return shipped
    return engine_folder() / _name() if _name() else None


def ready() -> Engine | None:
    """The compiled engine, if it has been made; None where Python has to do."""
    path = file()
    if path is None:
        return None
    # However it is found, it is loaded once: machine code stays in memory as long as the process.
    place = path.resolve()
    if place not in _loaded:
        code = _code_in(path)
        if code is None:
            return None
        from linesim.fast.machine_code import load

        try:
            _loaded[place] = load(code)
        except RuntimeError:  # not an object file of this machine
            return None
    return _loaded[place]


def _code_in(path: Path) -> bytes | None:
    """The machine code in a file; None where somebody else may have written it, or it is not whole.

    A damaged one would not fail in Python's way: it would take the process with it. Who can write
    to that of a bundle can write to its program.
    """
    try:
        if path.parent != _SHIPPED and not all(map(only_ours, (path, path.parent))):
            return None
        kept = path.read_bytes()
    except OSError:
        return None
    size = hashlib.sha256().digest_size
    checksum, code = kept[:size], kept[size:]
    return code if checksum == hashlib.sha256(code).digest() else None


def make() -> Path:
    """Make the compiled engine and keep it; half a minute or so.

    Raises ``ImportError`` where there is no compiler, ``OSError`` where nothing can be kept.
    """
    path = file()
    if path is None:
        raise ImportError("the packages numba and llvmlite are needed to make the compiled engine")
    if path.parent == _SHIPPED:
        return path
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    # Where others might write, the engine would never be used, and be made again for each study.
    path.parent.chmod(0o700)
    with _lock_of(path):
        if ready() is None:
            # Not before: whoever only waits here would carry the compiler, a hundred megabytes.
            from linesim.fast.compiling import compile_rules

            _write(path, compile_rules(), mode=0o600)
            _forget_old(path.parent)
    return path


def _lock_of(path: Path) -> BaseFileLock:
    """Held by the process that makes this file; the system lets it go however that one ends."""
    from filelock import FileLock

    return FileLock(path.with_suffix(".lock"))


def _another_makes(path: Path) -> bool:
    """Whether some process makes this file now."""
    from filelock import Timeout

    try:
        with _lock_of(path).acquire(timeout=0):
            return False
    except Timeout:
        return True
    except OSError:  # no folder yet, or none that can be written to: the maker will say so
        return False


def make_to_ship(folder: Path) -> Path:
    """Make the engine of a bundle, for any processor of this kind, into this folder.

    Raises as :func:`make`.
    """
    from linesim.fast.compiling import compile_rules

    folder.mkdir(parents=True, exist_ok=True)
    path = folder / _named(platform.machine())
    _write(path, compile_rules(any_processor=True), mode=0o644)
    return path


def _write(path: Path, code: bytes, mode: int) -> None:
    from linesim.files import write_bytes

    write_bytes(path, hashlib.sha256(code).digest() + code, mode=mode)


def _forget_old(here: Path) -> None:
    """Only the newest files of machine code stay: nobody will ask for those of old sources."""
    try:
        made = sorted(here.glob("*.o"), key=lambda each: each.stat().st_mtime_ns, reverse=True)
        for old in made[_KEPT_FILES:]:
            old.unlink(missing_ok=True)
            old.with_suffix(".lock").unlink(missing_ok=True)
    except OSError:
        pass  # another process is at them: they go the next time


def make_in_background() -> bool:
    """Have the engine made by a process of its own, unless it is there; True where it is not.

    The process outlives this one and gives way to all others. Where one is at it already, whoever
    began it, that is left to it; two that begin at the same moment do not get in each other's way:
    the second waits for the first and finds the work done.
    """
    path = file()
    if path is None or ready() is not None:
        return False
    if any(maker.poll() is None for maker, _ in _making) or _another_makes(path):
        return True
    quiet = subprocess.DEVNULL
    # Not a pipe: the maker goes on when nobody is there to read it any more.
    faults = TemporaryFile()  # noqa: SIM115 - read when the maker has ended
    atexit.register(faults.close)
    maker = subprocess.Popen(  # this program itself
        [sys.executable, "-m", "linesim.fast.making"],
        stdin=quiet,
        stdout=quiet,
        stderr=faults,
        close_fds=True,
        **on_its_own(),
    )
    _making.append((maker, faults))
    return True


def why_not_made() -> str:
    """Why there is no engine though a process that was to make it has ended; empty otherwise."""
    if not _making or _making[-1][0].poll() is None or ready() is not None:
        return ""
    maker, faults = _making[-1]
    if maker.returncode == 0:
        return f"what was made cannot be used from {engine_folder()}"
    faults.seek(0)
    said = faults.read().decode(errors="replace").strip().splitlines()
    return said[-1] if said else f"the process that makes it ended with code {maker.returncode}"
