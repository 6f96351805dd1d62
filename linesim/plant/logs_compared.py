"""What the newest of several logs changes: rates that differ from before, and how sure they are."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from linesim.plant.causes_matched import MatchedCause
from linesim.plant.fitting import LEVEL, CauseFit, FittedLaw, Fitter
from linesim.plant.running_meter import Planned
from linesim.plant.several_logs import turns
from linesim.plant.stop_log import StopLog
from linesim.statistics.counts import equal_rates
from linesim.statistics.several_tests import holm

NewFitter = Callable[[Sequence[MatchedCause], Sequence[Planned]], Fitter]


@dataclass(frozen=True)
class CauseOverLogs:
    """A cause before the newest log and in it; ``fit`` is that of all logs.

    ``before`` is the law of its intervals from the logs before alone, None where they have none.
    Exposures are in the unit of the meter, all webs together. ``p`` is the chance of counts so far
    apart at one rate; ``changed`` where that is shown with all causes tested together (Holm 1979).
    """

    fit: CauseFit
    before: FittedLaw | None
    count_before: int
    count_new: int
    exposure_before: float
    exposure_new: float
    p: float
    changed: bool = False

    @property
    def ratio(self) -> float:
        """Its rate in the newest log over that before; infinite where it never came before."""
        new = self.count_new / self.exposure_new
        return new * self.exposure_before / self.count_before if self.count_before else float("inf")

    @property
    def narrower(self) -> float | None:
        """By which share all logs together narrow the interval of its mean, below 0 if wider.

        By the logarithm, since the mean itself moves: from half to twice is as wide at any mean.
        """
        if self.before is None:
            return None
        (low, high), (old_low, old_high) = (
            law.intervals["mean"] for law in (self.fit.interval, self.before)
        )
        return 1 - math.log(high / low) / math.log(old_high / old_low)


@dataclass(frozen=True)
class LogsCompared:
    """All causes, as the fits have them; ``newest`` is the name of the newest log."""

    newest: str
    causes: tuple[CauseOverLogs, ...]


def compare_logs(
    log: StopLog, planned: Sequence[Planned], fits: Sequence[CauseFit], new_fitter: NewFitter
) -> LogsCompared | None:
    """The newest log against those before; None where there is one, or nothing new in it.

    Rates by the exact conditional test (Przyborowski and Wilenski 1940). *new_fitter* makes what
    fits the causes of the logs before alone.
    """
    ends = turns(log)
    if not ends:
        return None
    until = ends[-1]
    earlier = {fit.matched.cause: _earlier(fit.matched, until) for fit in fits}
    fitter = new_fitter(
        [c for c in earlier.values() if c.stops or c.changes], _until(planned, until)
    )
    found = []
    for fit in fits:
        cause, total = earlier[fit.matched.cause], fit.meter.total
        watched = fit.meter.at(until)
        if not 0 < watched < total:
            return None
        old, new = len(cause.stops), fit.count - len(cause.stops)
        before = fitter.fit(cause) if cause.stops else None
        if before is not None and before.meter.field != fit.meter.field:
            before = None
        p = equal_rates(new, total - watched, old, watched)
        law = before.interval if before else None
        found.append(CauseOverLogs(fit, law, old, new, watched, total - watched, p))
    shown = holm([each.p for each in found], 1 - LEVEL)
    newest = [part for part in log.parts if part.stops][-1].name
    return LogsCompared(
        newest, tuple(replace(each, changed=n in shown) for n, each in enumerate(found))
    )


def _earlier(cause: MatchedCause, until: dt.datetime) -> MatchedCause:
    stops, changes = (
        tuple(stop for stop in some if stop.start < until) for some in (cause.stops, cause.changes)
    )
    return replace(cause, stops=stops, changes=changes)


def _until(planned: Sequence[Planned], until: dt.datetime) -> list[Planned]:
    """Planned time before a moment; a shift with counts stays whole."""
    return [
        replace(each, end=min(each.end, until)) if each.reams is None else each
        for each in planned
        if each.start < until
    ]
