"""Scenarios: what a line is, as its file says it."""

from linesim.scenario.contradiction import Contradiction
from linesim.scenario.contradictions import contradictions
from linesim.scenario.faults import Fault, ScenarioFaults
from linesim.scenario.known_causes import KNOWN_CAUSES
from linesim.scenario.loading import (
    check_mapping,
    check_text,
    find_scenario,
    load,
    shipped_scenarios,
)
from linesim.scenario.scenario import Scenario
from linesim.scenario.schema import json_schema
from linesim.scenario.stops import STATIONS, WEB_STATIONS, ForcedStop, Stop
from linesim.scenario.writing import dump, update

__all__ = [
    "KNOWN_CAUSES",
    "STATIONS",
    "WEB_STATIONS",
    "Contradiction",
    "Fault",
    "ForcedStop",
    "Scenario",
    "ScenarioFaults",
    "Stop",
    "check_mapping",
    "check_text",
    "contradictions",
    "dump",
    "find_scenario",
    "json_schema",
    "load",
    "shipped_scenarios",
    "update",
]
