"""Two carton packers of five reams, fed at random: batches that the first free server packs.

As in ``test_cartons_of_five``, but with two packers, each of half the speed.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import integrate, stats

from linesim.record import Record, State
from tests.theory import formulas as theory

REAMS, LOAD, PACK_S, PACKERS = 5, 0.8, 40.0, ("near", "far")
GAP_S = PACK_S / len(PACKERS) / LOAD / REAMS
FASTEST = 1e7
REACHES = (1, 8, 20)
Numbers = NDArray[np.float64]
Found = tuple[Numbers, Numbers, Numbers, NDArray[np.int64]]


def chain(most: int = 250) -> float:
    """Mean number of cartons, by the chain of reams that wait for each other and of cartons."""
    reams, packs, states = 1 / GAP_S, 1 / PACK_S, REAMS * (most + 1)
    rates = np.zeros((states, states))
    for cartons in range(most + 1):
        for group in range(REAMS):
            here = cartons * REAMS + group
            if here + 1 < states:
                # One more ream: it waits for the others, or makes a carton of them.
                rates[here, here + 1] += reams
            if cartons:
                rates[here, here - REAMS] += min(cartons, len(PACKERS)) * packs
    rates -= np.diag(rates.sum(axis=1))
    balance = rates.T.copy()
    balance[-1] = 1
    shares = np.linalg.solve(balance, np.eye(states)[-1])
    return float((np.arange(states) // REAMS) @ shares)


def excess(k: int) -> float:
    """E[(half the sum of k packings - sum of k times between cartons)+]."""
    work, time = stats.gamma(k, scale=PACK_S / len(PACKERS)), stats.gamma(k * REAMS, scale=GAP_S)
    far = work.mean() + 30 * work.std()
    return float(integrate.quad(lambda t: work.sf(t) * time.cdf(t), 0, far, limit=200)[0])


def cartons(record: Record) -> Found:
    """When each carton begun in the counted time had its reams, was begun and done, and where."""
    history, book = record.history, record.books.cartons
    assert history is not None
    assert book is not None
    rows = []
    for number, name in enumerate(PACKERS):
        spans = history.spans.of(record.station(name))
        work = (spans.state == State.DOWN) & (spans.start_ns > record.start_ns)
        ends = spans.start_ns[work], spans.end_ns[work]
        rows += [(*row, number) for row in zip(*ends, strict=True)]
    begun, done, packer = (np.array(column) for column in zip(*sorted(rows), strict=True))
    # What the run's end cuts off was begun last, or nearly: what comes after it is left out.
    whole = int(np.argmax(done >= record.end_ns)) if np.any(done >= record.end_ns) else len(done)
    begun, done = begun[:whole] / 1e9, done[:whole] / 1e9
    wrapped = np.sort(history.ream_end_ns)
    packed = (np.count_nonzero(wrapped <= record.start_ns) - book.at_start) // REAMS
    full = wrapped[REAMS - 1 :: REAMS][packed:][:whole] / 1e9
    return full, begun, done, packer[:whole]


@pytest.fixture(scope="module")
def found(fed_at_random: Any) -> list[Found]:
    packer = {"rate_cartons_per_min": FASTEST, "conveyor_reams": 500_000}
    records = fed_at_random(
        gap_s=GAP_S,
        reams=20_000,
        runs=24,
        seed=53,
        wrapper=[{"rate_reams_per_min": FASTEST}],
        carton_packer=[packer | {"name": name} for name in PACKERS],
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
    """It is begun when it has its reams and one of two is free, by the first that is.

    Kiefer and Wolfowitz (1955): a queue before several servers.
    """
    for full, begun, done, packer in found:
        assert len(full) > 3500
        free: dict[int, float] = {}
        for number in range(len(full)):
            if len(free) == len(PACKERS):
                due = max(full[number], min(free.values()))
                assert abs(begun[number] - due) < 4e-5
                there = [each for each in sorted(free) if free[each] <= due + 4e-5]
                assert packer[number] == there[0]
            free[int(packer[number])] = done[number]


def test_how_long_a_carton_waits_and_how_many_there_are(found: Any, estimated: Any) -> None:
    """E5/M/2 at load 0.8 (GI/M/2): Takács (1962), Kleinrock (1975): Wq = 0.91835 packing times,
    L = 3.06936 cartons, which the chain of all its states gives as well."""
    truth = theory.batches_mc(REAMS, 1 / GAP_S, 1 / PACK_S, len(PACKERS))
    assert truth.wait / PACK_S == pytest.approx(0.91835, abs=5e-6)
    assert truth.in_system == pytest.approx(3.06936, abs=5e-6)
    assert chain() == pytest.approx(truth.in_system, abs=1e-6)
    gaps = [np.diff(full) for full, *_ in found]
    work = [done - begun for _, begun, done, _ in found]
    known = [
        [gap.mean() - REAMS * GAP_S for gap in gaps],
        [pack.mean() - PACK_S for pack in work],
    ]
    for k in REACHES:
        expected, column = excess(k), []
        for gap, pack in zip(gaps, work, strict=True):
            surplus = np.concatenate([[0], np.cumsum(pack[:-1] / len(PACKERS) - gap)])
            column.append(float(np.maximum(surplus[k:] - surplus[:-k], 0).mean()) - expected)
        known.append(column)
    waits = [(begun - full).mean() for full, begun, *_ in found]
    estimated(waits, *known).must_be(truth.wait, within=0.04)
    held = [(done - full).sum() / (done.max() - full[0]) for full, _, done, _ in found]
    estimated(held, *known).must_be(truth.in_system, within=0.04)
