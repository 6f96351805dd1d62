"""What a field of a scenario wants, and what is wrong with what it got, in plain words."""

from __future__ import annotations

import types
from collections.abc import Mapping
from typing import Annotated, Any, Literal, Union, get_args, get_origin

import annotated_types as at
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from linesim.scenario.faults import Path, written
from linesim.scenario.fields import Table
from linesim.scenario.known_causes import KNOWN_CAUSES
from linesim.scenario.laws import AnyLaw, Constant
from linesim.scenario.scenario import Scenario
from linesim.scenario.spelling import nearest
from linesim.scenario.stops import METERS

LAWS: dict[str, type[Table]] = {
    cls.model_fields["law"].annotation.__args__[0]: cls for cls in get_args(AnyLaw)
}
"""Name of a law -> its table."""

_LAW_EXAMPLE = 'a number, or a law such as { law = "lognormal", mean = 6, sd = 2 }'


def member_types(annotation: Any) -> list[Any]:
    """The simple types a field may hold, out of unions, lists and annotations."""
    origin = get_origin(annotation)
    if origin is Annotated:
        return member_types(get_args(annotation)[0])
    if origin in (Union, types.UnionType, tuple):
        return [m for arg in get_args(annotation) if arg is not ... for m in member_types(arg)]
    return [annotation]


def fields_of(table: type[Table]) -> dict[str, FieldInfo]:
    """The fields of a table under the names a file gives them."""
    return {info.alias or name: info for name, info in table.model_fields.items()}


def attribute_of(table: Table, name: str) -> str:
    """The attribute that holds a field of a table, for the name that a file gives it."""
    fields = type(table).model_fields
    return next((own for own, info in fields.items() if (info.alias or own) == name), name)


def field_at(
    path: Path, data: Any, root: type[Table] = Scenario
) -> tuple[type[Table], FieldInfo | None]:
    """The table that *path* ends in, and its field there if that is known.

    ``root`` is the table of the whole file.
    """
    table: type[Table] = root
    info: FieldInfo | None = None
    for number, part in enumerate(path):
        data = _inside(data, part)
        if isinstance(part, int):
            continue
        info = fields_of(table).get(part)
        if info is None:
            return table, None
        if number == len(path) - 1:
            break
        tables = [m for m in member_types(info.annotation) if _is_table(m)]
        if Constant in tables:
            law = data.get("law") if isinstance(data, Mapping) else None
            table = LAWS.get(law, Constant) if isinstance(law, str) else Constant
        elif tables:
            table = tables[0]
        else:
            return table, info
    return table, info


def is_law(info: FieldInfo | None) -> bool:
    """Whether a field holds a law of chance."""
    return info is not None and Constant in member_types(info.annotation)


def wanted(info: FieldInfo | None) -> str:
    """What a field would accept: kind, range, unit and what is usual."""
    if info is None:
        return ""
    members = [m for m in member_types(info.annotation) if m is not type(None)]
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    unit = f" {extra['unit']}" if extra.get("unit") else ""
    usual = extra.get("typical")
    hint = f" (usual: {usual[0]:g} to {usual[1]:g}{unit})" if isinstance(usual, list) else ""
    choices = [c for m in members if get_origin(m) is Literal for c in get_args(m)]
    if Constant in members:
        return _LAW_EXAMPLE + (f", in{unit}" if unit else "") + hint
    if choices:
        return "one of " + ", ".join(written(c) for c in choices)
    if get_origin(info.annotation) is tuple and any(_is_table(m) for m in members):
        return "one or more tables, each under a heading in double brackets"
    if get_origin(info.annotation) is tuple:
        return "a list of numbers of 0 or more, such as [3.5, 4, 12]"
    if any(_is_table(m) for m in members):
        return "a table of fields"
    if bool in members:
        return "true or false"
    if str in members:
        return "text in quotes" + _length(info)
    kind = "a whole number" if int in members else "a number"
    return kind + _range(info) + unit + hint


def words(
    error: ErrorDetails, path: Path, data: Any, root: type[Table] = Scenario
) -> tuple[str, str]:
    """Problem and remedy for one finding of the field-by-field check."""
    kind = error["type"]
    table, info = field_at(path, data, root)
    right = wanted(info)
    if kind == "missing":
        return "is missing", _missing(path, data, right)
    if kind == "extra_forbidden":
        return _unknown(path, table)
    if kind == "value_error":
        return _problem_within(error["input"]), str(error.get("ctx", {}).get("error", ""))
    if kind == "union_tag_not_found":
        return "does not say which law it follows", "law = one of " + _listed(list(LAWS))
    if kind == "union_tag_invalid":
        law = _inside(error["input"], "law")
        guess = nearest(law, list(LAWS)) if isinstance(law, str) else None
        hint = f"{written(guess)}, or " if guess else ""
        return f"law {written(law)} is not known", f"{hint}one of {_listed(list(LAWS))}"
    if kind == "literal_error":
        value, options = error["input"], _choices(info)
        guess = nearest(value, options) if isinstance(value, str) else None
        return "is not one of the choices", (f"{written(guess)}; " if guess else "") + right
    if kind in ("less_than_equal", "less_than"):
        return "is too large", right
    if kind in ("greater_than_equal", "greater_than"):
        return "is too small", right
    if kind == "finite_number":
        return "is not a finite number", right
    if kind in ("too_long", "too_short"):
        context = error.get("ctx", {})
        least, most = context.get("min_length"), context.get("max_length")
        if kind == "too_short":
            return "has too few entries", f"at least {least}"
        return f"has {context.get('actual_length')} entries", f"at most {most} entries"
    if kind in ("string_too_long", "string_too_short", "string_pattern_mismatch"):
        return "is no usable name", right
    return f"is {_kind(error['input'])}", right


def _missing(path: Path, data: Any, right: str) -> str:
    owner = data
    for part in path[:-1]:
        owner = _inside(owner, part)
    cause = _inside(owner, "cause")
    if path[0] == "stop" and isinstance(cause, str):
        guess = nearest(cause, list(KNOWN_CAUSES))
        if guess:
            return f"{right}; or name the known cause {written(guess)}, which brings its figures"
    return right


def _problem_within(table: Any) -> str:
    if isinstance(table, Mapping) and "cause" in table:
        meters = sum(meter in table for meter in METERS)
        return "falls due on several meters" if meters else "does not say how often it happens"
    return "does not fit together"


def _unknown(path: Path, table: type[Table]) -> tuple[str, str]:
    key = str(path[-1])
    own = list(fields_of(table))
    if len(path) == 1:
        return "is not a table of a scenario", _guess_or_list(key, own)
    if key not in own:
        homes = [
            name
            for name, info in fields_of(Scenario).items()
            for member in member_types(info.annotation)
            if _is_table(member) and key in fields_of(member)
        ]
        if homes:
            return f"is not a field of [{path[0]}]", f"move it to [{homes[0]}]"
    return "is not a field here", _guess_or_list(key, own)


def _guess_or_list(key: str, known: list[str]) -> str:
    guess = nearest(key, known)
    return guess if guess else "one of " + _listed(known)


def _listed(names: list[str]) -> str:
    return ", ".join(names)


def _choices(info: FieldInfo | None) -> list[str]:
    members = member_types(info.annotation) if info is not None else []
    return [str(c) for m in members if get_origin(m) is Literal for c in get_args(m)]


def _length(info: FieldInfo) -> str:
    """How long a text may be, and whether it is one line: where it has a pattern, it is."""
    least = next((rule.min_length for rule in info.metadata if isinstance(rule, at.MinLen)), 0)
    most = next((rule.max_length for rule in info.metadata if isinstance(rule, at.MaxLen)), None)
    one_line = any(getattr(rule, "pattern", None) for rule in info.metadata)
    long = "" if most is None else f", {least:,} to {most:,} characters"
    return long + (" on one line" if one_line else "")


def _range(info: FieldInfo) -> str:
    low = high = above = None
    for rule in info.metadata:
        if isinstance(rule, at.Ge):
            low = rule.ge
        elif isinstance(rule, at.Le):
            high = rule.le
        elif isinstance(rule, at.Gt):
            above = rule.gt
    if above is not None:
        return f" above {_number(above)}" + (f", up to {_number(high)}" if high is not None else "")
    if low is not None and high is not None:
        return f" from {_number(low)} to {_number(high)}"
    return f" of {_number(low)} or more" if low is not None else ""


def _number(value: Any) -> str:
    return f"{value:,.10g}" if abs(value) < 1e9 else f"{value:g}"


def _kind(value: Any) -> str:
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, str):
        return "text"
    if isinstance(value, int):
        return "a whole number"
    if isinstance(value, float):
        return "a number with decimals"
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, (list, tuple)):
        return "a list"
    return "a date or time"


def _is_table(member: Any) -> bool:
    return isinstance(member, type) and issubclass(member, Table)


def _inside(data: Any, part: str | int) -> Any:
    if isinstance(data, Mapping):
        return data.get(part)
    if isinstance(data, (list, tuple)) and isinstance(part, int) and 0 <= part < len(data):
        return data[part]
    return None
