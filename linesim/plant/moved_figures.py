"""What a new fit moves in a scenario that holds the fit of another log already."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from linesim.plant.few_stops import Ends
from linesim.plant.fit_doubts import mean_of
from linesim.plant.fitting import CauseFit
from linesim.plant.into_scenario import as_law, times_written, why_not_written
from linesim.scenario import Scenario


@dataclass(frozen=True)
class MovedFigure:
    """A mean as it stands in the scenario, from an earlier log, and as it is fitted now."""

    cause: str
    field: str
    old: float
    old_ends: Ends
    new: float
    new_ends: Ends

    @property
    def outside(self) -> bool:
        """Whether it is now outside of what the earlier log allowed."""
        return not self.old_ends[0] <= self.new <= self.old_ends[1]


def moved_figures(fits: Sequence[CauseFit], scenario: Scenario) -> tuple[MovedFigure, ...]:
    """Means that a log gave the scenario, with its ends, beside those of these fits."""
    found = []
    for fit in fits:
        if fit.matched.place is None or why_not_written(fit):
            continue
        stop = scenario.stop[fit.matched.place]
        now = {
            fit.meter.field: (mean_of(as_law(fit.interval)), fit.interval),
            "restore_min": (mean_of(times_written(fit, stop)), fit.restore_min),
        }
        for doubt in stop.doubt:
            field = doubt.of.removesuffix(".mean")
            if doubt.stops and field in now:
                mean, law = now[field]
                old, ends = getattr(stop, field).average(), law.intervals["mean"]
                found.append(MovedFigure(stop.cause, field, old, doubt.between, mean, ends))
    return tuple(found)
