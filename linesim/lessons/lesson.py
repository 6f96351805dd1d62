"""What a lesson file may say."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from linesim.scenario.fields import Name, Table, quantity

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

_LINES = Field(min_length=1, max_length=2000)


class StopInLesson(Table):
    """The stop that the learner watches."""

    station: Name = quantity(..., "station, or name of a wrapper")
    at_h: float = quantity(..., "start after the run starts", unit="h", low=0, high=100)
    minutes: float = quantity(..., "length of the standstill", unit="min", low=0.01, high=600)
    cause: Name = quantity("demonstration", "what the strip calls it")


class Lesson(Table):
    """A lesson: the line, the stop, the question, and the sum that answers it roughly."""

    title: Name = quantity(..., "what the list of lessons shows")
    invented: bool = quantity(True, "whether the line is invented")
    story: str = _LINES
    scenario: str = Field(
        min_length=1, max_length=400, description="demo line, or a file beside this one"
    )
    hours: float = quantity(8.0, "length of the run", unit="h", low=0.01, high=100)
    asks: str = Field(min_length=1, max_length=400, description="the question")
    measure: Measure = quantity(..., "what is asked for")
    reached_station: str = quantity("", "with minutes_until_reached: which station")
    close_enough_percent: float = quantity(
        25.0, "how far from the truth still counts as right", unit="%", low=0, high=100
    )
    sum: Sum = quantity(..., "the sum on paper")
    afterwards: str = _LINES
    stop: StopInLesson
    changes: dict[str, Any] = Field(
        default_factory=dict, description="fields of the scenario set otherwise, by dotted name"
    )

    @property
    def unit(self) -> str:
        """Unit of what is asked for."""
        return UNITS.get(self.measure, "min")
