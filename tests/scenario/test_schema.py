"""The schema for editors: sound in itself, and it accepts what loading accepts."""

import json
import re
import tomllib
from typing import Any

import pytest

from linesim.scenario import Scenario, ScenarioFaults, check_mapping, json_schema, shipped_scenarios
from linesim.scenario.fields import fields_of, member_types

SCHEMA = json_schema()

TYPES: dict[str, Any] = {
    "object": dict,
    "array": list,
    "string": str,
    "boolean": bool,
    "integer": int,
    "number": (int, float),
}
WORDS = {
    "$schema", "$defs", "$ref", "title", "description", "default", "examples", "unit", "typical",
    "type", "properties", "additionalProperties", "required", "items", "minItems", "maxItems",
    "minimum", "maximum", "exclusiveMinimum", "minLength", "maxLength", "pattern", "enum", "const",
    "anyOf", "oneOf", "if", "else",
}  # fmt: skip


def accepts(schema: dict[str, Any], value: Any) -> bool:
    """Validation as JSON Schema 2020-12 says, for the words that the schema uses."""
    assert set(schema) <= WORDS
    numeric = isinstance(value, (int, float)) and not isinstance(value, bool)
    checks = [
        "$ref" not in schema or accepts(SCHEMA["$defs"][schema["$ref"].split("/")[-1]], value),
        "const" not in schema or value == schema["const"],
        "enum" not in schema or value in schema["enum"],
        "anyOf" not in schema or any(accepts(s, value) for s in schema["anyOf"]),
        "oneOf" not in schema or sum(accepts(s, value) for s in schema["oneOf"]) == 1,
        "if" not in schema or accepts(schema["if"], value) or accepts(schema["else"], value),
    ]
    if "type" in schema:
        right = isinstance(value, TYPES[schema["type"]])
        checks.append(right and (schema["type"] == "boolean") == isinstance(value, bool))
    if numeric:
        checks += [
            value >= schema.get("minimum", value),
            value <= schema.get("maximum", value),
            "exclusiveMinimum" not in schema or value > schema["exclusiveMinimum"],
        ]
    if isinstance(value, str):
        checks.append(schema.get("minLength", 0) <= len(value) <= schema.get("maxLength", 10**9))
        checks.append("pattern" not in schema or re.search(schema["pattern"], value) is not None)
    if isinstance(value, list):
        checks.append(schema.get("minItems", 0) <= len(value) <= schema.get("maxItems", 10**9))
        checks += [accepts(schema.get("items", {}), entry) for entry in value]
    if isinstance(value, dict):
        known = schema.get("properties", {})
        checks += [name in value for name in schema.get("required", [])]
        checks += [accepts(known[name], inner) for name, inner in value.items() if name in known]
        checks.append(schema.get("additionalProperties", True) or set(value) <= set(known))
    return all(checks)


def every(node: Any) -> list[dict[str, Any]]:
    inner = node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()
    return ([node] if isinstance(node, dict) else []) + [d for i in inner for d in every(i)]


def test_it_can_be_written_as_json() -> None:
    assert json.loads(json.dumps(SCHEMA, allow_nan=False)) == SCHEMA


def test_every_reference_leads_somewhere_and_nothing_is_left_over() -> None:
    named = {node["$ref"].removeprefix("#/$defs/") for node in every(SCHEMA) if "$ref" in node}
    assert named == set(SCHEMA["$defs"])


@pytest.mark.parametrize("name", shipped_scenarios())
def test_it_accepts_the_demos(name: str) -> None:
    assert accepts(SCHEMA, tomllib.loads(shipped_scenarios()[name].read_text("utf-8")))


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"unwind": {"change_min": 5}},
        {"unwind": {"change_min": {"mean": 5}}},
        {"stop": [{"cause": "own", "station": "cutter", "every_cuts": 5, "restore_min": 2}]},
    ],
)
def test_it_accepts_what_loading_accepts(data: dict[str, Any]) -> None:
    check_mapping(data)
    assert accepts(SCHEMA, data)


@pytest.mark.parametrize(
    "data",
    [
        {"brige": {}},
        {"bridge": {"place": 3}},
        {"bridge": {"places": 0}},
        {"bridge": {"places": "20"}},
        {"bridge": {"when_full": "hope"}},
        {"unwind": {"change_min": {"law": "lognormal", "mean": 5}}},
        {"unwind": {"change_min": {"mean": 5, "sd": 2}}},
        {"unwind": {"change_min": -5}},
        {"stop": [{"cause": "own"}]},
        {"stop": [{"cause": "own", "station": "cutter", "restore_min": 2}]},
        {"wrapper": []},
    ],
)
def test_it_refuses_what_loading_refuses(data: dict[str, Any]) -> None:
    with pytest.raises(ScenarioFaults):
        check_mapping(data)
    assert not accepts(SCHEMA, data)


def test_every_field_has_a_help_text_and_its_unit() -> None:
    tables = {
        member
        for info in Scenario.model_fields.values()
        for member in member_types(info.annotation)
        if hasattr(member, "model_fields")
    }
    assert len(tables) > 20
    for table in tables:
        properties = SCHEMA["$defs"][table.__name__]["properties"]
        assert set(properties) == set(fields_of(table))
        for name, info in fields_of(table).items():
            assert len(properties[name]["description"]) > 3, name
            assert isinstance(info.json_schema_extra, dict)
            unit = info.json_schema_extra["unit"]
            assert not unit or f"[{unit}" in properties[name]["description"]
            if name.endswith(("_mm", "_m", "_s", "_min", "_h", "_kg", "_m_per_min", "_reams")):
                assert unit, name
