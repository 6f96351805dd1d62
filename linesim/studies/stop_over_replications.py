"""What one and the same forced stop costs, over many replications.

A single pair of runs says what a stop did to one shift; the next shift answers differently, by how
full the bridge was and what else stood. Here the same stop meets many shifts, each run with and
without it with the same random numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from linesim.fast import simulate
from linesim.scenario import ForcedStop, Scenario
from linesim.statistics import Interval, student_interval

REPLICATIONS = 40
"""Pairs of runs: enough to tell a mean from its spread."""


@dataclass(frozen=True)
class StopOverReplications:
    """``reams_lost`` are good reams fewer by the end of the run, by replication.

    Below 0 where chance made them more.
    """

    reams_lost: tuple[int, ...]
    hours: float
    """Length of each run."""

    @property
    def interval(self) -> Interval | None:
        """The mean with its interval of 95 %; None for a single replication."""
        return student_interval(self.reams_lost) if len(self.reams_lost) > 1 else None

    @property
    def least(self) -> int:
        """The fewest reams lost in any replication."""
        return min(self.reams_lost)

    @property
    def most(self) -> int:
        """The most reams lost in any replication."""
        return max(self.reams_lost)


def stop_cost_over_replications(
    scenario: Scenario,
    forced: Sequence[ForcedStop],
    *,
    hours: float,
    seed: int = 1,
    replications: int = REPLICATIONS,
    progress: Callable[[int, int], bool] | None = None,
) -> StopOverReplications:
    """Run the line ``replications`` times with and without the stops, each pair a replication.

    ``hours`` is the length of each run. ``progress`` is called with the pairs done and asked for;
    where it returns False the answer rests on the pairs so far. Raises ``ValueError`` for fewer
    than one replication, hours not above 0, or a stop at no station of the line.
    """
    if replications < 1:
        raise ValueError(f"replications is {replications}; it must be 1 or more")
    lost: list[int] = []
    for number in range(replications):
        without, with_stop = (
            simulate(
                scenario,
                seed=seed,
                replication=number,
                hours=hours,
                history=False,
                forced=stops,
            ).books.reams.good
            for stops in ((), tuple(forced))
        )
        lost.append(without - with_stop)
        if progress is not None and not progress(number + 1, replications):
            break
    return StopOverReplications(tuple(lost), hours)
