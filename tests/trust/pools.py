"""Many runs to draw repetitions from: made once, kept in a folder if one is named."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesim.fast import simulate
from linesim.scenario import Scenario
from linesim.studies.figures import figures_of
from tests.outside.conftest import run_fed_at_random

Numbers = NDArray[np.float64]
MEASURES = ("good_reams_per_hour", "oee", "performance", "waste_fraction")
_AT_ONCE = 50


@dataclass(frozen=True)
class Maker:
    """How many processes make the runs, and where they are kept."""

    processes: int = 1
    folder: Path | None = None

    def pool(self, name: str, one: Callable[[int], Sequence[float]], count: int) -> Numbers:
        """Figures of the runs 0, 1, ... ``count`` - 1, a row for each."""
        kept = self.folder / f"{name}-{count}.npy" if self.folder is not None else None
        if kept is not None and kept.exists():
            return np.asarray(np.load(kept, allow_pickle=False))
        if self.processes == 1:
            rows = [one(number) for number in range(count)]
        else:
            with ProcessPoolExecutor(self.processes) as workers:
                rows = list(workers.map(one, range(count), chunksize=_AT_ONCE))
        table = np.array(rows, dtype=np.float64)
        if kept is not None:
            kept.parent.mkdir(parents=True, exist_ok=True)
            np.save(kept, table)
        return table


def runs_of_the_line(
    scenario: Scenario, *, seed: int, hours: float, warm_up_h: float
) -> Callable[[int], Sequence[float]]:
    """What gives ``MEASURES`` of one replication, as a study gathers them."""
    return partial(_of_the_line, scenario, seed, hours, warm_up_h)


def _of_the_line(
    scenario: Scenario, seed: int, hours: float, warm_up_h: float, number: int
) -> Sequence[float]:
    record = simulate(
        scenario,
        seed=seed,
        replication=number,
        hours=hours,
        warm_up_h=warm_up_h,
        history=False,
    )
    measures = figures_of(record).measures
    return [measures[name] for name in MEASURES]


def runs_of_a_queue(
    *, gap_s: float, service_s: float, reams: int, seed: int
) -> Callable[[int], Sequence[float]]:
    """What gives, of one run of a single station, the share of time it works and the mean time
    a ream waits and is wrapped, s."""
    return partial(_of_a_queue, gap_s, service_s, reams, seed)


def _of_a_queue(
    gap_s: float, service_s: float, reams: int, seed: int, number: int
) -> Sequence[float]:
    wrapper: Any = [{"wrap_s": {"law": "exponential", "mean": service_s}}]
    (record,) = run_fed_at_random(
        gap_s=gap_s, reams=reams, runs=1, seed=seed * 1_000_000 + number, wrapper=wrapper
    )
    history = record.history
    assert history is not None
    placed = np.repeat(history.set_placed_ns, history.set_reams)[: len(history.ream_end_ns)]
    counted = placed >= record.start_ns
    stays = (np.sort(history.ream_end_ns) - placed)[counted] / 1e9
    return [record.hours_in(record.station("wrapper"), 0) / record.hours, float(stays.mean())]
