"""Contradictions of the speed: a ramp by hand that is half said."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from linesim.scenario.faults import Contradiction, at
from linesim.scenario.scenario import Scenario
from linesim.statistics.formatting import counted

_STEPS = at("cutter", "hand_ramp_fractions", "hand_ramp_min")


def _hand_ramp(s: Scenario) -> Iterator[Contradiction]:
    parts, minutes = s.cutter.hand_ramp_fractions, s.cutter.hand_ramp_min
    if len(parts) != len(minutes):
        yield Contradiction(
            ("cutter", "hand_ramp_min"),
            f"{counted(len(parts), 'step')} of a ramp by hand, and the minutes of {len(minutes)}",
            "as many minutes as speeds in hand_ramp_fractions",
            _STEPS,
        )
    if any(later <= part for part, later in pairwise(parts)):
        yield Contradiction(
            ("cutter", "hand_ramp_fractions"),
            "a step of the ramp is not faster than the one before it",
            "parts of rated speed that rise, such as [0.33, 0.67]",
        )
    if parts or minutes:
        return
    for name in ("hand_ramp_after_min", "hand_ramp_rejects"):
        if getattr(s.cutter, name) not in (None, False):
            yield Contradiction(
                ("cutter", name),
                "there is no ramp by hand",
                "hand_ramp_fractions and hand_ramp_min with it, or neither",
                _STEPS,
            )


CHECKS = (_hand_ramp,)
