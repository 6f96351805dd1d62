"""How a field of a scenario file is declared: unit, range and label beside its type, help below."""

from __future__ import annotations

import types
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo

Name = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[^\x00-\x1f]+$")]


class Table(BaseModel):
    """A table of the scenario file. Unknown keys are faults, numbers must be finite.

    What stands below a field is its help text.
    """

    model_config = ConfigDict(
        extra="forbid", frozen=True, allow_inf_nan=False, use_attribute_docstrings=True
    )


def quantity(
    default: Any,
    unit: str = "",
    legal: tuple[float | None, float | None] = (None, None),
    *,
    above: float | None = None,
    usual: tuple[float, float] | None = None,
    pattern: str | None = None,
    label: str | None = None,
    help_text: str | None = None,
) -> Any:
    """Declare a field.

    ``legal`` is the range from least to greatest (inclusive), ``above`` an exclusive lower bound,
    all in ``unit``; ``usual`` is the range met in practice (common practice, no source);
    ``pattern`` is what text must look like. ``label`` stands on forms where the name alone is too
    terse. ``help_text`` is only for help that is put together; other help is the text below the
    field. ``default`` is ``...`` for a field that must be given.
    """
    extra: dict[str, Any] = {"unit": unit}
    if usual is not None:
        extra["typical"] = list(usual)
    low, high = legal
    return Field(
        default,
        title=label,
        description=help_text,
        ge=low,
        le=high,
        gt=above,
        pattern=pattern,
        json_schema_extra=extra,
    )


def fields_of(table: type[Table]) -> dict[str, FieldInfo]:
    """The fields of a table under the names a file gives them."""
    return {info.alias or name: info for name, info in table.model_fields.items()}


def values_of(table: Table) -> dict[str, Any]:
    """The values of a table under the names a file gives them."""
    fields = type(table).model_fields
    return {info.alias or name: getattr(table, name) for name, info in fields.items()}


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
