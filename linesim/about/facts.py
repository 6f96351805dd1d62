"""What to know of the program where it is installed: for its user, and for who mends a fault."""

from __future__ import annotations

import importlib.metadata
import locale
import math
import os
import platform
import sys
import textwrap
from dataclasses import dataclass
from pathlib import Path

from linesim import folders
from linesim.about.self_check import SelfCheck, self_check
from linesim.fast import kept_engine
from linesim.fast.engine import VARIABLE, chosen
from linesim.log_file import crash_file, log_file
from linesim.platforms import BUNDLED
from linesim.version import __version__

LIBRARIES = (
    "numpy",
    "scipy",
    "simpy",
    "pydantic",
    "numba",
    "llvmlite",
    "matplotlib",
    "reportlab",
    "PySide6-Essentials",
    "pyqtgraph",
    "distributed",
)
"""Those that figures, drawings and the window come from."""
_WIDTH = 100
_LAST_OF_LOG = 60_000
"""Characters of a log that go with a report."""
_SEND = (
    "Send what linesim about -o FILE writes, or what the window's Help menu shows as this"
    " installation: all of this, and the log of faults, which has neither a figure nor a name of"
    " the plant. Say what you did and what you expected. Add the scenario only if it may leave the"
    " plant."
)


@dataclass(frozen=True)
class Facts:
    """What there is to know, by heading and then by name; ``check`` is None where none was made."""

    sections: dict[str, dict[str, str]]
    check: SelfCheck | None

    @property
    def text(self) -> str:
        """All of it as text."""
        parts = []
        for title, rows in self.sections.items():
            wide = max(map(len, rows))
            lines = [_row(name.ljust(wide), said) for name, said in rows.items()]
            parts.append("\n".join([title, "-" * len(title), *lines]))
        return "\n\n".join(parts) + "\n"


def facts(*, check: bool = True) -> Facts:
    """What the program is here. The self-check takes some three seconds."""
    checked = self_check() if check else None
    sections = {
        "Versions": _versions(),
        "Engine": _engine(),
        "Self-check": _check_in_words(checked),
        "Where things are": _places(),
        "When something is wrong": {"send": _SEND},
    }
    return Facts(sections, checked)


def fault_report(found: Facts) -> str:
    """What to send with a report of a fault: what is known here, and the last of the logs.

    The user's home folder stands in it as ``~``.
    """
    parts = [found.text]
    for file in (log_file(), crash_file()):
        try:
            said = file.read_text(encoding="utf-8", errors="replace")[-_LAST_OF_LOG:]
        except OSError:
            continue
        parts.append(f"{file.name}\n{'-' * len(file.name)}\n{said}")
    return "\n\n".join(parts).replace(str(Path.home()), "~")


def _row(name: str, said: str) -> str:
    # Paths stay whole: they are there to be copied.
    return textwrap.fill(
        said,
        _WIDTH,
        initial_indent=f"{name}  ",
        subsequent_indent=" " * (len(name) + 2),
        break_long_words=False,
        break_on_hyphens=False,
    )


def _versions() -> dict[str, str]:
    found = {
        "linesim": f"{__version__}{', with a Python of its own' if BUNDLED else ''}",
        "Python": f"{platform.python_version()}, {platform.python_implementation()}",
        "system": f"{platform.platform()}, {os.cpu_count() or 1} processors",
        "text": f"{locale.getpreferredencoding(False)}, terminal {_terminal_encoding()}",
    }
    return found | {name: _version_of(name) for name in LIBRARIES}


def _terminal_encoding() -> str:
    return sys.stdout.encoding if sys.stdout is not None else "none"


def _version_of(library: str) -> str:
    try:
        return importlib.metadata.version(library)
    except importlib.metadata.PackageNotFoundError:
        return "not here"


def _engine() -> dict[str, str]:
    file = kept_engine.file()
    if file is None:
        runs, where = "interpreted: the packages numba and llvmlite are not here", "none"
    elif kept_engine.ready() is None:
        runs, where = "interpreted, until the compiled engine is made", f"{file}, not made yet"
    else:
        runs, where = "compiled", f"{file} ({_size(file)})"
    if chosen() != "auto":
        runs = f"{chosen()}, as {VARIABLE} says"
    return {"runs are": runs, "machine code": where}


def _check_in_words(check: SelfCheck | None) -> dict[str, str]:
    if check is None:
        return {"not made": "linesim about makes it"}
    lines = f"{check.lines} demo lines"
    compiled = "not made yet, so not tried"
    if check.compiled is not None:
        compiled = _as_known(check.compiled, lines)
    rows = {"interpreted": _as_known(check.interpreted, lines), "compiled": compiled}
    if check.compiled is not None:
        alike = "the same figures" if not check.unlike else f"DIFFER in {', '.join(check.unlike)}"
        rows["each other"] = alike
    return rows


def _as_known(differing: tuple[str, ...], lines: str) -> str:
    if not differing:
        return f"the known figures in {lines}"
    return f"NOT the known figures in {', '.join(differing)}"


def _places() -> dict[str, str]:
    rows = {"program": str(Path(__file__).parents[1])}
    for kind in folders.KEPT:
        for place in folders.places(kind):
            there = _size(place) if place.exists() else "nothing yet"
            rows[f"{kind}: {place.stem}"] = f"{place} ({there})"
    return rows


def _size(path: Path) -> str:
    return f"{math.ceil(folders.size_bytes(path) / 1000):,} kB"
