"""The longest active periods, on cases small enough to draw."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.fast import simulate
from linesim.studies.active_periods import Period, active_shares, sole_bottleneck_ns
from tests.studies.lines import textbook_line


def test_where_two_periods_overlap_the_bottleneck_shifts_and_the_overlap_is_nobodys() -> None:
    found = sole_bottleneck_ns({"a": [(0, 10)], "b": [(8, 30)]})
    assert found == {"a": 8, "b": 20}


def test_a_period_within_a_longer_one_is_no_bottleneck() -> None:
    assert sole_bottleneck_ns({"a": [(0, 100)], "b": [(20, 50), (60, 90)]}) == {"a": 100, "b": 0}


def test_of_those_active_at_the_end_of_one_the_longest_follows() -> None:
    found = sole_bottleneck_ns({"a": [(0, 10)], "b": [(9, 15)], "c": [(5, 40)]})
    assert found == {"a": 5, "b": 0, "c": 30}


def test_after_a_time_with_nobody_active_it_begins_anew() -> None:
    assert sole_bottleneck_ns({"a": [(0, 10)], "b": [(20, 25)]}) == {"a": 10, "b": 5}


periods = st.lists(st.integers(0, 1000), max_size=12, unique=True).map(
    lambda cuts: [(a, b) for a, b in zip(sorted(cuts)[::2], sorted(cuts)[1::2], strict=False)]
)


@given(st.dictionaries(st.sampled_from("abc"), periods, min_size=1))
def test_nobody_is_alone_for_longer_than_active(each: dict[str, list[Period]]) -> None:
    sole = sole_bottleneck_ns(each)
    for name, rows in each.items():
        assert 0 <= sole[name] <= sum(end - start for start, end in rows)
    covered = {t for rows in each.values() for start, end in rows for t in range(start, end)}
    assert sum(sole.values()) <= len(covered)


@pytest.mark.parametrize(("rate", "slow"), [(5.0, "wrappers"), (30.0, "sheeter")])
def test_the_station_that_is_much_slower_is_the_bottleneck(rate: float, slow: str) -> None:
    record = simulate(textbook_line(20, wrapper_rate=rate), hours=24)
    shares = active_shares(record)
    assert max(shares, key=lambda name: shares[name]) == slow
    assert shares[slow] > 0.5


def test_without_history_there_is_no_answer() -> None:
    with pytest.raises(ValueError, match="history"):
        active_shares(simulate(textbook_line(5), hours=1, history=False))
