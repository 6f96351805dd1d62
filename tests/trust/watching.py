"""Doing one thing with a file under watch: how long it takes, how much memory, what it leaves.

Time is that of the processor, so that a busy machine makes no finding; a wait is caught by a
longer limit on the clock. Memory is the peak of the process while the thing is done (Linux; on
other systems the peak since the process began).
"""

from __future__ import annotations

import hashlib
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from types import FrameType

CPU_LIMIT_S = 10.0
CLOCK_LIMIT_S = 90.0
MEMORY_LIMIT_MB = 1000.0


class TooLongError(BaseException):
    """Over the time a file may take. No ``Exception``: nothing on the way may swallow it."""


@dataclass(frozen=True)
class Watched:
    """What was seen. ``found`` is "accepted", "refused" or, with ``why``, "FAILED".

    ``peak_mb`` is the most memory beyond what the process had before.
    """

    found: str
    why: str
    cpu_s: float
    peak_mb: float


def watched(act: Callable[[], str], folder: Path) -> Watched:
    """Do *act*, which says how it ended; *folder* holds the user's files, none may change."""
    before = contents(folder)
    _forget_peak()
    had_mb = _peak_mb()
    _DOORS[:] = [time.process_time()]
    why = ""
    try:
        with _time_limit():
            found = act()
    except TooLongError:
        found, why = "FAILED", "takes too long"
    except MemoryError:
        found, why = "FAILED", "out of memory"
    except Exception as error:
        found, why = "FAILED", f"{type(error).__name__}: {error}"[:300] + _place(error)
    _DOORS.append(time.process_time())
    taken, peak = max(b - a for a, b in pairwise(_DOORS)), _peak_mb() - had_mb
    if not why and contents(folder) != before:
        found, why = "FAILED", "a file of the user's was changed, made or removed"
    if not why and taken > CPU_LIMIT_S:
        found, why = "FAILED", "takes too long"
    if not why and peak > MEMORY_LIMIT_MB:
        found, why = "FAILED", f"takes {peak:,.0f} MB"
    return Watched(found, why, taken, peak)


def next_door() -> None:
    """The file comes in by another door: time counts anew, and the longest is told."""
    _DOORS.append(time.process_time())
    signal.setitimer(signal.ITIMER_PROF, CPU_LIMIT_S)


_DOORS: list[float] = []


def contents(folder: Path) -> dict[str, str]:
    """Digest of every file below *folder*; of what is no file, that it is there.

    What SQLite keeps beside a file of its own is no file of the user's.
    """
    found = {}
    for path in sorted(folder.rglob("*")):
        if path.name.endswith(("-journal", "-wal", "-shm")):
            continue
        if path.is_file() and not path.is_symlink():
            with path.open("rb") as source:
                found[str(path)] = hashlib.file_digest(source, "blake2b").hexdigest()
        else:
            found[str(path)] = "no file"
    return found


def keep_memory_within(more_mb: float) -> None:
    """Refuse this process more than so many MB beyond what it has now."""
    import resource

    now = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    most = now + int(more_mb * 1e6)
    resource.setrlimit(resource.RLIMIT_AS, (most, most))


@contextmanager
def _time_limit() -> Iterator[None]:
    def ring(_: int, __: FrameType | None) -> None:
        raise TooLongError

    old = {each: signal.signal(each, ring) for each in (signal.SIGPROF, signal.SIGALRM)}
    signal.setitimer(signal.ITIMER_PROF, CPU_LIMIT_S)
    others = signal.setitimer(signal.ITIMER_REAL, CLOCK_LIMIT_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.setitimer(signal.ITIMER_REAL, *others)
        for each, handler in old.items():
            signal.signal(each, handler)


def _place(error: BaseException) -> str:
    """Where it was raised: the innermost lines."""
    trace, places = error.__traceback__, []
    while trace is not None:
        code = trace.tb_frame.f_code
        places.append(f"{Path(code.co_filename).name}:{trace.tb_lineno}")
        trace = trace.tb_next
    return " @ " + " < ".join(reversed(places[-4:]))


def _forget_peak() -> None:
    with suppress(OSError):
        Path("/proc/self/clear_refs").write_text("5")


def _peak_mb() -> float:
    try:
        status = Path("/proc/self/status").read_text()
    except OSError:
        import resource

        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    line = next(row for row in status.splitlines() if row.startswith("VmHWM:"))
    return int(line.split()[1]) * 1024 / 1e6
