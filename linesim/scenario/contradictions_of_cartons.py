"""Contradictions of cartons and pallets."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.scenario.faults import Contradiction, at
from linesim.scenario.scenario import Scenario

_SHORTEST_MIN = 1 / 60


def _magazine(s: Scenario) -> Iterator[Contradiction]:
    table = s.carton_packer
    if table is None or table.magazine_blanks is None:
        return
    if table.refill_at_blanks >= table.magazine_blanks:
        yield Contradiction(
            ("carton_packer", "refill_at_blanks"),
            f"a full magazine of {table.magazine_blanks} blanks would be filled at once again",
            f"at most {table.magazine_blanks - 1}",
            at("carton_packer", "magazine_blanks"),
        )


def _pallets(s: Scenario) -> Iterator[Contradiction]:
    table = s.palletiser
    if table is None:
        return
    if s.carton_packer is None:
        yield Contradiction(
            ("palletiser",),
            "it lays cartons, and the line packs none",
            "a table [carton_packer]",
        )
    if table.truck_every_min is None:
        return
    if table.fetch_min is not None:
        yield Contradiction(
            ("palletiser", "fetch_min"),
            "full pallets are taken away by a truck that comes by the clock",
            "truck_every_min or fetch_min, not both",
            at("palletiser", "truck_every_min"),
        )
    if table.truck_every_min.average() < _SHORTEST_MIN:
        yield Contradiction(
            ("palletiser", "truck_every_min"),
            "the mean time between two trucks is less than a second",
            "a mean of at least a second (0.017 min); left out, full pallets are gone at once",
        )


CHECKS = (_magazine, _pallets)
