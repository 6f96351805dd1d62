"""The laws of ``laws.py`` on a few lines; what each of them says stands beside it."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

import numpy as np
import pytest

from tests.trust.bridge_law import more_bridge
from tests.trust.law_checks import (
    base,
    both_digests,
    in_cuts_or_in_km,
    kept_down,
    moved_by_weeks,
    order_of_the_lists,
    reels_bought,
    reels_brought,
    to_the_pallet,
    written_another_way,
)
from tests.trust.packing_law import more_room, packing_adds_up
from tests.trust.runs_alike import columns, history_digest, summary_digest, what_differs


@pytest.mark.parametrize(
    "law",
    [
        to_the_pallet,
        reels_bought,
        reels_brought,
        kept_down,
        moved_by_weeks,
        written_another_way,
        in_cuts_or_in_km,
        order_of_the_lists,
        more_bridge,
        more_room,
        packing_adds_up,
    ],
)
def test_the_law_holds(law: Callable[[int], list[str]]) -> None:
    assert [fault for seed in range(3) for fault in law(seed)] == []


def test_what_ran_before_is_no_matter() -> None:
    seeds = [3, 4, 5]
    forwards = {seed: both_digests(seed) for seed in seeds}
    base.cache_clear()
    assert {seed: both_digests(seed) for seed in reversed(seeds)} == forwards
    assert len(set(forwards.values())) == len(seeds)


def test_a_nanosecond_is_told() -> None:
    """A law that compares runs is worth what the comparison is."""
    record = base(3)[2]
    assert record.history is not None
    ends = record.history.ream_end_ns.copy()
    ends[-1] += 1
    other = dataclasses.replace(
        record, history=dataclasses.replace(record.history, ream_end_ns=ends)
    )
    assert what_differs(record, other) == ["ream_end_ns"]
    assert history_digest(record) != history_digest(other)
    assert all(isinstance(column, np.ndarray) for column in columns(record).values())
    key = next(iter(record.sums))
    other = dataclasses.replace(record, sums=record.sums | {key: record.sums[key] + 1})
    assert what_differs(record, other) == ["sums"]
    assert summary_digest(record) != summary_digest(other)
