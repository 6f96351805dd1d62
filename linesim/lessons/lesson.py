"""What a lesson file may say."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from linesim.scenario.fields import Name, Table, quantity
from linesim.statistics import counted

Measure = Literal[
    "reams_lost",
    "minutes_until_reached",
    "minutes_until_bridge_full",
    "minutes_until_bridge_empty",
    "minutes_until_forgotten",
]
Sum = Literal[
    "free_places_over_inflow",
    "knives_standing_times_rate",
    "stock_over_outflow",
    "wrapping_missed_times_rate",
]

UNITS: dict[str, str] = {"reams_lost": "reams"}
"""Unit of each measure; minutes where none is named."""


ASKED: dict[str, str] = {
    "reams_lost": "lost",
    "minutes_until_reached": "time until it is reached",
    "minutes_until_bridge_full": "time until the bridge is full",
    "minutes_until_bridge_empty": "time until the bridge is empty",
    "minutes_until_forgotten": "time until the line has forgotten it",
}
"""What each measure is called."""


def amount(value: float, unit: str) -> str:
    """A value with the unit of a measure.

    >>> amount(1, "reams"), amount(0, "reams"), amount(0.5, "min")
    ('1 ream', '0 reams', '0.5 min')
    """
    return counted(value, unit.removesuffix("s"), unit)


_LINES = Field(min_length=1, max_length=2000)


class StopInLesson(Table):
    """The stop that the learner watches."""

    station: Name
    """station, or name of a wrapper"""
    at_h: float = quantity(..., "h", (0, 100))
    """start after the run starts"""
    minutes: float = quantity(..., "min", (0.01, 600))
    """length of the standstill"""
    cause: Name = "demonstration"
    """what the strip calls it"""


class StoryNeeds(Table):
    """What must hold for a run to be one that the story tells of.

    In every such run the station is at work when it is stopped, and stands for as long as it is to.
    """

    nothing_else_stops: bool = True
    """whatever else stops the line of itself is left out of the runs of the story"""
    bridge_at_least_reams: int | None = quantity(None, "reams", (0, None))
    """the bridge holds so many when the station is stopped"""
    bridge_at_most_reams: int | None = quantity(None, "reams", (0, None))
    """the bridge holds no more when the station is stopped"""


class Lesson(Table):
    """A lesson: the line, the stop, the question, and the sum that answers it roughly."""

    title: Name
    """what the list of lessons shows"""
    invented: bool = True
    """whether the line is invented"""
    story: str = _LINES
    scenario: str = Field(min_length=1, max_length=400)
    """demo line, or a file beside this one"""
    hours: float = quantity(8.0, "h", (0.01, 100))
    """length of the run"""
    asks: str = Field(min_length=1, max_length=400)
    """the question"""
    measure: Measure
    """what is asked for"""
    reached_station: str = ""
    """with minutes_until_reached: which station"""
    close_enough_percent: float = quantity(25.0, "%", (0, 100))
    """how far from the truth still counts as right"""
    sum: Sum
    """the sum on paper"""
    afterwards: str = _LINES
    stop: StopInLesson
    needs: StoryNeeds = StoryNeeds()
    """what must hold for a run to fit the story"""
    changes: dict[str, Any] = Field(default_factory=dict)
    """fields of the scenario set otherwise, by dotted name"""

    @property
    def unit(self) -> str:
        """Unit of what is asked for."""
        return UNITS.get(self.measure, "min")
