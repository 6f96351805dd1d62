"""The engine's two short cuts change nothing: runs with and without them are the same."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from linesim.line import simulate
from linesim.line.cruise import Cruise
from linesim.record import History, Record
from linesim.scenario import find_scenario, load, shipped_scenarios
from tests.line.any_line import any_forced, any_scenario


def without_short_cuts(patch: pytest.MonkeyPatch) -> None:
    """Every set goes through its events, every ream through the general rules."""
    patch.setattr(Cruise, "run", lambda self: False)
    patch.setattr("linesim.line.packing.can_do_many", lambda wrappers: False)


def assert_same(one: Record, other: Record) -> None:
    for field in dataclasses.fields(Record):
        if field.name != "history":
            assert getattr(one, field.name) == getattr(other, field.name), field.name
    assert one.history is not None
    assert other.history is not None
    for field in dataclasses.fields(History):
        if field.name != "spans":
            same = np.array_equal(
                getattr(one.history, field.name), getattr(other.history, field.name)
            )
            assert same, field.name
    for station, name in enumerate(one.stations):
        first, second = one.history.spans.of(station), other.history.spans.of(station)
        for column in ("state", "cause", "root_station", "root_cause", "start_ns", "end_ns"):
            assert np.array_equal(getattr(first, column), getattr(second, column)), (name, column)


@pytest.mark.parametrize("name", sorted(shipped_scenarios()))
def test_the_demo_lines_run_alike(name: str) -> None:
    scenario = load(find_scenario(name))
    for replication in range(2):
        fast = simulate(scenario, hours=10, replication=replication)
        with pytest.MonkeyPatch.context() as patch:
            without_short_cuts(patch)
            slow = simulate(scenario, hours=10, replication=replication)
        assert_same(fast, slow)


@pytest.mark.parametrize("number", range(100, 160))
def test_random_lines_run_alike(number: int) -> None:
    scenario = any_scenario(number)
    forced = any_forced(number, scenario)
    fast = simulate(scenario, seed=number, hours=2, forced=forced)
    with pytest.MonkeyPatch.context() as patch:
        without_short_cuts(patch)
        slow = simulate(scenario, seed=number, hours=2, forced=forced)
    assert_same(fast, slow)


def test_the_cruise_is_taken() -> None:
    """A test of equality proves nothing where the short cut is never used."""
    taken = 0

    def counted(self: Cruise) -> bool:
        nonlocal taken
        done = original(self)
        taken += done
        return done

    original = Cruise.run
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Cruise, "run", counted)
        simulate(load(find_scenario("short-bridge")), hours=2, history=False)
    assert taken > 20
