"""The fluid line against a chain of many small levels, which shares nothing with the solver."""

import numpy as np
import pytest
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

from tests.theory.formulas import UnreliableStation, two_station_fluid


def chain_throughput(
    first: UnreliableStation, second: UnreliableStation, buffer: float, levels: int
) -> float:
    """Throughput when the level moves in steps of buffer/levels, by brute force."""
    step = buffer / levels
    count = 4 * (levels + 1)
    rows, columns, rates = [], [], []
    passed = np.zeros(count)

    def number(level: int, first_up: int, second_up: int) -> int:
        return 4 * level + 2 * first_up + second_up

    for level in range(levels + 1):
        for up1 in (0, 1):
            for up2 in (0, 1):
                here = number(level, up1, up2)
                inflow, outflow = first.speed * up1, second.speed * up2
                if level == 0:
                    outflow = min(inflow, outflow)
                if level == levels:
                    inflow = min(inflow, outflow)
                passed[here] = outflow
                moves = []
                if up1:
                    working = inflow / first.speed
                    moves.append((number(level, 0, up2), working / first.mean_time_to_failure))
                else:
                    moves.append((number(level, 1, up2), 1 / first.mean_time_to_repair))
                if up2:
                    working = outflow / second.speed
                    moves.append((number(level, up1, 0), working / second.mean_time_to_failure))
                else:
                    moves.append((number(level, up1, 1), 1 / second.mean_time_to_repair))
                net = inflow - outflow
                if net:
                    moves.append(
                        (number(level + (1 if net > 0 else -1), up1, up2), abs(net) / step)
                    )
                for there, rate in moves:
                    rows += [there, here]
                    columns += [here, here]
                    rates += [rate, -rate]
    balance = coo_matrix((rates, (rows, columns)), shape=(count, count)).tolil()
    balance[0, :] = 1.0
    wanted = np.zeros(count)
    wanted[0] = 1.0
    share = spsolve(balance.tocsc(), wanted)
    return float(passed @ share)


@pytest.mark.parametrize(
    ("first", "second", "buffer"),
    [
        (UnreliableStation(1.2, 900, 180), UnreliableStation(1.0, 1200, 120), 180),
        (UnreliableStation(1.0, 900, 180), UnreliableStation(1.3, 300, 120), 60),
        (UnreliableStation(3.0, 50, 40), UnreliableStation(1.0, 100, 10), 25),
    ],
)
def test_unequal_speeds_agree_with_a_fine_chain(
    first: UnreliableStation, second: UnreliableStation, buffer: float
) -> None:
    coarse = chain_throughput(first, second, buffer, levels=100)
    fine = chain_throughput(first, second, buffer, levels=200)
    # The error of the chain halves with its step, so twice the fine less the coarse has none
    # of first order.
    assert two_station_fluid(first, second, buffer).throughput == pytest.approx(
        2 * fine - coarse, rel=2e-5
    )
