"""The sentence about a stop says what the record says, and counts the sheeter once."""

from __future__ import annotations

from linesim.fast import simulate
from linesim.record import OWN_STATES, WAITING, State, sheeter_spans
from linesim.record.ripple import ripple, stop_behind, stop_events
from linesim.report.ripple_in_words import is_pace, ripple_table, ripple_words, state_words
from linesim.scenario import ForcedStop, find_scenario, load
from tests.line.calm_line import calm


def told(station: str, minutes: float) -> str:
    forced = (ForcedStop(station=station, at_h=0.1, minutes=minutes),)
    record = simulate(calm(), hours=0.4, forced=forced)
    events = stop_events(record)
    return ripple_words(record, ripple(record, events[0], events))


def test_a_stop_that_the_bridge_swallows_costs_the_sheeter_nothing() -> None:
    words = told("wrapper", 2)
    assert words.startswith("Wrapper, forced stop: stood 2 min from 0:06:00.")
    assert "No other station waited" in words
    assert "did not stand" in words


def test_the_parts_of_the_sheeter_count_once() -> None:
    words = told("cutter", 2)
    assert "unwind" not in words
    assert "gate" not in words
    assert "The sheeter stood 2 min for it" in words
    assert "starved the wrapper at once for 2 min" in words


def test_words_and_table_say_the_same_reams() -> None:
    for seconds in (17, 3600):
        forced = (ForcedStop(station="cutter", at_h=0.1, minutes=seconds / 60),)
        record = simulate(calm(), hours=1.2, forced=forced)
        events = stop_events(record)
        there = ripple(record, events[0], events)
        table = ripple_table(record, there, in_words=True)
        made = table.texts(table.rows[0])[-1]
        assert f"in which it makes {made} reams at its rated speed" in ripple_words(record, there)


def test_a_long_stop_of_the_wrapper_blocks_the_sheeter_as_one() -> None:
    words = told("wrapper", 10)
    assert words.count("blocked the sheeter") == 1
    assert "pockets" not in words
    assert "blocked the transfer after" in words


def test_every_wait_names_whom_it_is_for() -> None:
    record = simulate(load(find_scenario("short-bridge")), hours=1)
    assert record.history is not None
    spans = record.history.spans
    events = stop_events(record)
    waits = stops = 0
    for row in range(len(spans.state)):
        state = State(spans.state[row])
        cause, root, why = spans.cause[row], spans.root_station[row], spans.root_cause[row]
        words = state_words(record, state, int(cause), int(root), int(why))
        assert words.startswith(state.words)
        if state in WAITING:
            waits += 1
            behind = stop_behind(
                events, int(root), int(why), int(spans.start_ns[row]), int(spans.end_ns[row])
            )
            if is_pace(record, int(why)):
                assert behind is None
            elif behind is not None:
                stops += 1
                assert record.causes[behind.cause] in words
    assert 0 < stops < waits


def test_a_ripple_from_given_events_is_the_same() -> None:
    record = simulate(load(find_scenario("short-bridge")), hours=2)
    events = stop_events(record)
    assert all(ripple(record, e, events) == ripple(record, e) for e in events)


def test_the_sheeter_as_one_is_down_for_its_own_part_and_not_by_it() -> None:
    record = simulate(load(find_scenario("short-bridge")), hours=8)
    spans, told = sheeter_spans(record), set()
    for state, cause, root, why in zip(
        spans.state, spans.cause, spans.root_station, spans.root_cause, strict=True
    ):
        if State(state) in OWN_STATES:
            told.add(state_words(record, State(state), int(cause), int(root), int(why)))
    assert "down: web break" in told
    assert not any(" by " in words for words in told)
