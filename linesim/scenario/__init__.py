"""Scenarios: what a line is, as its file says it."""

from linesim.scenario.scenario import Scenario
from linesim.scenario.stops import KNOWN_CAUSES, STATIONS, WEB_STATIONS, ForcedStop, Stop

__all__ = ["KNOWN_CAUSES", "STATIONS", "WEB_STATIONS", "ForcedStop", "Scenario", "Stop"]
