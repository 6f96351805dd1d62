"""How a field of a scenario file is declared: unit, range and label beside its type, help below."""

from __future__ import annotations

import types
from functools import cache
from typing import Annotated, Any, ClassVar, Union, get_args, get_origin

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    SerializerFunctionWrapHandler,
    model_serializer,
)
from pydantic.fields import FieldInfo
from pydantic_core import CoreSchema

from linesim.scenario.help_texts import help_texts

Name = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[^\x00-\x1f]+$")]


class Table(BaseModel):
    """A table of the scenario file. Unknown keys are faults, numbers must be finite.

    What stands below a field is its help text.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core_schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        schema = handler(core_schema)
        fields = handler.resolve_ref_schema(schema)["properties"]
        for name, text in help_texts(cls).items():
            if text and name in fields:
                fields[name]["description"] = text
        return schema


def quantity(
    default: Any,
    unit: str = "",
    legal: tuple[float | None, float | None] = (None, None),
    *,
    above: float | None = None,
    usual: tuple[float, float] | None = None,
    pattern: str | None = None,
    example: str | None = None,
    label: str | None = None,
    help_text: str | None = None,
    most: int | None = None,
) -> Any:
    """Declare a field.

    ``legal`` is the range from least to greatest (inclusive), ``above`` an exclusive lower bound,
    all in ``unit``; ``usual`` is the range met in practice (common practice, no source);
    ``pattern`` is what text must look like, ``example`` such a text. ``label`` stands on forms
    where the name alone is too terse. ``help_text`` is only for help that is put together; other
    help is the text below the field. ``most`` bounds a list. ``default`` is ``...`` for a field
    that must be given.
    """
    extra: dict[str, Any] = {"unit": unit}
    if usual is not None:
        extra["typical"] = list(usual)
    if example is not None:
        extra["examples"] = [example]
    low, high = legal
    return Field(
        default,
        title=label,
        description=help_text,
        ge=low,
        le=high,
        gt=above,
        pattern=pattern,
        max_length=most,
        json_schema_extra=extra,
    )


class Doubt(Table):
    """Between which ends a figure is known, and why. What is not doubted is taken as known."""

    of: str = quantity(..., pattern=r"^[a-z0-9_]+(\.[a-z]+)?$", label="figure")
    """the field that is doubted; of a law its mean, or restore_min.sd for another of its figures"""
    between: tuple[float, float] = quantity(..., label="known between")
    """ends that hold the true figure with 95 %, in the unit of the field"""
    why: str = quantity("", label="how it is known")
    """how it is known: stops in a log, a measurement, what somebody says"""
    stops: int | None = quantity(None, "stops", (0, 10_000_000), label="from so many stops")
    """how many stops it rests on, where it is from a log"""
    days: float | None = quantity(None, "days", (None, 1e6), above=0, label="from so many days")
    """how long that log is"""
    correlation: float | None = quantity(None, "", (-0.999, 0.999), label="correlation with mean")
    """for the spread of a law: its correlation with the mean, since both were fitted to the same
    values"""


class Figures(Table):
    """A table whose figures may be doubted."""

    doubt: tuple[Doubt, ...] = quantity((), most=60)
    """between which ends figures of this table are known"""

    quiet: ClassVar[tuple[str, ...]] = ("doubt",)
    """Fields that are not dumped where they are as if nothing were said: a scenario that says
    nothing of them has the digest it had before there were such fields."""

    @model_serializer(mode="wrap")
    def _without_what_is_not_said(self, write: SerializerFunctionWrapHandler) -> dict[str, Any]:
        data: dict[str, Any] = write(self)
        for name, default in _quiet_defaults(type(self)):
            if getattr(self, name) == default:
                data.pop(name, None)
        return data


@cache
def _quiet_defaults(table: type[Figures]) -> tuple[tuple[str, Any], ...]:
    return tuple((name, table.model_fields[name].default) for name in table.quiet)


class Powered(Figures):
    """A table of a station, which draws power."""

    kw_running: float | None = quantity(
        None, "kW", (0, 10_000), usual=(0.5, 60), label="power drawn running"
    )
    """power it draws while it runs, slowed too; unless given, energy is not reckoned"""
    kw_standing: float | None = quantity(
        None, "kW", (0, 10_000), usual=(0, 20), label="power drawn standing"
    )
    """power it draws while it stands for whatever reason, without a shift too; 0 where it is
    switched off whenever it stands"""

    quiet = (*Figures.quiet, "kw_running", "kw_standing")


DOUBT = "doubt"
"""The field of that name, in every table that has one."""
POWER = ("kw_running", "kw_standing")
"""The fields of those names, in every table of a station."""


def fields_of(table: type[Table]) -> dict[str, FieldInfo]:
    """The fields of a table under the names a file gives them; what others have, too, stands last:
    its power, then its doubt."""
    found = {info.alias or name: info for name, info in table.model_fields.items()}
    for name in (*POWER, DOUBT):
        if name in found:
            found[name] = found.pop(name)
    return found


def values_of(table: Table) -> dict[str, Any]:
    """The values of a table under the names a file gives them."""
    python_names = {info.alias or name: name for name, info in type(table).model_fields.items()}
    return {name: getattr(table, python_names[name]) for name in fields_of(type(table))}


def member_types(annotation: Any) -> list[Any]:
    """The simple types a field may hold, out of unions, lists and annotations."""
    origin = get_origin(annotation)
    if origin is Annotated:
        return member_types(get_args(annotation)[0])
    if origin in (Union, types.UnionType, tuple):
        return [m for arg in get_args(annotation) if arg is not ... for m in member_types(arg)]
    return [annotation]


def tables_in(info: FieldInfo) -> list[type[Table]]:
    """The tables that a field may hold, one or a list of them."""
    members = member_types(info.annotation)
    return [m for m in members if isinstance(m, type) and issubclass(m, Table)]
