"""Reading lessons, with every fault and its line."""

from __future__ import annotations

import os
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
from linesim.scenario.loading import parse, read_text, shipped_files
from linesim.scenario.positions import line_of
from linesim.scenario.spelling import nearest


def shipped_lessons() -> dict[str, FilePath]:
    """Name -> file of the lessons that come with the program."""
    return shipped_files("lessons/*.toml")


def load_lesson(path: str | os.PathLike[str]) -> Lesson:
    """Read and check the lesson at *path*, and the line it is about.

    Raises :class:`ScenarioFaults` with every fault, whatever the file holds.
    """
    name = os.fspath(path)
    return check_lesson_text(read_text(name, "lesson"), file=name)


def is_lesson_text(text: str, *, file: str = "lesson") -> bool:
    """Whether a text is meant as a lesson: it asks something, which no scenario does.

    Raises :class:`ScenarioFaults` where it is no TOML.
    """
    return bool({"asks", "measure", "story"} & set(parse(text, file)[0]))


def check_lesson_text(text: str, *, file: str = "lesson") -> Lesson:
    """Check the text of a lesson; *file* is what faults call it and where its line is looked for.

    Raises :class:`ScenarioFaults` with every fault and its line.
    """
    data, lines = parse(text, file)

    def fault(path: Path, value: Any, problem: str, right: str) -> Fault:
        shown = "" if value is None else written(value)
        return Fault(file, line_of(path, lines), dotted(path), shown, problem, right)

    faults: list[Fault] = []
    try:
        lesson = Lesson.model_validate(data, strict=True)
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            path: Path = tuple(detail["loc"])
            given = None if detail["type"] == "missing" else detail["input"]
            faults.append(fault(path, given, *words(detail, path, data, Lesson)))
        raise ScenarioFaults(sorted(faults, key=lambda f: f.line or 0)) from None

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


def _contradictions(lesson: Lesson, scenario: Scenario | None, fault: Any) -> list[Fault]:
    found = []
    if lesson.stop.at_h >= lesson.hours:
        right = f"less than hours ({lesson.hours:g})"
        found.append(
            fault(("stop", "at_h"), lesson.stop.at_h, "begins after the run has ended", right)
        )
    if lesson.measure == "minutes_until_reached" and not lesson.reached_station:
        problem = "does not say which station"
        found.append(fault(("measure",), lesson.measure, problem, "reached_station = ..."))
    if scenario is None:
        return found
    known = [*STATIONS, *scenario.stations_called("wrapper"), *scenario.end_of_line]
    known = list(dict.fromkeys(known))
    for path, name in (
        (("stop", "station"), lesson.stop.station),
        (("reached_station",), lesson.reached_station),
    ):
        if name and name not in known:
            guess = nearest(name, known)
            right = (f"{guess}; or " if guess else "") + "one of " + ", ".join(known)
            found.append(fault(path, name, "is no station of this line", right))
    return found
