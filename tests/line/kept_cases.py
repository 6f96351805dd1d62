"""Runs whose records are kept: demos, lessons, and lines drawn at random; each by its name."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from random import Random
from typing import Any

from linesim.lessons import lesson_scenario, load_lesson, shipped_lessons
from linesim.lessons.truth import stop_of
from linesim.scenario import (
    Scenario,
    check_mapping,
    find_scenario,
    read_text,
    shipped_scenarios,
)
from tests.line.any_line import any_forced, any_tables, legal_tables
from tests.line.parts import PARTS
from tests.trust.wider_line import wider_tables

REPLICATIONS = 3
RANDOM_LINES = 1000
LINES_OF_A_PART = 50
_DEMO_H = 24


@dataclass(frozen=True)
class Case:
    """A run by its name, and what is asked of :func:`linesim.fast.simulate`."""

    name: str
    scenario: Scenario
    tables: dict[str, Any]
    """What the scenario was read from."""
    asked: dict[str, Any]


def names_of_demos() -> list[str]:
    """Cases of all files that come along: demos with and without history, and lessons."""
    runs = [
        f"{demo}/{replication}/{what}"
        for demo in sorted(shipped_scenarios())
        for replication in range(REPLICATIONS)
        for what in ("history", "sums")
    ]
    return runs + [f"lesson/{name}" for name in sorted(shipped_lessons())]


def names_of_lines(first: int = 0, lines: int = RANDOM_LINES) -> list[str]:
    """Cases of lines drawn at random."""
    return [f"line/{number}" for number in range(first, first + lines)]


def names_of_parts() -> list[str]:
    """Cases of lines that have a part for certain."""
    return [f"{part}/{number}" for part in PARTS for number in range(LINES_OF_A_PART)]


def case_of(name: str) -> Case:
    """The case of this name; the same whatever else is run.

    Raises ``ValueError`` for a name that no case has.
    """
    match name.split("/"):
        case ["line", number] if number.isdecimal():
            return _line(name, int(number))
        case [part, number] if part in PARTS and number.isdecimal():
            return _of_part(name, part, int(number))
        case ["lesson", lesson] if lesson in shipped_lessons():
            return _lesson(name, lesson)
        case [demo, number, ("history" | "sums") as what] if (
            demo in shipped_scenarios() and number.isdecimal()
        ):
            return _demo(name, demo, int(number), history=what == "history")
    raise ValueError(f"no case is called {name!r}: line/17, lesson/NAME or DEMO/0/history would be")


def _demo(name: str, demo: str, replication: int, *, history: bool) -> Case:
    tables = tomllib.loads(read_text(str(find_scenario(demo))))
    asked = {"hours": _DEMO_H, "buckets": _DEMO_H * 60}
    asked |= {"replication": replication, "history": history}
    return Case(name, check_mapping(tables), tables, asked)


def _lesson(name: str, lesson: str) -> Case:
    told = load_lesson(shipped_lessons()[lesson])
    tables = {"scenario": told.scenario, "changes": told.changes}
    asked = {"hours": told.hours, "forced": (stop_of(told),), "buckets": 120, "history": True}
    return Case(name, lesson_scenario(told), tables, asked)


def _line(name: str, number: int) -> Case:
    # Settings by luck of their own: none of them goes with a property of the line.
    luck = Random(f"settings of line {number}")
    draw = luck.choice(["any", "wider"])
    tables = wider_tables(number) if draw == "wider" else legal_tables(number, any_tables)
    scenario = check_mapping(tables)
    # Every third of those that are drawn is no stop at all.
    forced = any_forced(number, scenario) if luck.random() < 0.5 else ()
    asked = {
        "seed": number,
        "replication": luck.randrange(3),
        "hours": luck.choice([1.5, 2, 4, 8, 12, 30]),
        "warm_up_h": luck.choice([0, 0, 0.25, 2]),
        "forced": forced,
        "buckets": luck.choice([0, 100]),
        "history": number % 2 == 0,
    }
    return Case(name, scenario, tables, asked)


def _of_part(name: str, part: str, number: int) -> Case:
    scenario = PARTS[part](number)
    tables = scenario.model_dump(mode="json", by_alias=True, exclude_unset=True)
    forced = any_forced(number, scenario) if number % 4 == 0 else ()
    asked = {"seed": number, "hours": 8, "forced": forced, "history": number % 2 == 0}
    return Case(name, scenario, tables, asked)
