"""The sheeter as one lane: gapless, and its time by state is that of the accounts."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.record import State
from linesim.record.accounts import sheeter_spans, station_accounts
from linesim.record.ripple import OWN_STATES
from linesim.scenario import find_scenario, load, shipped_scenarios


@pytest.mark.parametrize("name", sorted(shipped_scenarios()))
def test_the_lane_is_gapless_and_its_time_is_that_of_the_account(name: str) -> None:
    record = simulate(load(find_scenario(name)), hours=4)
    lane = sheeter_spans(record)
    assert lane.start_ns[0] == record.start_ns
    assert lane.end_ns[-1] == record.end_ns
    assert (lane.start_ns[1:] == lane.end_ns[:-1]).all()
    by_state = dict.fromkeys(State, 0)
    for state, start, end in zip(lane.state, lane.start_ns, lane.end_ns, strict=True):
        by_state[State(state)] += int(end - start)
    account = station_accounts(record)[0]
    assert account.station == "sheeter"
    assert {state.words: ns for state, ns in by_state.items()} == account.by_state
    own = [s for s in OWN_STATES if by_state[s]]
    assert own
    assert any(record.stations[r] != "cutter" for r in lane.root_station[lane.state == own[0]])
