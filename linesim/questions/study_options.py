"""Options of a study: one declaration for the form, the command line and whoever calls ``ask``."""

from __future__ import annotations

from dataclasses import dataclass
from types import UnionType
from typing import Any, get_args, get_origin

import annotated_types
from pydantic import BaseModel, ConfigDict, Field


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
    """An option as forms and commands need it: see :func:`option`."""

    name: str
    title: str
    help: str
    kind: type
    """``bool``, ``int``, ``float``, ``str``, or ``tuple`` for several texts."""
    default: Any
    unit: str
    empty: str
    file: bool
    choices: tuple[str, ...]
    least: float | None
    above_least: bool
    """Whether ``least`` itself is refused."""
    most: float | None
    """``least`` and ``most`` are the ends of the range, in ``unit``."""
    flag: str
    metavar: str
    item: str
    several: bool
    required: bool
    unless: str


def option(
    default: Any,
    title: str,
    text: str,
    *,
    unit: str = "",
    empty: str = "",
    file: bool = False,
    choices: tuple[str, ...] = (),
    flag: str = "",
    metavar: str = "N",
    item: str = "",
    several: bool = False,
    required: bool = False,
    unless: str = "",
    **bounds: Any,
) -> Any:
    """A field of :class:`StudyOptions`: its label, a sentence or two of help, its unit, its range.

    ``empty`` says what is meant where nothing is given; ``file`` that it names one; ``choices`` are
    all that can be given; ``required`` that the default stands for nothing and is refused.
    ``bounds`` are pydantic's ``gt``, ``ge``, ``le`` and ``min_length``.

    The command line calls it ``flag``, by default as the field with hyphens. Options with the same
    flag are items of it: ``--uncertain demand=10``. ``several`` texts, with semicolons between, are
    several uses of the flag. An option with ``unless`` has no flag: it holds unless the command's
    option of that name is given.
    """
    extra: dict[str, Any] = {
        "unit": unit,
        "empty": empty,
        "file": file,
        "choices": list(choices),
        "flag": flag,
        "metavar": metavar,
        "item": item,
        "several": several,
        "required": required,
        "unless": unless,
    }
    return Field(default, title=title, description=text, json_schema_extra=extra, **bounds)


class StudyOptions(BaseModel):
    """What can be set in a study; made of :func:`option` fields. By itself: nothing."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    @classmethod
    def declared(cls) -> dict[str, Option]:
        """The options by name, in their order."""
        found = {}
        for name, info in cls.model_fields.items():
            extra: dict[str, Any] = dict(info.json_schema_extra)  # type: ignore[arg-type]
            # Of ``str | None`` it is the first, of ``tuple[str, ...]`` the tuple.
            of = get_args(info.annotation)
            kind: Any = get_origin(info.annotation) or info.annotation
            least: Any = None
            most: Any = None
            above = False
            for rule in info.metadata:
                if isinstance(rule, annotated_types.Ge):
                    least = rule.ge
                elif isinstance(rule, annotated_types.Gt):
                    least, above = rule.gt, True
                elif isinstance(rule, annotated_types.Le):
                    most = rule.le
            extra["flag"] = extra["flag"] or "--" + name.replace("_", "-")
            extra["choices"] = tuple(extra["choices"])
            found[name] = Option(
                name=name,
                title=info.title or name,
                help=info.description or "",
                kind=of[0] if kind is UnionType else kind,
                default=info.default,
                least=least,
                above_least=above,
                most=most,
                **extra,
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
