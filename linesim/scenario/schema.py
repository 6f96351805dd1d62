"""The JSON schema of scenario files, for editors that complete and check while one types.

Made from the declared fields, so it cannot lag behind them. It is as strict as a schema can be;
contradictions across fields are only found by loading.
"""

from __future__ import annotations

from typing import Any

from linesim.scenario.fields import Table
from linesim.scenario.known_causes import KNOWN_CAUSES
from linesim.scenario.laws import LAWS
from linesim.scenario.scenario import MAY_STAND_ALONE, Scenario
from linesim.scenario.state_tables import LineState
from linesim.scenario.stops import METERS, STATIONS

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schema() -> dict[str, Any]:
    """Schema (JSON Schema 2020-12) of a scenario file, as a fresh mapping.

    Every field has its help text as ``description`` with unit and usual range in words, and the
    same under ``unit`` and ``typical`` for programs.
    """
    schema = _schema_of(Scenario)
    _stops(schema["$defs"]["Stop"])
    for name in MAY_STAND_ALONE:
        field = schema["properties"][name]
        several = {word: field.pop(word) for word in ("type", "items", "maxItems")}
        field["anyOf"] = [several["items"], several]
    return {"$schema": DIALECT, "title": "Scenario of a sheeting-and-wrapping line", **schema}


def state_schema() -> dict[str, Any]:
    """The same of a state file: :class:`LineState`."""
    title = "State of a sheeting-and-wrapping line at one moment"
    return {"$schema": DIALECT, "title": title, **_schema_of(LineState)}


def _schema_of(table: type[Table]) -> dict[str, Any]:
    schema: dict[str, Any] = _tidied(table.model_json_schema(by_alias=True))
    laws = [{"$ref": f"#/$defs/{cls.__name__}"} for cls in LAWS.values()]
    schema["$defs"]["Law"] = {
        "description": "A number, or a law of chance.",
        "anyOf": [{"type": "number", "minimum": 0, "maximum": 1e9}, {"oneOf": laws}],
    }
    for cls in LAWS.values():
        law = schema["$defs"][cls.__name__]
        if cls.__name__ != "Constant":
            law["required"] = ["law", *(f for f in law["required"] if f != "law")]
    return schema


def _stops(stop: dict[str, Any]) -> None:
    """A known cause may leave out what it brings, any other needs all of it."""
    stop["required"] = ["cause"]
    stop["properties"]["cause"]["examples"] = list(KNOWN_CAUSES)
    stop["properties"]["station"]["examples"] = list(STATIONS)
    stop["if"] = {"properties": {"cause": {"enum": list(KNOWN_CAUSES)}}}
    stop["else"] = {
        "required": ["station", "restore_min"],
        "oneOf": [{"required": [meter]} for meter in METERS],
    }


def _tidied(node: Any, *, names: bool = False) -> Any:
    """Without what TOML cannot say (null) and what only names classes.

    ``names`` is true for a mapping whose keys are names of fields, not words of the schema.
    """
    if isinstance(node, list):
        return [_tidied(item) for item in node]
    if not isinstance(node, dict):
        return node
    if names:
        return {name: _tidied(item) for name, item in node.items()}
    out = {
        word: _tidied(item, names=word in ("properties", "$defs"))
        for word, item in node.items()
        if word not in ("title", "discriminator", "default", "unit", "typical")
    }
    if "discriminator" in node:
        del out["oneOf"]
        out["$ref"] = "#/$defs/Law"
    options = [item for item in out.get("anyOf", []) if item != {"type": "null"}]
    if len(options) == 1:
        del out["anyOf"]
        out |= {word: item for word, item in options[0].items() if word not in out}
    if isinstance(out.get("description"), str):
        out["description"] = " ".join(out["description"].replace("``", "").split())
    for word in ("default", "unit", "typical"):
        if node.get(word) not in (None, "", [], {}):
            out[word] = node[word]
    if "unit" in out and "description" in out:
        usual = out.get("typical")
        hint = f"; usual: {usual[0]:g} to {usual[1]:g}" if usual else ""
        out["description"] += f" [{out['unit']}{hint}]"
    return out
