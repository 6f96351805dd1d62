"""What a scenario file may hold, field by field, for forms that are made from it.

Everything here is read off the declared fields, so a new field is in every form at once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import NoneType
from typing import Any, Literal, get_args, get_origin

from pydantic.fields import FieldInfo

from linesim.scenario.faults import Path, value_at
from linesim.scenario.fields import DOUBT, Doubt, Figures, Table, fields_of, member_types, tables_in
from linesim.scenario.help_texts import help_texts
from linesim.scenario.known_causes import KNOWN_CAUSES
from linesim.scenario.laws import LAWS, AnyLaw, Constant
from linesim.scenario.scenario import Scenario
from linesim.scenario.stops import METERS, STATIONS, Stop, figures_brought

FieldKind = Literal[
    "number", "whole", "text", "switch", "choice", "law", "numbers", "table", "tables"
]

_SUGGESTIONS = {"cause": tuple(KNOWN_CAUSES), "station": STATIONS}
"""What may stand in fields of a stop cause that take other words too."""


@dataclass(frozen=True)
class FieldDescription:
    """One field: what it means, what it takes, what it is when it is not given.

    ``low``, ``high`` (inclusive), ``above`` (exclusive) and ``typical`` are in ``unit``.
    ``default`` is as a file would write it: a number, text, a switch, or a mapping for a law;
    ``None`` where there is none. ``choices`` are all that is legal, ``suggestions`` only some.
    The bounds of a list of numbers are those of each. ``example`` is text of the form wanted.
    ``least`` and ``most`` bound the length of a text or a list, ``one_line`` is text on one line.
    ``parts`` are the fields of the table, or of each entry, where the field holds such.
    ``is_figure`` says that its value may be doubted.
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
    least: int | None = None
    most: int | None = None
    one_line: bool = False
    example: str = ""
    parts: tuple[FieldDescription, ...] = ()
    is_figure: bool = False


@dataclass(frozen=True)
class FieldGroup:
    """One table of a scenario file, or a list of tables of one kind.

    ``title`` heads it, ``label`` names one of its entries. ``optional`` tables may be left out
    and then mean that the line has no such thing.
    ``one_of`` names fields of which exactly one must be given. Of a list there may be from
    ``least`` to ``most`` entries. What it says of how sure its figures are is no field of it.
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
def descriptions(table: type[Table] = Scenario) -> dict[str, FieldDescription]:
    """The fields of a table by name; of the whole file unless a table is named."""
    return {name: _described(name, info, table) for name, info in fields_of(table).items()}


@cache
def field_groups() -> tuple[FieldGroup, ...]:
    """Every table of a scenario file in the order of the file, which is that of the paper."""
    groups = []
    for name, field in descriptions().items():
        if field.kind not in ("table", "tables"):
            continue
        info = fields_of(Scenario)[name]
        table = tables_in(info)[0]
        is_list = field.kind == "tables"
        said = name.replace("_", " ")
        groups.append(
            FieldGroup(
                name,
                said,
                _one_line(table.__doc__) or field.help,
                tuple(part for part in field.parts if part.name != DOUBT),
                is_list=is_list,
                least=field.least or 0,
                most=field.most or 1,
                optional=not is_list and info.default is None and not info.default_factory,
                one_of=METERS if table is Stop else (),
                title=info.title or said,
            )
        )
    return tuple(groups)


@cache
def law_descriptions() -> tuple[LawDescription, ...]:
    """Every law of chance a law field may follow, the constant first."""
    return tuple(
        LawDescription(
            name,
            _one_line(table.__doc__),
            tuple(field for field in descriptions(table).values() if field.name != "law"),
        )
        for name, table in LAWS.items()
    )


def as_written(value: Any) -> Any:
    """The value of a field as a file writes it: a number, a text, a switch or a mapping."""
    if isinstance(value, Constant):
        return value.mean
    if isinstance(value, AnyLaw):
        return value.model_dump()
    if isinstance(value, tuple) and value and isinstance(value[0], Doubt):
        return [doubt.model_dump(exclude_defaults=True) for doubt in value]
    return None if isinstance(value, tuple) and not value else value


def default_at(path: Path, data: Mapping[str, Any]) -> Any:
    """What the field at *path* means when it is not given, as a file would write it.

    *data* are the values of the file: a stop cause that is known by its name brings its own
    figures, so their defaults hang on the name. ``None`` where nothing is meant.
    """
    if path[0] == "stop" and len(path) >= 3:
        stop = value_at(data, path[:2])
        brought = figures_brought(stop) if isinstance(stop, Mapping) else {}
        if path[2] in brought:
            return brought[str(path[2])]
    group = descriptions().get(str(path[0]))
    value, fields = None, group.parts if group else ()
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
    inner = tables_in(info) if kind in ("table", "tables") else []
    default = None if info.is_required() or info.default_factory else info.default
    examples = extra.get("examples")

    def rule(name: str, of: Sequence[Any] = info.metadata) -> Any:
        found = (getattr(each, name, None) for each in of)
        return next((each for each in found if each is not None), None)

    each = _rules_of_each(info) if kind == "numbers" else info.metadata

    return FieldDescription(
        name,
        info.title or _label(name, unit, kind),
        _one_line(help_texts(table)[name]),
        kind,
        unit,
        low=rule("ge", each),
        high=rule("le", each),
        above=rule("gt", each),
        typical=(float(usual[0]), float(usual[1])) if isinstance(usual, list) else None,  # type: ignore[arg-type]
        default=as_written(default),
        required=info.is_required(),
        choices=tuple(c for m in members if get_origin(m) is Literal for c in get_args(m)),
        suggestions=_SUGGESTIONS.get(name, ()) if table is Stop else (),
        least=rule("min_length"),
        most=rule("max_length"),
        one_line=rule("pattern") is not None,
        example=str(examples[0]) if isinstance(examples, list) else "",
        parts=tuple(part for each in inner for part in descriptions(each).values()),
        is_figure=issubclass(table, Figures) and kind in ("number", "whole", "law"),
    )


def _rules_of_each(info: FieldInfo) -> Sequence[Any]:
    """What holds for each number of a list."""
    rules = getattr(get_args(info.annotation)[0], "__metadata__", ())
    return [inner for rule in rules for inner in getattr(rule, "metadata", (rule,))]


def _one_line(text: str | None) -> str:
    return " ".join((text or "").replace("``", "").split())


def _kind(info: FieldInfo, members: list[Any]) -> FieldKind:
    if Constant in members:
        return "law"
    if get_origin(info.annotation) is tuple:
        return "tables" if tables_in(info) else "numbers"
    if tables_in(info):
        return "table"
    if any(get_origin(m) is Literal for m in members):
        return "choice"
    if bool in members:
        return "switch"
    if str in members:
        return "text"
    return "whole" if int in members else "number"


def _label(name: str, unit: str, kind: FieldKind) -> str:
    """The name as people say it: without its unit, which stands beside the value."""
    said = name.removesuffix("_" + unit.replace("/", "_per_").replace(" ", "_"))
    if name in METERS:
        said = {"h": "hours", "km": "km of web"}.get(unit, unit)
        said = ("running " if "running" in name else "clock " if "clock" in name else "") + said
    elif kind == "law" and said != name:
        said += "_time"
    return said.replace("_", " ")
