"""Options of a study: one declaration for the form, the command line and whoever calls ``ask``."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from types import UnionType
from typing import TYPE_CHECKING, Any, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Field

if TYPE_CHECKING:
    from linesim.scenario import Scenario


class QuestionError(ValueError):
    """A question that cannot be asked of these scenarios: which option, and what is wrong.

    ``option`` is the name of a field of the study's options, or of a setting (``long_run``); empty
    where it is none of them.
    """

    def __init__(self, option: str, problem: str) -> None:
        super().__init__(f"{option}: {problem}" if option else problem)
        self.option = option
        self.problem = problem


@dataclass(frozen=True)
class Option:
    """What forms and commands are made from: an option's label, help and unit, and how it is given.

    The command line calls it ``flag``.
    """

    default: Any
    title: str
    help: str
    unit: str = ""
    empty: str = ""
    """What is meant where nothing is given."""
    example: str = ""
    """What could be given, to be seen where nothing is."""
    file: bool = False
    """Whether it names a file, ..."""
    kinds: str = ""
    """... and of which kinds, as a dialog has them; empty: a table of the plant."""
    plant_table: str = ""
    """Which table of the plant it names, ``logs`` or ``counts``: chosen once for all studies."""
    choices: tuple[str, ...] = ()
    """All that can be given; empty where anything can."""
    offered: Callable[[Scenario], Iterable[str]] | None = None
    """What of a scenario it may name."""
    flag: str = ""
    """By default the name with hyphens."""
    metavar: str = "N"
    several: bool = False
    """Whether it is texts with semicolons between, each a use of the flag."""
    argument: bool = False
    """Whether the command line takes it without its flag."""
    required: bool = False
    """Whether the default stands for nothing, and is refused."""
    unless: str = ""
    """The option of the command that switches this one off; it has no flag then."""
    least: float | None = None
    most: float | None = None
    """``least`` and ``most`` are the ends of the range, in ``unit``."""
    above_least: bool = False
    """Whether ``least`` itself is refused."""
    name: str = ""
    kind: type = str
    """``bool``, ``int``, ``float``, ``str``, or ``tuple`` for one text or more."""


def option(
    default: Any,
    title: str,
    text: str,
    *,
    gt: float | None = None,
    ge: float | None = None,
    le: float | None = None,
    min_length: int | None = None,
    **more: Any,
) -> Any:
    """A field of :class:`StudyOptions`; ``gt``, ``ge``, ``le`` and ``min_length`` bound it.

    ``more`` are fields of :class:`Option`.
    """
    least, above = (ge, False) if gt is None else (gt, True)
    declared = Option(default, title, text, least=least, most=le, above_least=above, **more)
    extra: Any = {"option": declared}
    return Field(default, gt=gt, ge=ge, le=le, min_length=min_length, json_schema_extra=extra)


class StudyOptions(BaseModel):
    """What can be set in a study; made of :func:`option` fields. By itself: nothing."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    @classmethod
    def declared(cls) -> dict[str, Option]:
        """The options by name, in their order."""
        found = {}
        for name, info in cls.model_fields.items():
            extra: Any = info.json_schema_extra
            declared: Option = extra["option"]
            # Of ``str | None`` it is the first, of ``tuple[str, ...]`` the tuple.
            kind: Any = get_origin(info.annotation) or info.annotation
            found[name] = replace(
                declared,
                name=name,
                kind=get_args(info.annotation)[0] if kind is UnionType else kind,
                flag=declared.flag or "--" + name.replace("_", "-"),
            )
        return found


def years_a_place_lasts() -> Any:
    """The option of every study that spreads the cost of the bridge over years."""
    return option(
        10.0,
        "A place lasts",
        "Years over which the cost of a place counts.",
        unit="years",
        gt=0,
        le=100,
    )


def share_a_place_must_add() -> Any:
    """The option of studies of sizes: what decides where no money is known."""
    return option(
        0.05,
        "A place must add",
        "Share of the output that a further place must add to pay, where the scenario has no"
        " prices.",
        unit="%",
        flag="--fraction",
        metavar="PERCENT",
        ge=0,
        le=100,
    )


def paid_back_within() -> Any:
    """The option of every study that tells of plants in which a change is paid back in time."""
    return option(
        3.0,
        "Paid back within",
        "In how many plants that agree with what is known it is paid back in this time; told where"
        " figures or prices are doubted.",
        unit="years",
        gt=0,
        le=100,
    )
