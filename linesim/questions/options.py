"""What can be set in each question: fields with units, bounds and a word of help."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from linesim.plant.date_order import ORDERS


class QuestionError(ValueError):
    """A question that cannot be asked of these scenarios: which option, and what is wrong."""

    def __init__(self, option: str, problem: str) -> None:
        super().__init__(f"{option}: {problem}" if option else problem)
        self.option = option
        self.problem = problem


class Options(BaseModel):
    """Options of a question. ``title`` of a field is its label, ``unit`` its unit."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def _option(
    default: Any,
    title: str,
    text: str,
    unit: str = "",
    *,
    empty: str = "",
    file: bool = False,
    choices: tuple[str, ...] = (),
    **bounds: Any,
) -> Any:
    """``empty`` says what is meant where nothing is given; ``file`` that it names one.

    ``choices`` are all that can be given.
    """
    extra: dict[str, Any] = {"unit": unit, "empty": empty, "file": file, "choices": list(choices)}
    return Field(default, title=title, description=text, json_schema_extra=extra, **bounds)


def _a_place_lasts() -> Any:
    return _option(
        10.0, "A place lasts", "Years over which the cost of a place counts.", "years", gt=0, le=100
    )


class NoOptions(Options):
    """Nothing can be set."""


class SizeBridgeOptions(Options):
    """How long a bridge pays."""

    places: str | None = _option(
        None,
        "Places to try",
        "From, to and how many points (10:120:12), or a list (20,40,60). Left empty, they are"
        " chosen from one set of reams to well beyond the present bridge.",
        "reams",
        empty="chosen for this line",
    )
    points: int = _option(
        15, "Points of the curve", "Where the places are not given.", "", ge=3, le=100
    )
    fraction_percent: float = _option(
        0.05,
        "A place must add",
        "Share of the output that a further place must add to pay, where the scenario knows no"
        " money.",
        "%",
        ge=0,
        le=100,
    )
    years: float = _a_place_lasts()
    levels: bool = _option(
        True, "Look for the best levels", "Also tries where to stop, restart and slow the sheeter."
    )


def _doubt(what: str) -> Any:
    return _option(
        0.0,
        f"Uncertainty of {what}",
        f"Standard deviation of {what}, as a share of what the scenario states.",
        "%",
        ge=0,
        le=100,
    )


class AddWrapperOptions(Options):
    """Whether one more wrapper pays."""

    payback_years: float = _option(
        3.0,
        "Paid back within",
        "Time for which the chance of being paid back is asked.",
        "years",
        gt=0,
        le=100,
    )
    years: float = _option(
        10.0, "Life", "Years over which the present value counts.", "years", gt=0, le=100
    )
    contribution_percent: float = _doubt("the contribution per ream")
    demand_percent: float = _doubt("the demand")
    capital_percent: float = _doubt("the capital")
    running_cost_percent: float = _doubt("the running cost")


class WhatHoldsOptions(Options):
    """Which station holds the line."""

    step_percent: float = _option(
        5.0, "Small improvement", "How much faster each station is made.", "%", ge=0.1, le=100
    )


class MeetTargetOptions(Options):
    """The cheapest way to an output."""

    reams_per_week: float = _option(
        0.0,
        "Good reams a week",
        "The output that is asked for, in good reams a week of 168 hours of the line.",
        "reams",
        empty="say how many",
        ge=0,
        le=1e8,
    )
    certainty_percent: float = _option(
        90.0,
        "Certainty",
        "How sure it must be that the mean of all weeks is at least as much.",
        "%",
        ge=50,
        le=99.9,
    )
    places: str | None = _option(
        None,
        "Places to try",
        "From, to and how many points (20:120:12), or a list (20,40,60) if only those can be had."
        " Left empty, they are chosen from the present bridge to well beyond it.",
        "reams",
        empty="chosen for this line",
    )
    more_people: int = _option(
        2, "People to add at most", "How many people more than now are tried.", "", ge=0, le=20
    )
    person_cost_per_year: float = _option(
        0.0,
        "Cost of a person",
        "Money a year for one more person on the line, all shifts; at 0 as [money] of the scenario"
        " says. Where neither does, people have no price and the fewest come first.",
        "money/year",
        ge=0,
        le=1e9,
    )
    years: float = _a_place_lasts()


class VaryOptions(Options):
    """What one or two fields change."""

    fields: tuple[str, ...] = _option(
        ("bridge.places=20:120:6",),
        "Fields",
        "One field or two, each with its values: from, to and how many points"
        " (crew.size=2:6:5), or a list (crew.size=2,3,5). One of several stop causes or wrappers"
        " goes by its name (stop.wrapper jam.restore_min=2:6:3).",
        "",
        min_length=1,
    )


class PlanOrdersOptions(Options):
    """When each order is done."""

    sequences: str | None = _option(
        None,
        "Other sequences to try",
        "Numbers of the orders, 1 for the first of the file, such as 3,1,2; several with a"
        " semicolon between. By due date and by least change-over are tried anyway.",
    )
    find_hours: bool = _option(
        True,
        "Find how long to run",
        "Runs are as long as the orders need. Otherwise as long as asked, done or not.",
    )


class ValidateOptions(Options):
    """Whether the model is to be believed."""

    against: str = _option(
        "",
        "Production counts",
        "File of the plant's counts: shift start, shift end, good reams; CSV or workbook.",
        file=True,
    )
    log: str | None = _option(
        None,
        "Stop log",
        "File of the plant's stops, to tell at which station the model goes astray.",
        file=True,
    )
    dates: str | None = _option(
        None,
        "Dates",
        "What stands first in the dates of the log, and of counts that do not say it themselves.",
        choices=("", *ORDERS),
        empty="as they tell",
    )
    causes: str | None = _option(
        None,
        "Causes of the log",
        "What a cause of the log means, such as Papierstau=wrapper jam; several with a semicolon"
        " between. Kept for the next log with the same headings.",
    )
    stations: str | None = _option(
        None,
        "Machines of the log",
        "Which station a machine of the log is, such as Packer 3=wrapper; several with a semicolon"
        " between.",
    )
    since: str | None = _option(
        None, "From", "Counts that begin before this date are left out: a fit was made on them."
    )
    until: str | None = _option(None, "To", "The last date whose counts are used.")
