"""Fields that are each legal and cannot be true together."""

from __future__ import annotations

from linesim.scenario import (
    contradictions_of_cartons,
    contradictions_of_doubt,
    contradictions_of_levers,
    contradictions_of_material,
    contradictions_of_orders,
    contradictions_of_people,
    contradictions_of_reels,
    contradictions_of_running,
    contradictions_of_speed,
    contradictions_without_end,
)
from linesim.scenario.faults import Contradiction
from linesim.scenario.scenario import Scenario


def contradictions(scenario: Scenario) -> list[Contradiction]:
    """Everything in *scenario* that cannot be true together; empty for a sound one."""
    checks = (
        *contradictions_of_material.CHECKS,
        *contradictions_of_reels.CHECKS,
        *contradictions_of_running.CHECKS,
        *contradictions_of_people.CHECKS,
        *contradictions_of_speed.CHECKS,
        *contradictions_of_cartons.CHECKS,
        *contradictions_of_orders.CHECKS,
        *contradictions_of_levers.CHECKS,
        *contradictions_without_end.CHECKS,
        *contradictions_of_doubt.CHECKS,
    )
    return [clash for check in checks for clash in check(scenario)]
