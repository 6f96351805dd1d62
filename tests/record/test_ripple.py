"""Which stations a stop reached: by hand on the calm line, and as a law on the demo lines."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.record import WAITING, State
from linesim.record.ripple import ripple, stop_events
from linesim.scenario import ForcedStop, find_scenario, load, shipped_scenarios
from tests.line.calm_line import SECOND, calm


def test_a_wrapper_stop_that_the_bridge_swallows_reaches_nobody() -> None:
    forced = (ForcedStop(station="wrapper", at_h=0.1, minutes=2),)
    record = simulate(calm(), hours=0.4, forced=forced)
    (event,) = stop_events(record)
    assert (event.start_ns, event.length_ns) == (360 * SECOND, 120 * SECOND)
    assert record.causes[event.cause] == "forced stop"
    assert ripple(record, event).reached == ()


def test_a_stop_of_the_knives_is_felt_by_the_parts_around_them() -> None:
    forced = (ForcedStop(station="cutter", at_h=0.1, minutes=2),)
    record = simulate(calm(), hours=0.4, forced=forced)
    (event,) = stop_events(record)
    states = {record.stations[r.station]: r.state for r in ripple(record, event).reached}
    assert states["unwind"] is State.BLOCKED
    assert states["gate"] is State.STARVED
    assert states["wrapper"] is State.STARVED
    by_name = {record.stations[r.station]: r for r in ripple(record, event).reached}
    assert (by_name["unwind"].after_ns, by_name["unwind"].waited_ns) == (0, 120 * SECOND)


@pytest.mark.parametrize("name", sorted(shipped_scenarios()))
def test_every_wait_for_a_stop_belongs_to_one_stop(name: str) -> None:
    record = simulate(load(find_scenario(name)), hours=4)
    events = stop_events(record)
    assert events
    waited: dict[tuple[int, int], int] = {}
    for event in events:
        key = (event.station, event.cause)
        ns = sum(r.waited_ns for r in ripple(record, event).reached)
        waited[key] = waited.get(key, 0) + ns
    for (station, cause), ns in waited.items():
        booked = sum(
            v for k, v in record.sums.items() if k[1] in WAITING and k[3:] == (station, cause)
        )
        assert ns == booked
