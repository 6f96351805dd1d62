"""Writing a lesson from a stop: the file, and the line that it is about beside it."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import NamedTuple

import tomlkit

from linesim.files import write_text
from linesim.lessons.lesson import Lesson, Measure, StopInLesson, StoryNeeds, Sum
from linesim.lessons.loading import load_lesson
from linesim.record.accounts import KNIVES
from linesim.record.capacity import TRANSFER
from linesim.scenario import WEB_STATIONS, ForcedStop, Scenario, dump

_AFTER_H = 1.0
"""So long after the stop is over the run of a lesson ends."""


class Asked(NamedTuple):
    """What may be asked of a stop: in words, what is measured, and the sum on paper for it."""

    question: str
    measure: Measure
    sum: Sum
    reached_station: str = ""

    @property
    def afterwards(self) -> str:
        """What the sum is about, for who has nothing more to say of this line."""
        return _AFTERWARDS[self.sum]


_AFTERWARDS: dict[Sum, str] = {
    "wrapping_missed_times_rate": (
        "The wrappers go on as long as there are reams on the bridge. What they could have wrapped"
        " while they waited is lost, unless the line makes up for it."
    ),
    "knives_standing_times_rate": (
        "The knives go on until the bridge and the room before it are full. What they would have"
        " cut while they stood is lost, unless the line makes up for it."
    ),
    "stock_over_outflow": (
        "Reams on the bridge over what the wrappers take is the sum to do first: it says how soon"
        " the bridge is empty."
    ),
    "free_places_over_inflow": (
        "Free places over inflow is the sum to do first: it says how soon the bridge is full. The"
        " knives stop later, since there is room before the bridge, too: the shorter the bridge,"
        " the more it counts."
    ),
}


def askable(stop: ForcedStop, scenario: Scenario) -> tuple[Asked, ...]:
    """The questions that a stop gives, by the side of the bridge on which it stands."""
    reams = "How many good reams fewer has the line made an hour after the stop?"
    if stop.station in (*WEB_STATIONS, TRANSFER):
        wrapper = scenario.wrapper[0].name
        return (
            Asked(reams, "reams_lost", "wrapping_missed_times_rate"),
            Asked(
                f"After how many minutes does the {wrapper} wait for reams?",
                "minutes_until_reached",
                "stock_over_outflow",
                wrapper,
            ),
            Asked(
                "How many minutes pass until the bridge is empty?",
                "minutes_until_bridge_empty",
                "stock_over_outflow",
            ),
        )
    return (
        Asked(reams, "reams_lost", "knives_standing_times_rate"),
        Asked(
            "After how many minutes do the knives stop?",
            "minutes_until_reached",
            "free_places_over_inflow",
            KNIVES,
        ),
        Asked(
            "How many minutes pass until the bridge is full?",
            "minutes_until_bridge_full",
            "free_places_over_inflow",
        ),
    )


def write_lesson(
    path: Path,
    stop: ForcedStop,
    scenario: Scenario,
    asked: Asked,
    *,
    title: str,
    story: str,
    asks: str,
    afterwards: str,
    close_enough_percent: float = 25.0,
    nothing_else_stops: bool = True,
) -> tuple[Path, Path]:
    """Write the lesson to ``path`` and its line beside it; gives both files.

    ``close_enough_percent`` is how far from the truth counts as right, in % of it. Raises
    ``ScenarioFaults`` with every fault, before anything is written, and ``OSError``.
    """
    beside = line_file(path)
    ends_h = stop.at_h + stop.minutes / 60 + _AFTER_H
    # Not checked here: all faults are told at once, as of any other file.
    lesson = Lesson.model_construct(
        title=title,
        invented=scenario.line.invented,
        story=story,
        scenario=beside.name,
        hours=round(ends_h, 4),
        asks=asks,
        measure=asked.measure,
        reached_station=asked.reached_station,
        close_enough_percent=close_enough_percent,
        sum=asked.sum,
        afterwards=afterwards,
        stop=StopInLesson.model_construct(
            station=stop.station, at_h=stop.at_h, minutes=stop.minutes, cause=stop.cause
        ),
        needs=StoryNeeds(nothing_else_stops=nothing_else_stops),
    )
    text, line = lesson_text(lesson), dump(scenario)
    with tempfile.TemporaryDirectory() as folder:
        tried = Path(folder) / path.name
        write_text(tried.with_name(beside.name), line)
        write_text(tried, text)
        load_lesson(tried)
    write_text(beside, line)
    write_text(path, text)
    return path, beside


def line_file(path: Path) -> Path:
    """Where the line of a lesson that is written to ``path`` stands."""
    return path.with_name(f"{path.stem}-line.toml")


def lesson_text(lesson: Lesson) -> str:
    """A lesson as its file has it."""
    document = tomlkit.document()
    if lesson.invented:
        document.add(tomlkit.comment("Invented: no such line exists."))
    data = lesson.model_dump(exclude_none=True, exclude={"changes"}, warnings=False)
    for tables in (False, True):
        for name, value in data.items():
            if isinstance(value, dict) == tables and value != "":
                document.add(name, tomlkit.item(value))
    return tomlkit.dumps(document)
