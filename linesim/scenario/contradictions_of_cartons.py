"""Contradictions of cartons and pallets."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.scenario.faults import Contradiction, at
from linesim.scenario.scenario import Scenario

_SHORTEST_MIN = 1 / 60


def _magazine(s: Scenario) -> Iterator[Contradiction]:
    for i, table in enumerate(s.carton_packer):
        full = table.magazine_blanks
        if full is not None and table.refill_at_blanks >= full:
            yield Contradiction(
                ("carton_packer", i, "refill_at_blanks"),
                f"a full magazine of {full} blanks would be filled at once again",
                f"at most {full - 1}",
                (("carton_packer", i, "magazine_blanks"),),
            )


def _one_size(s: Scenario) -> Iterator[Contradiction]:
    for i, table in enumerate(s.carton_packer):
        size = s.carton_packer[0].reams_per_carton
        if table.reams_per_carton != size:
            yield Contradiction(
                ("carton_packer", i, "reams_per_carton"),
                f"carton packers that share a conveyor pack one size; the first packs {size} reams",
                f"{size}",
                (("carton_packer", 0, "reams_per_carton"),),
            )


def _pallets(s: Scenario) -> Iterator[Contradiction]:
    table = s.palletiser
    if table is None:
        return
    if not s.carton_packer:
        yield Contradiction(
            ("palletiser",),
            "it lays cartons, and the line packs none",
            "a table [[carton_packer]]",
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


CHECKS = (_magazine, _one_size, _pallets)
