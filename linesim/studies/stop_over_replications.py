"""What one and the same forced stop costs, over many replications.

A single pair of runs says what a stop did to one shift; the next shift answers differently, by how
full the bridge was and what else stood. Here the same stop meets many shifts, each run with and
without it with the same random numbers, and in plants that agree with what is known of the line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from linesim.fast import simulate
from linesim.scenario import ForcedStop, Scenario
from linesim.statistics import SQUARE, Crossing, Interval, interval_of
from linesim.statistics.crossed import FEWEST_SQUARES
from linesim.studies.differences import crossing_of
from linesim.studies.plants_met import PlantsMet, corner_of

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
    crossing: Crossing | None = None
    """What is foreseen of the plants, where something of the line is doubted."""

    @property
    def interval(self) -> Interval | None:
        """The mean with its interval of 95 %; None for too few replications."""
        if len(self.reams_lost) < (2 if self.crossing is None else FEWEST_SQUARES * SQUARE):
            return None
        return interval_of(self.reams_lost, crossed=self.crossing)

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

    Where something is doubted they are made whole squares, two at least.
    ``hours`` is the length of each run. ``progress`` is called with the pairs done and asked for;
    where it returns False the answer rests on the pairs so far. Raises ``ValueError`` for fewer
    than one replication, hours not above 0, or a stop at no station of the line.
    """
    if replications < 1:
        raise ValueError(f"replications is {replications}; it must be 1 or more")
    met = PlantsMet(scenario, seed)
    if met.crossed:
        replications = SQUARE * max(FEWEST_SQUARES, -(-replications // SQUARE))
    lost: list[int] = []
    for number in range(replications):
        plant, replication = corner_of(number) if met.crossed else (0, number)
        line = met.line(met.stated, plant)
        without, with_stop = (
            simulate(
                line,
                seed=seed,
                replication=replication,
                hours=hours,
                history=False,
                forced=stops,
            ).books.reams.good
            for stops in ((), tuple(forced))
        )
        lost.append(without - with_stop)
        if progress is not None and not progress(number + 1, replications):
            break
    crossing = None
    if met.crossed:
        crossing = crossing_of([met.foreseen(1 + n) for n in range(len(lost) // SQUARE)])
    return StopOverReplications(tuple(lost), hours, crossing)
