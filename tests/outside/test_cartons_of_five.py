"""A carton of five reams on the line's own carton packer: batches that a random server packs.

Reams come to the bridge at exponential intervals and are wrapped in no time. A packer of the
highest speed stands after every carton, for an exponential time: that is its work at it.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import integrate, stats

from linesim.record import Record, State
from tests.theory import formulas as theory

REAMS, LOAD, PACK_S = 5, 0.8, 20.0
GAP_S = PACK_S / LOAD / REAMS
FASTEST = 1e7
REACHES = (1, 8, 20)
Numbers = NDArray[np.float64]


def excess(k: int) -> float:
    """E[(sum of k packings - sum of k times between cartons)+]."""
    work, time = stats.gamma(k, scale=PACK_S), stats.gamma(k * REAMS, scale=GAP_S)
    far = work.mean() + 30 * work.std()
    return float(integrate.quad(lambda t: work.sf(t) * time.cdf(t), 0, far, limit=200)[0])


def cartons(record: Record) -> tuple[Numbers, Numbers, Numbers]:
    """When each carton begun in the counted time had its reams, was begun, and was done; in s."""
    history, book = record.history, record.books.cartons
    assert history is not None
    assert book is not None
    packer = record.station("carton_packer")
    spans = history.spans.of(packer)
    work = (spans.state == State.DOWN) & (spans.start_ns > record.start_ns)
    work &= spans.end_ns < record.end_ns
    begun, done = spans.start_ns[work] / 1e9, spans.end_ns[work] / 1e9
    wrapped = np.sort(history.ream_end_ns)
    packed = (np.count_nonzero(wrapped <= record.start_ns) - book.at_start) // REAMS
    full = wrapped[REAMS - 1 :: REAMS][packed:][: len(begun)] / 1e9
    return full, begun, done


@pytest.fixture(scope="module")
def found(fed_at_random: Any) -> list[tuple[Numbers, Numbers, Numbers]]:
    records = fed_at_random(
        gap_s=GAP_S,
        reams=20_000,
        runs=24,
        seed=51,
        wrapper=[{"rate_reams_per_min": FASTEST}],
        carton_packer={"rate_cartons_per_min": FASTEST, "conveyor_reams": 1_000_000},
        stop=[
            {
                "cause": "packing",
                "station": "carton_packer",
                "people": 0,
                "every_reams": REAMS,
                "restore_min": {"law": "exponential", "mean": PACK_S / 60},
            }
        ],
    )
    return [cartons(record) for record in records]


def test_every_single_carton(found: Any) -> None:
    """It is begun when it has its reams and the one before is done: Lindley (1952)."""
    for full, begun, done in found:
        assert len(full) > 3500
        assert np.all(begun >= full)
        due = np.maximum(full[1:], done[:-1])
        assert np.allclose(begun[1:], due, atol=2e-5, rtol=0)


def test_how_long_a_carton_waits_and_how_many_there_are(found: Any, estimated: Any) -> None:
    """E5/M/1 at load 0.8 (GI/M/1): Kleinrock (1975), Cohen (1982): Wq = 2.15226 packing times,
    L = 2.52181 cartons.

    One per cent would take a million cartons; each wait is checked exactly by the test above."""
    truth = theory.batches_m1(REAMS, 1 / GAP_S, 1 / PACK_S)
    assert truth.wait / PACK_S == pytest.approx(2.15226, abs=5e-6)
    assert truth.in_system == pytest.approx(2.52181, abs=5e-6)
    gaps = [np.diff(full) for full, _, _ in found]
    work = [done - begun for _, begun, done in found]
    known = [
        [gap.mean() - REAMS * GAP_S for gap in gaps],
        [pack.mean() - PACK_S for pack in work],
    ]
    for k in REACHES:
        expected, column = excess(k), []
        for gap, pack in zip(gaps, work, strict=True):
            surplus = np.concatenate([[0], np.cumsum(pack[:-1] - gap)])
            column.append(float(np.maximum(surplus[k:] - surplus[:-k], 0).mean()) - expected)
        known.append(column)
    waits = [(begun - full).mean() for full, begun, _ in found]
    estimated(waits, *known).must_be(truth.wait, within=0.04)
    held = [(done - full).sum() / (done[-1] - full[0]) for full, _, done in found]
    estimated(held, *known).must_be(truth.in_system, within=0.04)
