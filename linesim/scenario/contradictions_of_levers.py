"""What is not to be touched must be something that could be."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.scenario.faults import Contradiction
from linesim.scenario.levers_table import LEVERS
from linesim.scenario.scenario import Scenario
from linesim.scenario.spelling import nearest


def _off(s: Scenario) -> Iterator[Contradiction]:
    for word in s.levers.left_alone:
        if word not in LEVERS:
            guess = nearest(word, list(LEVERS))
            right = (f'"{guess}"; ' if guess else "") + "one of " + ", ".join(LEVERS)
            yield Contradiction(("levers", "off"), f"there is no lever {word!r}", right)


CHECKS = (_off,)
