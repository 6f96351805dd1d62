"""Each list of the compiled engine has an end: past it the run is given up, in words."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.fast import NoCompiledEngineError, layout, reasons_not_covered, simulate
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
    """Where 0.495 of the cuts are bad, 1,960 are until a ream is full; there is room for 2,048."""
    return calm(
        unwind={"webs": 1},
        slitter={"lanes": 1},
        product={"sheets_per_ream": 2000},
        gate={"defects_per_million_sheets": defects, "cuts_per_defect": 1},
    )


PAST_THE_END = {
    "stops of the webs": (calm(stop=_at_once(70, "cutter")), "stops at once", 0.02),
    "stops of a machine": (calm(stop=_at_once(70, "wrapper")), "stops at once", 0.02),
    "stops of all machines": (
        calm(
            wrapper=[{"name": f"wrapper {i}"} for i in range(20)],
            stop=_at_once(30, "wrapper"),
        ),
        "stops at once",
        0.015,
    ),
    "pauses": (calm(planned_work=_works(20, minutes=60)), "pauses at once", 0.1),
    "stretches of the first ream": (_poor_paper(600_000), "stretches of bad paper", 0.1),
    "stretches of a later ream": (_poor_paper(495_000), "stretches of bad paper", 8.0),
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
                for i in range(100)
            ],
        ),
        "kinds of lost time",
        2.0,
    ),
}


@pytest.mark.parametrize("what", PAST_THE_END)
def test_a_run_that_needs_more_room_is_given_up(what: str) -> None:
    scenario, words, hours = PAST_THE_END[what]
    with pytest.raises(NoCompiledEngineError, match=f"gave the run up: more {words}"):
        simulate(scenario, hours=hours, history=False, engine="compiled")


def test_a_run_that_is_given_up_is_made_by_the_other_engine() -> None:
    scenario = PAST_THE_END["stops of the webs"][0]
    made = simulate(scenario, hours=0.02, history=False)
    assert made == simulate(scenario, hours=0.02, history=False, engine="simpy")
    assert sum(total.count for total in made.stops) >= 70


def test_more_forced_stops_than_there_is_room_for() -> None:
    forced = [ForcedStop(station="cutter", at_h=0.01 * i, minutes=0.1) for i in range(1, 66)]
    with pytest.raises(NoCompiledEngineError, match="gave the run up: more forced stops"):
        simulate(calm(), hours=1, history=False, forced=forced, engine="compiled")
    assert differences(calm(), hours=1, forced=forced[: layout.FORCED]) == {}


def test_as_many_pauses_as_a_scenario_may_name() -> None:
    holidays = [{"name": f"holiday {i}", "day": i + 2} for i in range(200)]
    works = _works(200, minutes=0.01)
    scenario = calm(planned_work=works, holiday=holidays, calendar={"shifts_per_day": 1})
    assert differences(scenario, hours=0.1) == {}
    assert differences(scenario, hours=201 * 24) == {}


@pytest.mark.parametrize(
    ("room", "words"),
    [
        ("CAUSE_NUMBERS", "causes of lost time"),
        ("PAUSE_NAMES", "kinds of pauses"),
        ("STREAMS", "things left to chance"),
        ("JOINTS", "joints in a reel"),
    ],
)
def test_more_than_any_scenario_needs_would_be_given_up_too(
    room: str, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(layout, room, 1)
    scenario = calm(planned_work=_works(2), reels={"mill_joints_per_reel": 20})
    with pytest.raises(NoCompiledEngineError, match=f"gave the run up: more {words}"):
        simulate(scenario, hours=1, history=False, engine="compiled")


@pytest.mark.parametrize(
    ("scenario", "words"),
    [
        (calm(rework={"places": 2000, "people": 0}), "rework: more than"),
        (calm(bridge={"places": 9000}), "bridge: 8192 places or more"),
        (
            calm(stop=[stop("unwind", f"f{i}", every_cuts=9, per_web=True) for i in range(420)]),
            "stop",
        ),
    ],
)
def test_what_is_known_beforehand_is_not_begun(scenario: Scenario, words: str) -> None:
    assert any(reason.startswith(words) for reason in reasons_not_covered(scenario))
