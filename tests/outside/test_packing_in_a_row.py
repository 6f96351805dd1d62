"""Cutter, transfer, wrapper and palletiser: three and four exponential stations in a row.

What finds no room behind it stays on its station, which is blocked after the work. The Markov chain
of all states, solved to the last digit, says what such a row makes.
"""

from __future__ import annotations

from typing import Any

import pytest

from linesim.fast import simulate
from tests.outside.test_longer_lines import FAST, MEAN_S, exponential, exponential_line

IN_THE_PACKER = 2
"""It takes no time here, with cartons of one ream: the next stands ready, and one may be held."""


def work_of(station: str, meter: str, mean: float) -> dict[str, Any]:
    """The whole time for a piece is a stop after each."""
    work = {"cause": f"work of {station}", "station": station, "people": 0, meter: 1}
    return work | {"restore_min": exponential(mean * MEAN_S / 60)}


@pytest.mark.parametrize(
    ("before", "bridge", "conveyor", "belt", "means"),
    [
        (None, 1, 0, 0, (1, 1, 1)),
        (None, 5, 2, 3, (0.8, 1, 1.1)),
        (0, 1, 0, 0, (1, 1, 1, 1)),
        (1, 3, 0, 2, (1, 1, 1, 1)),
        (1, 2, 1, 1, (1.1, 0.8, 1, 0.9)),
        (0, 3, 0, 0, (0.9, 1, 0.7, 1.2)),
    ],
)
def test_three_and_four_stations_to_the_palletiser(
    before: int | None,
    bridge: int,
    conveyor: int,
    belt: int,
    means: tuple[float, ...],
    line: Any,
    estimated: Any,
) -> None:
    """Pieces fit on the overlap belt and in the pockets, on the bridge, and around the packer."""
    *first, carry, wrap, laying = means
    stops = [work_of("palletiser", "every_reams", laying)]
    stops += [work_of("cutter", "every_cuts", mean) for mean in first]
    scenario = line(
        overlap_belt={"hold_cuts": 100_000 if before is None else before},
        transfer={"carry_s": exponential(carry * MEAN_S)},
        bridge={"places": bridge},
        wrapper=[{"wrap_s": exponential(wrap * MEAN_S)}],
        carton_packer={
            "reams_per_carton": 1,
            "rate_cartons_per_min": FAST,
            "conveyor_reams": conveyor,
        },
        palletiser={"rate_cartons_per_min": FAST, "belt_cartons": belt, "change_s": 0},
        stop=stops,
    )
    rates = []
    for run in range(20):
        record = simulate(scenario, seed=23, replication=run, hours=30, warm_up_h=1, history=False)
        assert record.books.faults() == []
        rates.append(record.books.reams.wrapped * MEAN_S / record.hours / 3600)
    places = (bridge, conveyor + belt + IN_THE_PACKER)
    row = places if before is None else (before + 1, *places)
    estimated(rates).must_be(exponential_line(row, means))
