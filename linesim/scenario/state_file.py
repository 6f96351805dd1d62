"""State files: read with all faults at once, and written, to be filled in or as a line is."""

from __future__ import annotations

import os
from collections.abc import Iterable
from typing import Any

import tomlkit
from pydantic import ValidationError

from linesim.scenario.contradictions_of_state import contradictions_of_state
from linesim.scenario.faults import Fault, Path, ScenarioFaults, dotted, value_at, written
from linesim.scenario.field_descriptions import FieldDescription, as_written, descriptions
from linesim.scenario.field_messages import words
from linesim.scenario.fields import Table, values_of
from linesim.scenario.formats import STATE
from linesim.scenario.loading import parse, read_text
from linesim.scenario.positions import line_of
from linesim.scenario.scenario import Scenario
from linesim.scenario.state_tables import (
    BehindNow,
    BridgeNow,
    DownNow,
    LineState,
    OrderNow,
    PeopleNow,
    ReelNow,
    RollNow,
    WearNow,
)

_ROUNDS = 8


def load_state(path: str | os.PathLike[str], scenario: Scenario) -> LineState:
    """Read the state file at *path* and check it against the line of *scenario*.

    Raises :class:`ScenarioFaults` with every fault of the file, whatever it holds.
    """
    name = os.fspath(path)
    return check_state_text(read_text(name, "state"), scenario, file=name)


def check_state_text(text: str, scenario: Scenario, *, file: str = "state") -> LineState:
    """Check the text of a state file; *file* is what faults call it.

    Raises :class:`ScenarioFaults` with every fault and its line.
    """
    original, lines = parse(text, file, STATE)
    data, _ = parse(text, file, STATE)
    faults: dict[tuple[Path, str], Fault] = {}

    def note(path: Path, problem: str, right: str) -> None:
        value = value_at(original, path)
        shown = "" if value is None else written(value)
        fault = Fault(file, line_of(path, lines), dotted(path), shown, problem, right)
        faults.setdefault((path, problem), fault)

    state, faulty = None, set[Path]()
    for _ in range(_ROUNDS):
        try:
            state = LineState.model_validate(_tuples(data), strict=True)
            break
        except ValidationError as error:
            found = error.errors(include_url=False)
        for detail in found:
            path: Path = tuple(
                part for part in detail["loc"] if isinstance(part, int) or part in _NAMES
            )
            if detail["type"] == "extra_forbidden":
                path = tuple(detail["loc"])
            # What was taken out for what it said is not missing besides.
            if detail["type"] != "missing" or path not in faulty:
                note(path, *words(detail, path, data, LineState))
            faulty.add(_leave_out(data, path, detail["type"]))
    if state is not None:
        for clash in contradictions_of_state(state, scenario):
            if not any(clash.path[: len(path)] == path for path in faulty):
                note(clash.path, clash.problem, clash.would_be_right)
    if state is None or faults:
        raise ScenarioFaults(sorted(faults.values(), key=lambda fault: fault.line or 0))
    return state


def _names(fields: Iterable[FieldDescription]) -> set[str]:
    return {name for field in fields for name in (field.name, *_names(field.parts))}


_NAMES = _names(descriptions(LineState).values())
_HARMLESS = {"moment": "2000-01-01 00:00"}


def _leave_out(data: Any, path: Path, kind: str) -> Path:
    """Take what is wrong out of *data*, so that the rest can be checked; its path."""
    owner = value_at(data, path[:-1])
    if path[:1] == ("moment",):
        data["moment"] = _HARMLESS["moment"]
    elif kind == "missing" or isinstance(owner, list):
        # An entry that cannot be read is as if it were not there; its place is kept.
        number = next((i for i, part in enumerate(path) if isinstance(part, int)), None)
        if number is None:
            data.pop(path[0], None)
            return path[:1]
        data.get(path[0], []).clear()
        return path[:1]
    elif isinstance(owner, dict):
        owner.pop(path[-1], None)
    return path


def _tuples(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _tuples(each) for name, each in value.items()}
    return tuple(_tuples(each) for each in value) if isinstance(value, list) else value


# -- writing ---------------------------------------------------------------------------------------


def dump_state(state: LineState) -> str:
    """A state file: what is known stands there with its help, what is not as a comment to fill in.

    Reading it gives the same state again.
    """
    document = tomlkit.document()
    tables = descriptions(LineState)
    for name, field in tables.items():
        value = getattr(state, name)
        if field.kind not in ("table", "tables"):
            _add(document, field, value, said=value is not None)
    for name, field in tables.items():
        value, kind = getattr(state, name), field.kind
        if kind == "table" and value is not None:
            document.add(tomlkit.nl())
            document.add(name, _filled(value).comment(field.help))
        elif kind == "tables" and value:
            document.add(tomlkit.nl())
            entries = tomlkit.aot()
            for i, entry in enumerate(value):
                entries.append(_filled(entry, help_texts=i == 0))
            entries[0].comment(field.help)
            document.add(name, entries)
    return tomlkit.dumps(document)


def _filled(table: Table, *, help_texts: bool = True) -> Any:
    made = tomlkit.table()
    for name, field in descriptions(type(table)).items():
        value = values_of(table)[name]
        said = name in table.model_fields_set and value is not None
        if said or help_texts:
            _add(made, field, value, said=said or field.required, help_texts=help_texts)
    return made


def _add(
    to: Any, field: FieldDescription, value: Any, *, said: bool, help_texts: bool = True
) -> None:
    unit = f" [{field.unit}]" if field.unit else ""
    choices = f" ({' or '.join(map(str, field.choices))})" if len(field.choices) > 1 else ""
    words = f"{field.help}{choices}{unit}"
    if not said:
        to.add(tomlkit.comment(f"{field.name} =   # {words}"))
        return
    item = tomlkit.item(as_written(value))
    if help_texts:
        item.comment(words)
    to.add(field.name, item)


def state_to_fill_in(scenario: Scenario, moment: str) -> str:
    """A state file of the line of *scenario* with every field that it may have, to be filled in.

    Fields are comments with their help until somebody fills them in; as it stands it says nothing
    but the moment, and can be read.
    """
    webs, paired = scenario.unwind.webs, scenario.unwind.stands_per_web == 2
    rows = [f'moment = "{moment}"   # {descriptions(LineState)["moment"].help}']
    if scenario.calendar.starts is None:
        rows.append(_blank(LineState, "into_shift_h"))
    rows += [_blank(LineState, "reams_made"), "", "[bridge]"]
    rows.append(_blank(BridgeNow, "reams"))
    if scenario.order:
        names = ", ".join(order.name for order in scenario.order)
        rows += _entry("order", OrderNow, ("name", "reams_made"), f"orders: {names}", one=True)
    behind = []
    if scenario.outfeed is not None:
        behind.append("reams_at_outfeed")
    if scenario.carton_packer:
        behind += ["reams_at_packer", "blanks"]
    if scenario.palletiser is not None:
        behind += ["cartons_at_palletiser", "cartons_on_pallet", "full_pallets"]
    if behind:
        rows += ["", "[behind]", *(_blank(BehindNow, name) for name in behind)]
    rows += ["", "[people]", _blank(PeopleNow, "away")]
    for web in range(webs):
        rows += ["", "[[reel]]", f"web = {web + 1}", _blank(ReelNow, "left_m")]
        rows.append(_blank(ReelNow, "diameter_mm"))
        if paired:
            rows.append(_blank(ReelNow, "partner_ready"))
    for wrapper in scenario.wrapper:
        if wrapper.roll_length_m is not None:
            rows += _entry("roll", RollNow, ("reams_left",), "", f'wrapper = "{wrapper.name}"')
    causes = ", ".join(dict.fromkeys(stop.cause for stop in scenario.stop)) or "none"
    fields = ("cause", "web", "since", "people", "remaining_min", "station")
    rows += _entry("down", DownNow, fields, f"what stands now; causes: {causes}")
    for stop in scenario.stop:
        if stop.meter != "every_clock_h":
            note = f"unit: {stop.meter.removeprefix('every_').replace('_', ' ')}"
            rows += _entry("wear", WearNow, ("used",), note, f'cause = "{stop.cause}"')
    return "\n".join(rows) + "\n"


def _blank(table: type[Table], name: str) -> str:
    field = descriptions(table)[name]
    unit = f" [{field.unit}]" if field.unit else ""
    choices = f" ({' or '.join(map(str, field.choices))})" if len(field.choices) > 1 else ""
    return f"# {name} =   # {field.help}{choices}{unit}"


def _entry(
    name: str,
    table: type[Table],
    fields: Iterable[str],
    note: str,
    first: str = "",
    *,
    one: bool = False,
) -> list[str]:
    """An entry that is a comment as a whole, since it cannot be read before it is filled in."""
    heading = f"# [{name}]" if one else f"# [[{name}]]"
    rows = ["", heading + (f"   # {note}" if note else "")]
    if first:
        rows.append(f"# {first}")
    return rows + [_blank(table, each) for each in fields]
