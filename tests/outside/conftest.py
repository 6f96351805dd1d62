"""A line pared down until a textbook case is left, and the judging of what it did.

The webs cut one small sheet for each ream, at once and without end, so that what the transfer,
the bridge, the wrappers and the crew do with a ream is all that happens.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from linesim.fast import simulate
from linesim.record import Record, State
from linesim.scenario import ForcedStop, Scenario, contradictions
from linesim.statistics import student_interval

Numbers = NDArray[np.float64]
NS_PER_S = 1_000_000_000
STORE_SETS = 1500
SETTLING_REAMS = 300
STANDARD_ERRORS = 4

PARED_DOWN: dict[str, Any] = {
    "product": {
        "sheet_width_mm": 50,
        "sheet_length_mm": 50,
        "sheets_per_ream": 1,
        "grammage_g_per_m2": 20,
        "thickness_um": 20,
    },
    "start": {"state": "new"},
    "reels": {"diameter_mm": 2200, "diameter_sd_mm": 0, "core_diameter_mm": 30},
    "unwind": {"webs": 1, "change_min": 0, "change_people": 0, "butt_length_m": 0},
    "web_path": {"path_length_m": 0},
    "slitter": {"lanes": 1, "edge_trim_mm": 0},
    "cutter": {
        "web_speed_m_per_min": 100_000,
        "max_cuts_per_min": 1e7,
        "run_up_m_per_min_per_s": 0,
        "run_down_m_per_min_per_s": 0,
    },
    "overlap_belt": {"hold_cuts": 0},
    "transfer": {"pick_s": 0, "carry_s": 0, "place_s": 0, "return_s": 0, "paces_webs": False},
    "bridge": {"places": 100_000_000, "belt_speed_m_per_min": 0},
}


def pared_down_line(**changes: Any) -> Scenario:
    """The pared-down line; a mapping changes fields of a table, anything else replaces it."""
    data = dict(PARED_DOWN)
    for table, change in changes.items():
        old = data.get(table)
        data[table] = old | change if isinstance(change, dict) and old else change
    scenario = Scenario.model_validate(data)
    assert contradictions(scenario) == []
    return scenario


@dataclass(frozen=True)
class Estimate:
    """A mean over replications, with its standard error and 95 % half width."""

    mean: float
    error: float
    half_width: float

    def must_be(self, truth: float, *, within: float = 0.01) -> None:
        """The truth lies within 4 standard errors, and the 95 % interval is this narrow."""
        assert self.half_width <= within * abs(self.mean), f"too wide to check anything: {self}"
        assert abs(self.mean - truth) <= STANDARD_ERRORS * self.error, f"{truth} is not {self}"


def estimate(values: Sequence[float], *controls: Sequence[float]) -> Estimate:
    """The mean, narrowed by what is known: each control is a mean of draws less its true value.

    Control variates (Lavenberg and Welch 1981): the values are regressed on the controls, and
    the value at controls of 0 is the estimate. Controls are made of draws only, never of what
    the line made of them, so they cannot hide a fault of the line.
    """
    y = np.asarray(values, dtype=np.float64)
    x = np.column_stack([np.ones(len(y)), *(np.asarray(c, dtype=np.float64) for c in controls)])
    fitted = np.linalg.lstsq(x, y, rcond=None)[0]
    rest = y - x @ fitted
    variance = float(rest @ rest) / (len(y) - x.shape[1])
    error = math.sqrt(variance * float(np.linalg.inv(x.T @ x)[0, 0]))
    by_error = student_interval(y).half_width / (float(y.std(ddof=1)) / math.sqrt(len(y)))
    return Estimate(float(fitted[0]), error, by_error * error)


@dataclass(frozen=True)
class Passage:
    """Reams of one run that were set on the bridge in the counted time. Times in s."""

    record: Record
    placed: Numbers
    start: Numbers
    """When a wrapper took the ream; first in, first out."""
    end: Numbers
    """When a wrapper was done with one, in order of time."""
    gap: Numbers
    """From the ream before to this one."""
    service: Numbers
    """Wrapping times, in the order of the starts."""
    number: Numbers
    """Time-average share of 0, 1, 2, ... reams on the bridge and in the wrappers."""

    @property
    def wait(self) -> Numbers:
        """From the bridge to a wrapper."""
        return self.start - self.placed


def _passage(record: Record) -> Passage:
    history = record.history
    assert history is not None
    order = np.argsort(history.ream_start_ns, kind="stable")
    start, end = history.ream_start_ns[order], history.ream_end_ns[order]
    placed = np.repeat(history.set_placed_ns, history.set_reams)
    counted = placed[: len(start)] >= record.start_ns
    assert np.count_nonzero(~counted) > 0, "the first ream counted needs one before it"
    gaps = np.diff(placed)[: len(start) - 1]
    return Passage(
        record,
        placed[: len(start)][counted] / NS_PER_S,
        start[counted] / NS_PER_S,
        np.sort(end[counted]) / NS_PER_S,
        gaps[counted[1:]] / NS_PER_S,
        (end - start)[counted] / NS_PER_S,
        _number_shares(placed, history.ream_end_ns, record.start_ns, record.end_ns),
    )


def _number_shares(
    placed: NDArray[np.int64], ended: NDArray[np.int64], start_ns: int, end_ns: int
) -> Numbers:
    times = np.concatenate([[start_ns], placed, ended, [end_ns]])
    steps = np.concatenate([[0], np.ones(len(placed), int), -np.ones(len(ended), int), [0]])
    order = np.argsort(times, kind="stable")
    times, number = times[order], np.cumsum(steps[order])
    lengths = np.diff(np.clip(times, start_ns, end_ns)).astype(np.float64)
    shares = np.bincount(np.maximum(number[:-1], 0), weights=lengths)
    return shares / shares.sum()


def run_fed_at_random(
    *, gap_s: float, reams: int, runs: int, seed: int, history: bool = True, **changes: Any
) -> list[Record]:
    """Runs with single reams on the bridge at exponential intervals of mean ``gap_s``.

    The transfer carries for an exponential time and finds a set whenever it comes back: it
    stands at first, until the overlap belt holds a store, and the webs run at its mean pace.
    """
    scenario = pared_down_line(
        cutter={"web_speed_m_per_min": 0.05 * 60 / gap_s},
        overlap_belt={"hold_cuts": 100_000},
        transfer={"carry_s": {"law": "exponential", "mean": gap_s}},
        **changes,
    )
    stands = ForcedStop(station="transfer", at_h=0, minutes=STORE_SETS * gap_s / 60)
    records = [
        simulate(
            scenario,
            seed=seed,
            replication=run,
            hours=reams * gap_s / 3600,
            warm_up_h=(STORE_SETS + SETTLING_REAMS) * gap_s / 3600,
            history=history,
            forced=(stands,),
        )
        for run in range(runs)
    ]
    for record in records:
        transfer = record.station("transfer")
        assert record.hours_in(transfer, State.STARVED) == 0, "the store of sets ran empty"
        assert record.books.faults() == []
    return records


@pytest.fixture(scope="session")
def line() -> Callable[..., Scenario]:
    """``pared_down_line``."""
    return pared_down_line


@pytest.fixture(scope="session")
def estimated() -> Callable[..., Estimate]:
    """``estimate``."""
    return estimate


@pytest.fixture(scope="session")
def fed_at_random() -> Callable[..., list[Record]]:
    """``run_fed_at_random``."""
    return run_fed_at_random


@pytest.fixture(scope="session")
def passages() -> Callable[..., list[Passage]]:
    """Passages of the reams through runs with history."""
    return lambda records: [_passage(record) for record in records]
