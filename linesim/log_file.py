"""The log of the program's own faults: small, in turns, and without a word about the plant.

What a fault says may name a file, a field or a figure of the user's. So the log has where it came
about in the program and of what kind it was, and no more; the words are for who sat before it.
"""

from __future__ import annotations

import contextlib
import faulthandler
import logging
import platform
import sys
import threading
from collections.abc import Iterator
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType
from typing import IO

from linesim.folders import logs_folder
from linesim.version import __version__

MOST_BYTES = 200_000
"""Of each file of the log."""
_OLD_FILES = 3
"""As many beside the one that is written to."""
_PATIENCE_S = 2.0
_log = logging.getLogger("linesim")
# Without it, where nobody keeps a log, the library would write to the terminal.
_log.addHandler(logging.NullHandler())
_crashes: list[IO[str]] = []


def log_file() -> Path:
    """The file that is written to; older ones have a number after its name."""
    return logs_folder() / "linesim.log"


def crash_file() -> Path:
    """Where the process was when the system ended it."""
    return logs_folder() / "crash.log"


def begin_log(name: str) -> None:
    """Keep a log from here on, in this process; ``name`` says which program it is.

    An error that nobody catches goes into it, in any thread, and then where it always went.
    """
    if any(isinstance(each, _SharedFile) for each in _log.handlers):
        return
    handler = _SharedFile(log_file())
    handler.setFormatter(_Formatter(f"%(asctime)s {name} %(process)d %(levelname)s %(message)s"))
    _log.addHandler(handler)
    _log.setLevel(logging.INFO)
    before, before_in_threads = sys.excepthook, threading.excepthook

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        note_fault(error)
        before(kind, error, trace)

    def hook_of_threads(args: threading.ExceptHookArgs) -> None:
        if args.exc_value is not None:
            note_fault(args.exc_value)
        before_in_threads(args)

    sys.excepthook, threading.excepthook = hook, hook_of_threads


def note_crashes() -> None:
    """Have the system's own faults, such as wrong memory, leave their place in the program."""
    file = crash_file()
    with contextlib.suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True)
        if file.exists() and file.stat().st_size > MOST_BYTES:
            file.unlink()
        out = file.open("a", encoding="utf-8", errors="replace")
        # It must stay open as long as the process lasts.
        _crashes.append(out)
        faulthandler.enable(out)


def note_start() -> None:
    """What runs on what."""
    _log.info("linesim %s, Python %s, %s", __version__, platform.python_version(), sys.platform)


def note_end() -> None:
    """It ended as it was told to."""
    _log.info("closed")


def note_fault(error: BaseException) -> None:
    """A fault of the program."""
    if isinstance(error, Exception):
        _log.error("fault\n%s", "\n".join(place_of(error)))


def note_lost_process(name: str, code: int | None) -> None:
    """A process of the program's own ended unexpectedly; below 0 it is the signal that ended it."""
    _log.error("process %s ended with code %s", name, code)


def place_of(error: BaseException) -> Iterator[str]:
    """Where an error came about, from the outermost call on, and its kind; not what it says."""
    cause = error.__cause__ or (None if error.__suppress_context__ else error.__context__)
    if cause is not None:
        yield from place_of(cause)
        yield "  and then"
    trace = error.__traceback__
    while trace is not None:
        code = trace.tb_frame.f_code
        yield f"  {_without_home(code.co_filename)}:{trace.tb_lineno} in {code.co_name}"
        trace = trace.tb_next
    yield f"  {type(error).__module__}.{type(error).__qualname__}"


def _without_home(file: str) -> str:
    """The last parts of a path: the first ones have the name of who is at the machine."""
    return "/".join(Path(file).parts[-3:])


class _Formatter(logging.Formatter):
    """One that never writes out an error that came along with a message."""

    def format(self, record: logging.LogRecord) -> str:
        wordless = {"exc_info": None, "exc_text": None, "stack_info": None}
        return super().format(logging.makeLogRecord(vars(record) | wordless))


class _SharedFile(RotatingFileHandler):
    """A log that several processes write to. Where that cannot be done, nobody is held up."""

    def __init__(self, file: Path) -> None:
        self._file = file
        super().__init__(
            file,
            maxBytes=MOST_BYTES,
            backupCount=_OLD_FILES,
            encoding="utf-8",
            errors="replace",
            delay=True,
        )

    def emit(self, record: logging.LogRecord) -> None:
        from filelock import FileLock, Timeout

        with contextlib.suppress(OSError, Timeout):
            self._file.parent.mkdir(parents=True, exist_ok=True)
            # No file is held open: Windows could not give it another name when its turn is over.
            with FileLock(self._file.with_suffix(".lock"), timeout=_PATIENCE_S):
                super().emit(record)
                self.close_stream()

    def close_stream(self) -> None:
        if self.stream is not None:
            self.stream.close()
            self.stream = None

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802
        """A full disk is not said on the terminal at each line."""
