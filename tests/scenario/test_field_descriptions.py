"""Forms are made from these descriptions, so they must cover every field and tell the truth."""

import numpy as np
import pytest

import linesim
from linesim.scenario.curves import law_curve
from linesim.scenario.field_descriptions import default_at, field_groups, law_descriptions


def test_every_table_and_field_of_the_schema_is_described():
    schema = linesim.scenario.json_schema()
    tables = set(schema["properties"]) - {"format"}
    assert {group.name for group in field_groups()} == tables
    bridge = next(group for group in field_groups() if group.name == "bridge")
    declared = set(schema["$defs"]["Bridge"]["properties"])
    assert {field.name for field in bridge.fields} == declared - {"doubt"}


def test_what_may_be_doubted_is_numbers_and_laws_of_tables_that_have_doubts():
    stop = next(group for group in field_groups() if group.name == "stop")
    figures = {field.name for field in stop.fields if field.is_figure}
    assert {"every_reams", "restore_min", "people", "since_last"} <= figures
    assert figures.isdisjoint({"cause", "station", "planned", "note"})
    assert not any(part.is_figure for law in law_descriptions() for part in law.fields)


def test_a_file_of_nothing_but_described_defaults_is_the_file_of_nothing():
    data = {
        group.name: {f.name: f.default for f in group.fields if f.default is not None}
        for group in field_groups()
        if not group.is_list and not group.optional
    }
    assert linesim.scenario.check_mapping(data) == linesim.scenario.check_mapping({})


def test_a_known_cause_brings_the_defaults_of_its_entry():
    data = {"stop": [{"cause": "wrapper jam"}, {"cause": "wrapper jam", "every_cuts": 9}]}
    assert default_at(("stop", 0, "station"), data) == "wrapper"
    assert default_at(("stop", 0, "every_reams"), data)["mean"] == 2500
    assert default_at(("stop", 1, "every_reams"), data) is None
    assert default_at(("stop", 1, "people"), data) == 1


def test_the_curve_of_a_law_holds_its_chance():
    for value in (
        {"law": "exponential", "mean": 4},
        {"law": "lognormal", "mean": 6, "sd": 2},
        {"law": "triangular", "low": 1, "mode": 2, "high": 6},
        {"law": "gamma", "mean": 3, "sd": 2},
    ):
        curve = law_curve(value)
        step = curve.values[1] - curve.values[0]
        assert np.sum(curve.density) * step == pytest.approx(0.98, abs=0.001)
        assert curve.values[0] < curve.mean < curve.values[-1]
    assert {law.name for law in law_descriptions()} >= {"constant", "gamma", "empirical"}


def test_a_contradiction_names_the_fields_that_take_part():
    with pytest.raises(linesim.scenario.ScenarioFaults) as caught:
        linesim.scenario.check_mapping({"unwind": {"webs": 7}})
    assert caught.value.faults[0].concerns == ("product.sheets_per_ream", "product.counting")


def test_no_label_stands_twice_in_a_table_and_every_field_has_help():
    for group in field_groups():
        labels = [field.label for field in group.fields]
        assert len(set(labels)) == len(labels), group.name
        assert max(len(label) for label in labels) <= 40
        assert all(field.help for field in group.fields), group.name
