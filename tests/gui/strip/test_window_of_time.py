"""The stretch on screen stays within the run, and zooming leaves the pointed moment in place."""

from __future__ import annotations

import datetime as dt
import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gui.strip.window_of_time import SHORTEST_NS, TimeWindow

HOUR = 3600 * 10**9
YEAR = 8760 * HOUR
lengths = st.integers(SHORTEST_NS, YEAR)


@settings(max_examples=80)
@given(lengths, st.floats(0, 1), st.floats(0.1, 50), st.floats(0, 1))
def test_zooming_stays_within_the_run(
    length: int, middle: float, factor: float, about: float
) -> None:
    whole = TimeWindow.whole(HOUR, HOUR + YEAR)
    window = whole.showing(length, whole.to_ns(middle))
    moment = window.to_ns(about)
    zoomed = window.zoomed(factor, moment)
    assert HOUR <= zoomed.start_ns < zoomed.end_ns <= HOUR + YEAR
    assert zoomed.length_ns >= SHORTEST_NS
    if zoomed.start_ns > HOUR and zoomed.end_ns < HOUR + YEAR:
        assert zoomed.to_part(moment) == pytest.approx(about, abs=0.001)


@settings(max_examples=80)
@given(lengths, st.floats(0, 1), st.integers(2, 12))
def test_marks_are_few_round_and_different(length: int, middle: float, most: int) -> None:
    whole = TimeWindow.whole(0, YEAR)
    window = whole.showing(length, whole.to_ns(middle))
    marks = window.marks(most)
    assert len(marks) <= most + 1
    assert all(window.start_ns <= t <= window.end_ns for t, _ in marks)
    steps = {b[0] - a[0] for a, b in itertools.pairwise(marks)}
    assert len(steps) <= 1
    assert len({label for _, label in marks}) == len(marks)


def test_labels_are_clock_and_day() -> None:
    assert [label for _, label in TimeWindow.whole(0, HOUR).marks(4)] == [
        "0:00",
        "0:15",
        "0:30",
        "0:45",
        "1:00",
    ]
    assert TimeWindow(0, YEAR, 0, 3 * 10**8).marks(3)[1][1] == "0:00:00.1"
    assert TimeWindow(0, YEAR, 50 * HOUR, 51 * HOUR).marks(2)[0][1] == "day 3, 2:00"


def test_a_moment_out_of_sight_is_brought_into_it() -> None:
    window = TimeWindow(0, 10 * HOUR, 0, HOUR)
    assert window.holding(HOUR // 2) == window
    moved = window.holding(5 * HOUR)
    assert moved.to_part(5 * HOUR) == 0.5
    assert moved.length_ns == HOUR
    assert window.holding(10 * HOUR).end_ns == 10 * HOUR


def test_a_run_that_starts_on_a_day_has_times_of_day_and_days_on_its_axis() -> None:
    """From 06:00 on Monday: two hours later it is 08:00, after 18 h Tuesday begins."""
    starts = dt.datetime(2026, 3, 2, 6)
    whole = TimeWindow.whole(0, 48 * HOUR, starts)
    assert whole.title == "Mon 2 Mar"
    assert whole.showing(4 * HOUR, 2 * HOUR).marks(4) == [
        (0, "06:00"),
        (HOUR, "07:00"),
        (2 * HOUR, "08:00"),
        (3 * HOUR, "09:00"),
        (4 * HOUR, "10:00"),
    ]
    assert not whole.showing(4 * HOUR, 2 * HOUR).over_midnight
    night = whole.showing(4 * HOUR, 18 * HOUR)
    assert night.over_midnight
    assert (18 * HOUR, "Tue 3 Mar") in night.marks(4)
    assert night.of_all == whole
    assert whole.marks(3)[0] == (18 * HOUR, "Tue 3 Mar")
