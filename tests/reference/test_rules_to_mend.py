"""Lines on which the program is wrong: what happens at the machine, and a line that shows it.

Each parts from the reference line today. One that agrees is mended: then it belongs to ``lines``.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.line.calm_line import calm
from tests.reference.compared import compared
from tests.reference.lines import FLYING, RAMPS, USUAL

WRONG: dict[str, tuple[float, dict[str, Any]]] = {
    "webs that start close before a flying splice do not go beyond its speed": (
        0.1,
        {
            "cutter": RAMPS | {"run_up_m_per_min_per_s": 0},
            "unwind": FLYING | {"splice_speed_m_per_min": 30, "butt_length_m": 1246},
        },
    ),
}


@pytest.mark.parametrize("rule", WRONG)
@pytest.mark.xfail(raises=AssertionError, strict=True, reason="the program is wrong here")
def test_it_is_as_at_the_machine(rule: str) -> None:
    hours, tables = WRONG[rule]
    assert compared(calm(**USUAL | tables), hours).first_different == ""
