"""Reading lessons, with every fault and its line."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from linesim.lessons.lesson import Lesson
from linesim.scenario import (
    STATIONS,
    Fault,
    Scenario,
    ScenarioFaults,
    check_text,
    find_scenario,
    update,
)
from linesim.scenario.faults import Path, dotted, written
from linesim.scenario.field_messages import words
from linesim.scenario.loading import parse, read_text
from linesim.scenario.positions import line_of
from linesim.scenario.spelling import nearest


def shipped_lessons() -> dict[str, FilePath]:
    """Name -> file of the lessons that come with the program."""
    package = FilePath(__file__).resolve().parent.parent
    for folder in (package / "scenarios_shipped", package.parent / "scenarios"):
        found = {file.stem: file for file in sorted((folder / "lessons").glob("*.toml"))}
        if found:
            return found
    return {}


def load_lesson(path: str | os.PathLike[str]) -> Lesson:
    """Read and check the lesson at *path*, and the line it is about.

    Raises :class:`ScenarioFaults` with every fault, whatever the file holds.
    """
    name = os.fspath(path)
    return check_lesson_text(read_text(name), file=name)


def check_lesson_text(text: str, *, file: str = "lesson") -> Lesson:
    """Check the text of a lesson; *file* is what faults call it and where its line is looked for.

    Raises :class:`ScenarioFaults` with every fault and its line.
    """
    data, lines = parse(text, file)
    try:
        lesson = Lesson.model_validate(data, strict=True)
    except ValidationError as error:
        raise ScenarioFaults(
            sorted(_found(error, data, lines, file), key=lambda f: f.line or 0)
        ) from None

    def fault(path: Path, value: Any, problem: str, right: str) -> Fault:
        return Fault(file, line_of(path, lines), dotted(path), written(value), problem, right)

    faults: list[Fault] = []
    scenario = None
    try:
        scenario = lesson_scenario(lesson, file=file)
    except ScenarioFaults as found:
        inner = found.faults[0]
        where = ("changes",) if lesson.changes else ("scenario",)
        value = lesson.changes or lesson.scenario
        faults.append(fault(where, value, f"gives no usable line ({inner})", inner.would_be_right))
    except KeyError as error:
        faults.append(
            fault(("changes",), lesson.changes, f"names no field: {error.args[0]}", "table.field")
        )
    faults += _contradictions(lesson, scenario, fault)
    if faults:
        raise ScenarioFaults(faults)
    return lesson


def lesson_scenario(lesson: Lesson, *, file: str | os.PathLike[str] = "") -> Scenario:
    """The line that the lesson is about: its scenario with its changes.

    A file beside the lesson wins over a demo line of the same name. Raises
    :class:`ScenarioFaults` where it is no usable line, ``KeyError`` where a change names nothing.
    """
    beside = FilePath(file).parent / lesson.scenario
    path = beside if os.fspath(file) and beside.is_file() else find_scenario(lesson.scenario)
    text = read_text(os.fspath(path))
    return check_text(update(text, lesson.changes) if lesson.changes else text, file=str(path))


def _found(
    error: ValidationError, data: Mapping[str, Any], lines: dict[Path, int], file: str
) -> list[Fault]:
    faults = []
    for detail in error.errors(include_url=False):
        path: Path = tuple(detail["loc"])
        problem, right = words(detail, path, data, Lesson)
        missing = detail["type"] == "missing"
        value = "" if missing else written(detail["input"])
        faults.append(Fault(file, line_of(path, lines), dotted(path), value, problem, right))
    return faults


def _contradictions(lesson: Lesson, scenario: Scenario | None, fault: Any) -> list[Fault]:
    found = []
    if lesson.stop.at_h >= lesson.hours:
        found.append(
            fault(
                ("stop", "at_h"),
                lesson.stop.at_h,
                "begins after the run has ended",
                f"less than hours ({lesson.hours:g})",
            )
        )
    if lesson.measure == "minutes_until_reached" and not lesson.reached_station:
        found.append(
            fault(
                ("measure",), lesson.measure, "does not say which station", "reached_station = ..."
            )
        )
    if scenario is None:
        return found
    known = [*STATIONS, *(wrapper.name for wrapper in scenario.wrapper)]
    for path, name in (
        (("stop", "station"), lesson.stop.station),
        (("reached_station",), lesson.reached_station),
    ):
        if name and name not in known:
            guess = nearest(name, known)
            right = (f"{guess}; or " if guess else "") + "one of " + ", ".join(known)
            found.append(fault(path, name, "is no station of this line", right))
    return found
