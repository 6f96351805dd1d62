"""What a scenario file may hold, field by field, for forms that are made from it.

Everything here is read off the declared fields, so a new field is in every form at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import NoneType
from typing import Any, Literal, get_args, get_origin

import annotated_types as at
from pydantic.fields import FieldInfo

from linesim.scenario.faults import Path
from linesim.scenario.field_messages import LAWS, fields_of, member_types
from linesim.scenario.fields import Table
from linesim.scenario.known_causes import KNOWN_CAUSES
from linesim.scenario.laws import AnyLaw, Constant
from linesim.scenario.scenario import Scenario
from linesim.scenario.stops import METERS, STATIONS, Stop

FieldKind = Literal["number", "whole", "text", "switch", "choice", "law", "numbers", "tables"]

_UNIT_TAILS = {
    "mm": "mm",
    "um": "um",
    "m": "m",
    "kg": "kg",
    "s": "s",
    "min": "min",
    "h": "h",
    "g/m2": "g_per_m2",
    "m/min": "m_per_min",
    "m/min per s": "m_per_min_per_s",
    "cuts/min": "per_min",
    "reams/min": "reams_per_min",
}


@dataclass(frozen=True)
class FieldDescription:
    """One field: what it means, what it takes, what it is when it is not given.

    ``low``, ``high`` (inclusive), ``above`` (exclusive) and ``typical`` are in ``unit``.
    ``default`` is as a file would write it: a number, text, a switch, or a mapping for a law;
    ``None`` where there is none. ``choices`` are all that is legal, ``suggestions`` only some.
    ``parts`` are the fields of each entry where the field is itself a list of tables.
    """

    name: str
    label: str
    help: str
    kind: FieldKind
    unit: str = ""
    low: float | None = None
    high: float | None = None
    above: float | None = None
    typical: tuple[float, float] | None = None
    default: Any = None
    required: bool = False
    choices: tuple[str | int, ...] = ()
    suggestions: tuple[str, ...] = ()
    parts: tuple[FieldDescription, ...] = ()


@dataclass(frozen=True)
class FieldGroup:
    """One table of a scenario file, or a list of tables of one kind.

    ``title`` heads it, ``label`` names one of its entries. ``optional`` tables may be left out
    and then mean that the line has no such thing.
    ``one_of`` names fields of which exactly one must be given. Of a list there may be from
    ``least`` to ``most`` entries.
    """

    name: str
    label: str
    help: str
    fields: tuple[FieldDescription, ...]
    is_list: bool = False
    least: int = 0
    most: int = 1
    optional: bool = False
    one_of: tuple[str, ...] = ()
    title: str = ""


@dataclass(frozen=True)
class LawDescription:
    """One law of chance: its name in a file, what it is for, its fields."""

    name: str
    help: str
    fields: tuple[FieldDescription, ...]


@cache
def field_groups() -> tuple[FieldGroup, ...]:
    """Every table of a scenario file in the order of the file, which is that of the paper."""
    groups = []
    for name, info in fields_of(Scenario).items():
        tables = [m for m in member_types(info.annotation) if _is_table(m)]
        if not tables:
            continue
        table = tables[0]
        is_list = get_origin(info.annotation) is tuple
        own = " ".join((table.__doc__ or "").replace("``", "").split())
        groups.append(
            FieldGroup(
                name,
                name.replace("_", " "),
                own or info.description or "",
                tuple(_described(key, inner, table) for key, inner in fields_of(table).items()),
                is_list=is_list,
                least=_rule(info, at.MinLen, "min_length") or 0,
                most=_rule(info, at.MaxLen, "max_length") or 1,
                optional=not is_list and info.default is None and not info.default_factory,
                one_of=METERS if table is Stop else (),
                title=info.title or name.replace("_", " "),
            )
        )
    return tuple(groups)


@cache
def law_descriptions() -> tuple[LawDescription, ...]:
    """Every law of chance a law field may follow, the constant first."""
    return tuple(
        LawDescription(
            name,
            " ".join((table.__doc__ or "").split()),
            tuple(
                _described(key, info, table)
                for key, info in fields_of(table).items()
                if key != "law"
            ),
        )
        for name, table in LAWS.items()
    )


def default_at(path: Path, data: Mapping[str, Any]) -> Any:
    """What the field at *path* means when it is not given, as a file would write it.

    *data* are the values of the file: a stop cause that is known by its name brings its own
    figures, so their defaults hang on the name. ``None`` where nothing is meant.
    """
    fields = {group.name: group.fields for group in field_groups()}.get(str(path[0]), ())
    if path[0] == "stop" and len(path) >= 3:
        stop = _at(data, path[:2])
        cause = stop.get("cause") if isinstance(stop, Mapping) else None
        known = KNOWN_CAUSES.get(cause, {}) if isinstance(cause, str) else {}
        own_meter = isinstance(stop, Mapping) and any(meter in stop for meter in METERS)
        if path[2] in known and not (own_meter and path[2] in METERS):
            return known[str(path[2])]
    value = None
    for part in path[1:]:
        if isinstance(part, int):
            continue
        field = next((field for field in fields if field.name == part), None)
        if field is None:
            return None
        value, fields = field.default, field.parts
    return value


def _described(name: str, info: FieldInfo, table: type[Table]) -> FieldDescription:
    members = [m for m in member_types(info.annotation) if m is not NoneType]
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    unit = str(extra.get("unit") or "")
    usual = extra.get("typical")
    kind = _kind(info, members)
    inner = [m for m in members if _is_table(m)] if kind == "tables" else []
    default = None if info.is_required() or info.default_factory else info.default
    return FieldDescription(
        name,
        info.title or _label(name, unit, kind),
        " ".join((info.description or "").replace("``", "").split()),
        kind,
        unit,
        low=_rule(info, at.Ge, "ge"),
        high=_rule(info, at.Le, "le"),
        above=_rule(info, at.Gt, "gt"),
        typical=(float(usual[0]), float(usual[1])) if isinstance(usual, list) else None,  # type: ignore[arg-type]
        default=_as_written(default),
        required=info.is_required(),
        choices=tuple(c for m in members if get_origin(m) is Literal for c in get_args(m)),
        suggestions=_suggestions(name, table),
        parts=tuple(_described(k, i, m) for m in inner for k, i in fields_of(m).items()),
    )


def _kind(info: FieldInfo, members: list[Any]) -> FieldKind:
    if Constant in members:
        return "law"
    if get_origin(info.annotation) is tuple:
        return "tables" if any(_is_table(m) for m in members) else "numbers"
    if any(get_origin(m) is Literal for m in members):
        return "choice"
    if bool in members:
        return "switch"
    if str in members:
        return "text"
    return "whole" if int in members else "number"


def _label(name: str, unit: str, kind: FieldKind) -> str:
    """The name as people say it: without its unit, which stands beside the value."""
    tail = "_" + _UNIT_TAILS.get(unit, "?")
    said = name.removesuffix(tail) if name.removesuffix(tail) else name
    if name in METERS:
        said = {"h": "hours", "km": "km of web"}.get(unit, unit)
        said = ("running " if "running" in name else "clock " if "clock" in name else "") + said
    elif kind == "law" and said != name:
        said += "_time"
    return said.replace("_", " ")


def _suggestions(name: str, table: type[Table]) -> tuple[str, ...]:
    if table is not Stop:
        return ()
    return {"cause": tuple(KNOWN_CAUSES), "station": STATIONS}.get(name, ())


def _as_written(value: Any) -> Any:
    if isinstance(value, Constant):
        return value.mean
    if isinstance(value, AnyLaw):
        return value.model_dump()
    return None if isinstance(value, tuple) and not value else value


def _rule(info: FieldInfo, kind: type, name: str) -> Any:
    for rule in info.metadata:
        if isinstance(rule, kind):
            return getattr(rule, name)
    return None


def _is_table(member: Any) -> bool:
    return isinstance(member, type) and issubclass(member, Table)


def _at(data: Any, path: Path) -> Any:
    for part in path:
        if isinstance(data, Mapping):
            data = data.get(part)
        elif isinstance(data, (list, tuple)) and isinstance(part, int) and part < len(data):
            data = data[part]
        else:
            return None
    return data
