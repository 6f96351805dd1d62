"""Several tests taken together."""

from __future__ import annotations

from collections.abc import Sequence


def holm(p_values: Sequence[float], alpha: float) -> set[int]:
    """Places of the tests that fail when all are taken together (S. Holm 1979).

    ``alpha`` is the chance that any fails though nothing is the matter, 0 to 1.

    >>> sorted(holm([0.04, 0.001, 0.03], 0.05))
    [1]
    """
    failed: set[int] = set()
    for rank, (p, place) in enumerate(sorted(zip(p_values, range(len(p_values)), strict=True))):
        if p > alpha / (len(p_values) - rank):
            break
        failed.add(place)
    return failed
