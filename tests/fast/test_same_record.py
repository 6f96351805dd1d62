"""Stop for stop the same: whatever the SimPy line says, the compiled engine says it, too."""

from __future__ import annotations

import _thread
import threading

import pytest

from linesim.fast import NoCompiledEngineError, reasons_not_covered, simulate
from linesim.scenario import find_scenario, load, shipped_scenarios
from tests.fast.engines import differences, of_any_line
from tests.line.any_line import any_forced, any_scenario

pytestmark = pytest.mark.timeout(600)  # the first test makes the engine


def _covered(count: int) -> list[int]:
    found: list[int] = []
    seed = 0
    while len(found) < count:
        if not reasons_not_covered(any_scenario(seed)):
            found.append(seed)
        seed += 1
    return found


@pytest.mark.parametrize("name", shipped_scenarios())
def test_every_demo(name: str) -> None:
    scenario = load(find_scenario(name))
    if reasons_not_covered(scenario):
        pytest.skip("; ".join(reasons_not_covered(scenario)))
    assert differences(scenario, hours=8, warm_up_h=1, buckets=3000, replication=1) == {}


@pytest.mark.parametrize("seed", _covered(24))
def test_lines_of_every_kind(seed: int) -> None:
    scenario = any_scenario(seed)
    assert of_any_line(seed, scenario, any_forced(seed, scenario)) == {}


def test_a_run_that_is_ended_early_ends_alike() -> None:
    scenario = load(find_scenario("short-bridge"))
    assert differences(scenario, hours=8, progress=lambda part: part < 0.3) == {}


def test_a_long_run_hears_an_interrupt() -> None:
    scenario = load(find_scenario("short-bridge"))
    interrupt = threading.Timer(1.0, _thread.interrupt_main)
    interrupt.start()
    with pytest.raises(KeyboardInterrupt):
        simulate(scenario, hours=20_000, history=False, engine="compiled")
    interrupt.join()


def test_what_is_not_covered_is_said_and_run_by_the_other_engine() -> None:
    scenario = load(find_scenario("orders"))
    assert "orders" in reasons_not_covered(scenario)[0]
    with pytest.raises(NoCompiledEngineError, match="orders"):
        simulate(scenario, hours=1, history=False, engine="compiled")
    record = simulate(scenario, hours=1, history=False)
    assert record == simulate(scenario, hours=1, history=False, engine="simpy")


def test_a_history_is_kept_by_the_simpy_line_only() -> None:
    scenario = load(find_scenario("short-bridge"))
    assert simulate(scenario, hours=0.5, engine="auto").history is not None
    with pytest.raises(NoCompiledEngineError, match="history"):
        simulate(scenario, hours=0.5, engine="compiled")
