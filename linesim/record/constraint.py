"""Which station holds the line: by net rate, and by who waits for whom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True)
class Waits:
    """How a station waited: shares of its time, 0 to 1."""

    station: str
    starved: float
    blocked: float


def by_pattern(line: Sequence[Waits]) -> str:
    """The station that holds the line, told from a run alone.

    Between neighbours an arrow points downstream where the upstream one is blocked more than the
    downstream one is starved, else upstream; the station at which arrows only arrive is the
    bottleneck, and of several the one whose neighbours wait most for it (C.-T. Kuo, J.-T. Lim
    and S. M. Meerkov, *Bottlenecks in serial production lines: a system-theoretic approach*,
    1996). ``line`` is in the order of the paper. Raises ``ValueError`` for an empty line.

    >>> by_pattern([Waits("sheeter", 0, 0.2), Waits("wrapper", 0.05, 0)])
    'wrapper'
    """
    if not line:
        raise ValueError("line is empty; it must hold one station or more")
    pulls = [up.blocked - down.starved for up, down in pairwise(line)]
    found: list[tuple[float, int]] = []
    for number in range(len(line)):
        before = pulls[number - 1] if number > 0 else None
        after = pulls[number] if number < len(pulls) else None
        if (before is None or before > 0) and (after is None or after <= 0):
            severity = (before or 0.0) - (after or 0.0)
            found.append((severity, -number))
    return line[-max(found)[1]].station
