"""Small lines with orders, quick to run."""

from __future__ import annotations

from typing import Any

from linesim.scenario import Scenario
from tests.line.calm_line import calm

THIN: dict[str, Any] = {"thickness_um": 90, "grammage_g_per_m2": 70}
LONG: dict[str, Any] = {"sheet_length_mm": 450}


def calm_orders(**tables: Any) -> Scenario:
    """Nothing goes wrong: 400 reams take 100 sets of 7.5 s; a grade 6 min, a size 12 min."""
    orders = [
        {"name": "first", "reams": 400, "due_h": 0.3},
        {"name": "thin", "reams": 400, "due_h": 2, **THIN},
        {"name": "last", "reams": 400, "due_h": 0.5},
    ]
    usual: dict[str, Any] = {
        "order": orders,
        "changeover": {"grade_min": 6, "size_min": 12, "people": 0},
    }
    return calm(**(usual | tables))


def lively_orders() -> Scenario:
    """The same with change-overs of uncertain length and a stop now and then."""
    return calm_orders(
        changeover={
            "grade_min": {"law": "exponential", "mean": 6},
            "size_min": 12,
            "people": 0,
        },
        stop=[
            {
                "cause": "jam",
                "station": "wrapper",
                "every_running_h": {"law": "exponential", "mean": 0.2},
                "restore_min": {"law": "exponential", "mean": 2},
                "people": 0,
            }
        ],
    )
