"""A ramp by hand that is half said is a fault; a way to slow down without a level is remarked."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.scenario import Scenario, contradictions
from linesim.scenario.faults import dotted
from linesim.scenario.remarks import remarks

CLASHES: dict[str, tuple[dict[str, Any], str]] = {
    "a step without minutes": (
        {"hand_ramp_fractions": [0.3, 0.6], "hand_ramp_min": [1]},
        "cutter.hand_ramp_min",
    ),
    "minutes without a step": ({"hand_ramp_min": [1]}, "cutter.hand_ramp_min"),
    "a step that is no faster": (
        {"hand_ramp_fractions": [0.6, 0.6], "hand_ramp_min": [1, 1]},
        "cutter.hand_ramp_fractions",
    ),
    "long standstills and no steps": (
        {"hand_ramp_after_min": 30},
        "cutter.hand_ramp_after_min",
    ),
    "rejects and no steps": ({"hand_ramp_rejects": True}, "cutter.hand_ramp_rejects"),
}


@pytest.mark.parametrize("name", CLASHES)
def test_what_is_half_said_is_a_fault(name: str) -> None:
    data, field = CLASHES[name]
    found = contradictions(Scenario.model_validate({"cutter": data}))
    assert [dotted(clash.path) for clash in found] == [field]


def test_a_whole_ramp_is_none() -> None:
    data = {"hand_ramp_fractions": [0.3], "hand_ramp_min": [1], "hand_ramp_rejects": True}
    assert contradictions(Scenario.model_validate({"cutter": data})) == []


def test_slowing_without_a_level_is_remarked() -> None:
    text = 'format = 1\n[bridge]\nslowing = "in_proportion"\n'
    assert [remark.field for remark in remarks(text)] == ["bridge.slowing"]
    assert remarks(text + "slow_at_reams = 5\n") == []
