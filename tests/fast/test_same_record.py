"""To the byte the same: what Python makes of the rules, compiled code makes of them, too."""

from __future__ import annotations

import _thread
import threading

import pytest

from linesim.fast import simulate
from linesim.scenario import check_mapping, find_scenario, load, shipped_scenarios
from tests.fast.engines import differences, of_any_line
from tests.line.any_line import any_forced, any_handled, any_paced, any_packed, any_scenario
from tests.line.bought_reels import any_bought
from tests.line.manned_lines import any_manned

pytestmark = pytest.mark.timeout(600)  # the first test makes the engine


@pytest.mark.parametrize("history", [False, True])
@pytest.mark.parametrize("name", shipped_scenarios())
def test_every_demo(name: str, history: bool) -> None:
    scenario = load(find_scenario(name))
    settings = {"hours": 8, "warm_up_h": 1, "buckets": 3000, "replication": 1}
    assert differences(scenario, history=history, **settings) == {}


@pytest.mark.parametrize("seed", range(30))
def test_lines_of_every_kind(seed: int) -> None:
    scenario = any_scenario(seed)
    assert of_any_line(seed, scenario, any_forced(seed, scenario)) == {}


@pytest.mark.parametrize("seed", range(15))
def test_lines_to_the_pallet(seed: int) -> None:
    scenario = any_packed(seed)
    assert of_any_line(seed, scenario, any_forced(seed, scenario)) == {}


@pytest.mark.parametrize("seed", range(15))
def test_lines_with_spare_stands_and_trucks(seed: int) -> None:
    scenario = any_handled(seed)
    assert of_any_line(seed, scenario, any_forced(seed, scenario)) == {}


@pytest.mark.parametrize("seed", range(15))
def test_lines_whose_speed_is_kept_down(seed: int) -> None:
    scenario = any_paced(seed)
    assert of_any_line(seed, scenario, any_forced(seed, scenario)) == {}


@pytest.mark.parametrize("seed", range(15))
def test_lines_with_groups_of_people(seed: int) -> None:
    scenario = any_manned(seed)
    assert of_any_line(seed, scenario, any_forced(seed, scenario)) == {}


@pytest.mark.parametrize("seed", range(15))
def test_lines_with_reels_as_bought(seed: int) -> None:
    scenario = any_bought(seed)
    assert of_any_line(seed, scenario, any_forced(seed, scenario)) == {}


def test_a_run_that_is_ended_early_ends_alike() -> None:
    scenario = load(find_scenario("short-bridge"))
    assert differences(scenario, hours=8, progress=lambda part: part < 0.3) == {}


def test_a_log_that_is_longer_than_its_room_is_the_same() -> None:
    scenario = load(find_scenario("two-wrappers"))
    assert differences(scenario, hours=12) == {}


@pytest.mark.parametrize("state", ["new", "as_found"])
def test_an_interval_as_long_as_any_may_be_is_never_over(state: str) -> None:
    rare = {"cause": "static", "every_clock_h": 1e9}
    scenario = check_mapping({"start": {"state": state}, "stop": [rare]})
    assert differences(scenario, hours=8) == {}


def test_a_long_run_hears_an_interrupt_at_once() -> None:
    scenario = load(find_scenario("short-bridge"))
    interrupt = threading.Timer(1.0, _thread.interrupt_main)
    interrupt.start()
    with pytest.raises(KeyboardInterrupt):
        simulate(scenario, hours=200_000, history=False, engine="compiled")
    interrupt.join()
