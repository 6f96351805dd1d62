"""However many of a thing there are at once, there is room for them, or it is said of what not."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.fast import Engine, simulate
from linesim.line import RunGivenUpError, bridge, cutting
from linesim.scenario import ForcedStop, Scenario
from tests.fast.engines import differences
from tests.line.calm_line import calm, stop

pytestmark = pytest.mark.timeout(600)  # the first test makes the engine


def _at_once(count: int, station: str, **fields: Any) -> list[dict[str, Any]]:
    return [stop(station, f"fault {i}", every_clock_h=0.01, **fields) for i in range(count)]


def _works(count: int, **fields: Any) -> list[dict[str, Any]]:
    each = {"minutes": 1.0} | fields
    return [{"name": f"work {i}", "start_h": 0.01 + 1e-4 * i} | each for i in range(count)]


def _poor_paper(defects: float) -> Scenario:
    """Where 0.495 of the cuts are bad, 1,960 are until a ream is full."""
    return calm(
        unwind={"webs": 1},
        slitter={"lanes": 1},
        product={"sheets_per_ream": 2000},
        gate={"defects_per_million_sheets": defects, "cuts_per_defect": 1},
    )


MANY = {
    "stops of the webs": (calm(stop=_at_once(150, "cutter")), 0.02),
    "stops of a machine": (calm(stop=_at_once(150, "wrapper")), 0.02),
    "stops of all machines": (
        calm(
            wrapper=[{"name": f"wrapper {i}"} for i in range(20)],
            stop=_at_once(30, "wrapper"),
        ),
        0.015,
    ),
    "pauses": (calm(planned_work=_works(200, minutes=60)), 0.1),
    "stretches": (_poor_paper(600_000), 0.1),
    "places": (calm(bridge={"places": 9000}, rework={"places": 2000, "people": 0}), 0.1),
    "kinds of lost time": (
        calm(
            unwind={"webs": 20},
            product={"sheets_per_ream": 2000},
            stop=[
                stop(
                    "unwind",
                    f"fault {i}",
                    every_running_h={"law": "exponential", "mean": 2},
                    restore_min=0.01,
                    per_web=True,
                )
                for i in range(40)
            ],
        ),
        0.3,
    ),
    "pauses and their names": (
        calm(
            planned_work=_works(200, minutes=0.01),
            holiday=[{"name": f"holiday {i}", "day": i + 2} for i in range(200)],
            calendar={"shifts_per_day": 1},
        ),
        100.0,
    ),
    "joints": (calm(reels={"mill_joints_per_reel": 50}), 2.0),
}


@pytest.mark.parametrize("what", MANY)
def test_there_is_room_for_many(what: str) -> None:
    scenario, hours = MANY[what]
    assert differences(scenario, hours=hours, history=False) == {}


def test_there_is_room_for_many_forced_stops() -> None:
    forced = [ForcedStop(station="cutter", at_h=0.01, minutes=0.1) for _ in range(100)]
    forced += [ForcedStop(station="wrapper", at_h=0.01 * i, minutes=0.1) for i in range(1, 100)]
    assert differences(calm(), hours=1.5, forced=forced) == {}


@pytest.mark.parametrize("engine", ["interpreted", "compiled"])
def test_a_run_that_needs_more_room_is_given_up_and_it_is_said_of_what(
    engine: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cutting, "_MOST_STRETCHES", 20)
    with pytest.raises(RunGivenUpError, match="more stretches of bad paper than there is room"):
        simulate(_poor_paper(600_000), hours=0.1, history=False, engine=engine)


@pytest.mark.parametrize("engine", ["interpreted", "compiled"])
def test_a_bridge_too_long_for_all_its_sets_says_so(
    engine: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    slow = calm(wrapper=[{"name": "wrapper", "rate_reams_per_min": 8}])
    assert simulate(slow, hours=0.1, history=False, engine=engine).books.reams.balanced
    monkeypatch.setattr(bridge, "_MOST_SETS", 3)
    with pytest.raises(RunGivenUpError, match="more sets on the bridge than there is room for"):
        simulate(slow, hours=0.1, history=False, engine=engine)
