"""From a file, a text or a mapping to a checked scenario, or to all its faults at once."""

from __future__ import annotations

import os
import re
import stat
import tomllib
from collections.abc import Mapping
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from linesim.scenario.contradictions import contradictions
from linesim.scenario.faults import Fault, Path, ScenarioFaults, dotted, value_at, written
from linesim.scenario.field_descriptions import descriptions
from linesim.scenario.field_messages import field_at, is_law, words
from linesim.scenario.fields import DOUBT
from linesim.scenario.formats import SCENARIO, Formats
from linesim.scenario.positions import BeyondReasonError, line_of, positions
from linesim.scenario.scenario import MAY_STAND_ALONE, Scenario, as_list
from linesim.scenario.spelling import nearest
from linesim.scenario.stops import METERS

LARGEST_FILE_BYTES = 5_000_000
_ROUNDS = 8
_MOST_FAULTS = 2000


def load(path: str | os.PathLike[str]) -> Scenario:
    """Read and check the scenario file at *path*.

    Raises :class:`ScenarioFaults` with every fault of the file, whatever the file holds.
    """
    name = os.fspath(path)
    return check_text(read_text(name), file=name)


def check_text(text: str, *, file: str = "scenario") -> Scenario:
    """Check the text of a scenario file; *file* is what faults call it.

    Raises :class:`ScenarioFaults` with every fault and its line.
    """
    data, lines = parse(text, file)
    return check_mapping(data, file=file, lines=lines)


def parse(
    text: str, file: str, formats: Formats = SCENARIO
) -> tuple[dict[str, Any], dict[Path, int]]:
    """The values of a TOML text as the newest of its *formats* has them, and their lines.

    Raises :class:`ScenarioFaults` where the text is no TOML, too big or nested too deep, or of a
    format newer than this program.
    """
    if len(text) > LARGEST_FILE_BYTES:
        raise ScenarioFaults([_too_big(file)])
    text = text.replace("\r\n", "\n").removeprefix("\ufeff")
    try:
        lines = positions(text)
        data = tomllib.loads(text)
        newest = formats.read(text, data, file)
        if newest != text:
            lines, data = positions(newest), tomllib.loads(newest)
    except BeyondReasonError as error:
        fault = Fault(file, error.line, "", "", error.problem, error.limit)
        raise ScenarioFaults([fault]) from None
    except ScenarioFaults:
        raise
    except ValueError as error:
        raise ScenarioFaults([_syntax_fault(file, text, error)]) from None
    alone = [name for name in MAY_STAND_ALONE if isinstance(data.get(name), dict)]
    for name in alone:
        data[name] = [data[name]]
        lines = {
            (name, 0, *path[1:]) if path[0] == name and len(path) > 1 else path: line
            for path, line in lines.items()
        }
    return data, lines


def check_mapping(
    data: Mapping[str, Any], *, file: str = "scenario", lines: Mapping[Path, int] | None = None
) -> Scenario:
    """Check tables and fields given as a mapping, as a parsed file would give them.

    *lines* are those that :func:`parse` gave with the values, if there are any. Raises
    :class:`ScenarioFaults` with every fault.
    """
    places = dict(lines or {})
    faults: dict[tuple[Path, str], Fault] = {}

    def note(
        path: Path, value: Any, problem: str, right: str, concerns: tuple[Path, ...] = ()
    ) -> None:
        shown = "" if value is _NOTHING else written(value)
        line, others = line_of(path, places), tuple(dotted(other) for other in concerns)
        fault = Fault(file, line, dotted(path), shown, problem, right, others)
        faults.setdefault((path, problem), fault)

    data = {**data, **{name: as_list(data[name]) for name in MAY_STAND_ALONE if name in data}}
    original = data = _plain(data)
    faulty: set[Path] = set()
    scenario: Scenario | None = None
    for name, most in _MOST_ENTRIES.items():
        entries = data.get(name)
        if isinstance(entries, list) and len(entries) > most:
            note((name,), _NOTHING, f"has {len(entries)} entries", f"at most {most} entries")
            faulty.add((name,))
            data = {**data, name: entries[:most]}
    for _ in range(_ROUNDS):
        try:
            scenario = Scenario.model_validate(_tuples(data), strict=True)
            break
        except ValidationError as error:
            found = error.errors(include_url=False)
        bad: list[tuple[Path, str]] = []
        for detail in found[:_MOST_FAULTS]:
            path = _path_in(data, detail)
            if _not_really_short(data, path, detail):
                continue
            bad.append((path, detail["type"]))
            if not _covers(faulty, path):
                problem, right = words(detail, path, data)
                note(path, value_at(original, path, _NOTHING), problem, right)
        if len(found) > _MOST_FAULTS:
            break
        data = _plain(data)
        for path, kind in bad:
            faulty.add(_stand_in(data, path, kind))
    if scenario is not None:
        clashes = contradictions(scenario)
        meant = scenario.model_dump(by_alias=True) if clashes else {}
        for clash in clashes:
            if not any(_covers(faulty, path) for path in (clash.path, *clash.concerns)):
                value = value_at(original, clash.path, value_at(meant, clash.path))
                note(clash.path, value, clash.problem, clash.would_be_right, clash.concerns)
    if scenario is None or faults:
        raise ScenarioFaults(sorted(faults.values(), key=lambda f: f.line or 0))
    return scenario


def shipped_scenarios() -> dict[str, FilePath]:
    """Name -> file of the demo scenarios that come with the program."""
    return shipped_files("*.toml")


def shipped_files(pattern: str) -> dict[str, FilePath]:
    """Name -> file of what comes with the program; *pattern* within the folder of scenarios."""
    package = FilePath(__file__).resolve().parent.parent
    for folder in (package / "scenarios_shipped", package.parent / "scenarios"):
        found = {file.stem: file for file in sorted(folder.glob(pattern))}
        if found:
            return found
    return {}


def find_scenario(name_or_path: str | os.PathLike[str]) -> FilePath:
    """The file that is meant: a path as it stands, or the name of a demo scenario.

    A file wins over a demo of the same name. Raises :class:`ScenarioFaults` where there is
    neither.
    """
    name = os.fspath(name_or_path)
    if "\x00" not in name and os.path.lexists(name):
        return FilePath(name)
    demos = shipped_scenarios()
    stem = name.removesuffix(".toml").removeprefix("scenarios/")
    if stem in demos:
        return demos[stem]
    guess = nearest(stem, list(demos))
    right = (f"{guess}; or " if guess else "") + "a path, or a demo: " + ", ".join(demos)
    raise ScenarioFaults([Fault(name, None, "", "", "there is no such file", right)])


def read_text(path: str | os.PathLike[str], what: str = "scenario") -> str:
    """The text of a scenario file as it stands, unchecked: byte order mark and line ends too.

    Or of a file of another kind, which ``what`` names.

    Raises :class:`ScenarioFaults` where there is no file that can be read as text.
    """
    name = os.fspath(path)

    def refuse(problem: str, right: str, line: int | None = None) -> ScenarioFaults:
        return ScenarioFaults([Fault(name, line, "", "", problem, right)])

    try:
        mode = os.stat(name).st_mode
        if not stat.S_ISREG(mode):
            raise refuse("is not a file", f"the path of a {what} file")
        with open(name, "rb") as source:
            raw = source.read(LARGEST_FILE_BYTES + 1)
    except ScenarioFaults:
        raise
    except FileNotFoundError:
        raise refuse("there is no such file", f"the path of a {what} file") from None
    except (OSError, ValueError) as error:
        why = (error.strerror if isinstance(error, OSError) else None) or "not a usable path"
        raise refuse(f"cannot be read: {why}", "a file that can be read") from None
    if len(raw) > LARGEST_FILE_BYTES:
        raise ScenarioFaults([_too_big(name)])
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise refuse("is not text in UTF-8", "a file saved as UTF-8", line) from None


def _too_big(file: str) -> Fault:
    size = f"at most {LARGEST_FILE_BYTES // 1_000_000} MB; a scenario takes a few kB"
    return Fault(file, None, "", "", "is too big", size)


def _syntax_fault(file: str, text: str, error: ValueError) -> Fault:
    message = str(error)
    place = re.search(r" \(at (?:line (\d+), column (\d+)|end of document)\)$", message)
    line: int | None = None
    if place is not None:
        message = message[: place.start()]
        line = int(place.group(1)) if place.group(1) else max(1, len(text.splitlines()))
    if "integer string conversion" in message:
        message = "a number has too many digits"
        digits = re.search(r"\d{4000}", text)
        line = text.count("\n", 0, digits.start()) + 1 if digits is not None else None
    shown = text.split("\n")[line - 1].strip()[:60] if line is not None else ""
    return Fault(
        file,
        line,
        "",
        shown,
        f"cannot be read as TOML: {message}" + (f" in {shown!r}" if shown else ""),
        "name = value, with text in quotes and tables under [headings]",
    )


_NOTHING = object()
_MOST_ENTRIES = {name: field.most for name, field in descriptions().items() if field.most}


def _plain(value: Any) -> Any:
    """A copy in dicts and lists that may be changed."""
    if isinstance(value, (list, tuple)):
        return [_plain(v) for v in value]
    # Of the many that are neither, the usual kinds are known at once.
    if isinstance(value, (str, int, float)) or value is None:
        return value
    return {str(k): _plain(v) for k, v in value.items()} if isinstance(value, Mapping) else value


def _tuples(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _tuples(v) for k, v in value.items()}
    return tuple(_tuples(v) for v in value) if isinstance(value, list) else value


def _path_in(data: Any, detail: ErrorDetails) -> Path:
    """Where a finding stands in the file, without the marks the checker adds for its own use."""
    path: Path = ()
    last = len(detail["loc"]) - 1
    for number, part in enumerate(detail["loc"]):
        known = value_at(data, (*path, part), _NOTHING) is not _NOTHING
        if known or (number == last and detail["type"] == "missing"):
            path = (*path, part)
    if detail["type"] == "literal_error" and path[-1:] == ("law",):
        path = path[:-1]
    return path


def _not_really_short(data: Any, path: Path, detail: ErrorDetails) -> bool:
    """Whether a list is called too short only since the checker leaves faulty entries uncounted."""
    there = value_at(data, path)
    if detail["type"] != "too_short" or not isinstance(there, list):
        return False
    return len(there) >= int(detail["ctx"]["min_length"])


def _covers(faulty: set[Path], path: Path) -> bool:
    return any(path[:length] in faulty for length in range(1, len(path) + 1))


def _stand_in(data: Any, path: Path, kind: str) -> Path:
    """Put something harmless in the place of a fault, so that the rest can be checked.

    Returns the path that is no longer the user's. A field with a default is left out; a field
    that must be given gets a stand-in; a law is replaced as a whole.
    """
    for length in range(1, len(path)):
        if is_law(field_at(path[:length], data)[1]):
            path = path[:length]
            break
    if kind == "value_error" and path[:1] == ("stop",) and len(path) == 2:
        stop = value_at(data, path)
        for meter in METERS:
            stop.pop(meter, None)
        stop["every_running_h"] = 1.0
        return (*path, "every_running_h")
    if DOUBT in path:
        # What a table doubts is left out as a whole.
        path = path[: path.index(DOUBT) + 1]
    owner = value_at(data, path[:-1])
    if kind == "missing" and path[-1] != DOUBT:
        owner[path[-1]] = _harmless(path)
    elif isinstance(owner, dict):
        owner.pop(path[-1], None)
        if path[0] == "stop" and path[-1] in METERS:
            # How often it happens was said, if wrongly.
            owner[path[-1]] = 1.0
    elif isinstance(owner, list) and isinstance(path[-1], int):
        # The entry keeps its place, so that what follows keeps its number.
        if path[0] in _MOST_ENTRIES and len(path) == 2:
            owner[path[-1]] = {}
        else:
            value_at(data, path[:-2]).pop(path[-2], None)
            path = path[:-1]
    return path


def _harmless(path: Path) -> Any:
    if path[-1] == "station":
        return "cutter"
    if path[-1] in ("cause", "name"):
        return "?"
    return 1
