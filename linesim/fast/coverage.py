"""What the compiled engine does not cover; the SimPy line runs those scenarios."""

from __future__ import annotations

from linesim.fast import layout
from linesim.scenario import Scenario


def reasons_not_covered(scenario: Scenario) -> tuple[str, ...]:
    """Why the SimPy line must run this scenario, in words; empty where the engine covers it."""
    reasons = []
    if scenario.order:
        reasons.append("orders: a change-over changes sheet, reels and speed")
    if scenario.rework.places > layout.JOBS:
        reasons.append(f"rework: more than {layout.JOBS} places")
    if scenario.bridge_places >= layout.QUEUE:
        reasons.append(f"bridge: {layout.QUEUE} places or more")
    causes = sum(
        (scenario.unwind.webs if stop.per_web else 1)
        * (len(scenario.wrapper) if stop.station == "wrapper" else 1)
        for stop in scenario.stop
    )
    if causes > layout.CAUSES:
        reasons.append(f"stop causes: more than {layout.CAUSES}, counted web by web")
    return tuple(reasons)
