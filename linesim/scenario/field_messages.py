"""What a field of a scenario wants, and what is wrong with what it got, in plain words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic_core import ErrorDetails

from linesim.scenario.currency import currency_of, unit_in
from linesim.scenario.faults import Path, value_at, written
from linesim.scenario.field_descriptions import FieldDescription, descriptions
from linesim.scenario.fields import Table
from linesim.scenario.known_causes import KNOWN_CAUSES
from linesim.scenario.laws import LAWS, Constant
from linesim.scenario.order_tables import MOMENT, MOMENT_WANTED
from linesim.scenario.scenario import Scenario
from linesim.scenario.spelling import nearest
from linesim.scenario.stops import METERS

_LAW_EXAMPLE = 'a number, or a law such as { law = "lognormal", mean = 6, sd = 2 }'
_PROBLEMS = {
    "less_than_equal": "is too large",
    "less_than": "is too large",
    "greater_than_equal": "is too small",
    "greater_than": "is too small",
    "finite_number": "is not a finite number",
    "string_too_long": "is no usable name",
    "string_too_short": "is no usable name",
    "string_pattern_mismatch": "is no usable name",
}
"""What pydantic calls a finding, and what is said of it."""
_KINDS = (
    (bool, "true or false"),
    (str, "text"),
    (int, "a whole number"),
    (float, "a number with decimals"),
    (Mapping, "a table"),
    ((list, tuple), "a list"),
)
_OTHER_KINDS = {
    "tables": "one or more tables, each under a heading in double brackets",
    "table": "a table of fields",
    "switch": "true or false",
}


def field_at(
    path: Path, data: Any, root: type[Table] = Scenario
) -> tuple[list[str], FieldDescription | None]:
    """The names of the fields there are where *path* ends, and the one it ends at if it is known.

    ``root`` is the table of the whole file.
    """
    fields = descriptions(root)
    field: FieldDescription | None = None
    for number, part in enumerate(path):
        data = value_at(data, (part,))
        if isinstance(part, int):
            continue
        field = fields.get(part)
        if field is None or number == len(path) - 1:
            break
        if is_law(field):
            law = value_at(data, ("law",))
            fields = descriptions(LAWS.get(law, Constant) if isinstance(law, str) else Constant)
        elif field.parts:
            fields = {inner.name: inner for inner in field.parts}
        else:
            break
    return list(fields), field


def is_law(field: FieldDescription | None) -> bool:
    """Whether a field holds a law of chance."""
    return field is not None and field.kind == "law"


def wanted(field: FieldDescription | None, currency: str | None = None) -> str:
    """What a field would accept: kind, range, unit and what is usual."""
    if field is None:
        return ""
    unit = f" {unit_in(field.unit, currency)}" if field.unit else ""
    hint = ""
    if field.typical is not None:
        hint = f" (usual: {field.typical[0]:g} to {field.typical[1]:g}{unit})"
    match field.kind:
        case "law":
            return _LAW_EXAMPLE + (f", in{unit}" if unit else "") + hint
        case "choice":
            return "one of " + ", ".join(written(choice) for choice in field.choices)
        case "text":
            said = f" such as {written(field.example)}" if field.example else ""
            return "text in quotes" + (said or _length(field))
        case "whole" | "number":
            kind = "a whole number" if field.kind == "whole" else "a number"
            return kind + _range(field) + unit + hint
        case "numbers":
            return f"a list of numbers{_range(field)}{unit}, in square brackets with commas between"
        case _:
            return _OTHER_KINDS[field.kind]


def words(
    error: ErrorDetails, path: Path, data: Any, root: type[Table] = Scenario
) -> tuple[str, str]:
    """Problem and remedy for one finding of the field-by-field check."""
    kind, context = error["type"], error.get("ctx", {})
    names, field = field_at(path, data, root)
    right = wanted(field, currency_of(data))
    if kind == "missing":
        return "is missing", _missing(path, data, right)
    if kind == "extra_forbidden":
        return _unknown(path, names, root)
    if kind == "value_error":
        return _problem_within(error["input"]), str(context.get("error", ""))
    if kind == "union_tag_not_found":
        return "does not say which law it follows", "law = one of " + ", ".join(LAWS)
    if kind == "union_tag_invalid":
        law = value_at(error["input"], ("law",))
        guess = nearest(law, list(LAWS)) if isinstance(law, str) else None
        hint = f"{written(guess)}, or " if guess else ""
        return f"law {written(law)} is not known", f"{hint}one of {', '.join(LAWS)}"
    if kind == "literal_error":
        value, options = error["input"], [str(c) for c in field.choices] if field else []
        guess = nearest(value, options) if isinstance(value, str) else None
        return "is not one of the choices", (f"{written(guess)}; " if guess else "") + right
    if kind == "too_short":
        return "has too few entries", f"at least {context['min_length']}"
    if kind == "too_long":
        return f"has {context['actual_length']} entries", f"at most {context['max_length']} entries"
    if context.get("pattern") == MOMENT:
        return "is no date and time", MOMENT_WANTED
    if kind == "string_pattern_mismatch" and field is not None and field.example:
        return "cannot be read", right
    return _PROBLEMS.get(kind) or "is " + _kind(error["input"]), right


def _missing(path: Path, data: Any, right: str) -> str:
    cause = value_at(data, (*path[:-1], "cause"))
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


def _unknown(path: Path, own: list[str], root: type[Table]) -> tuple[str, str]:
    key = str(path[-1])
    if len(path) == 1:
        file = "a scenario" if root is Scenario else "a state file"
        return f"is not a table of {file}", _guess_or_list(key, own)
    if key not in own:
        homes = [
            name
            for name, table in descriptions(root).items()
            if key in [field.name for field in table.parts]
        ]
        if homes:
            return f"is not a field of [{path[0]}]", f"move it to [{homes[0]}]"
    return "is not a field here", _guess_or_list(key, own)


def _guess_or_list(key: str, known: list[str]) -> str:
    guess = nearest(key, known)
    return guess if guess else "one of " + ", ".join(known)


def _length(field: FieldDescription) -> str:
    long = "" if field.most is None else f", {field.least or 0:,} to {field.most:,} characters"
    return long + (" on one line" if field.one_line else "")


def _range(field: FieldDescription) -> str:
    low, high, above = field.low, field.high, field.above
    if above is not None:
        return f" above {_number(above)}" + (f", up to {_number(high)}" if high is not None else "")
    if low is not None and high is not None:
        return f" from {_number(low)} to {_number(high)}"
    return f" of {_number(low)} or more" if low is not None else ""


def _number(value: Any) -> str:
    return f"{value:,.10g}" if abs(value) < 1e9 else f"{value:g}"


def _kind(value: Any) -> str:
    return next((said for kind, said in _KINDS if isinstance(value, kind)), "a date or time")
