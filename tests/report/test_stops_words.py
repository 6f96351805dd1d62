"""What is said of causes whose minutes and cost contradict each other fits them."""

from __future__ import annotations

import re
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from linesim.report.answers.rank_stops import stops_words
from linesim.scenario import check_mapping
from linesim.statistics import Interval
from linesim.studies.differences import Difference
from linesim.studies.rank_stops import CauseCost, RankedStops


def known(mean: float, half: float) -> Interval:
    return Interval(mean, half, 0.95, 20)


def cause(name: str, minutes: tuple[float, float], reams: tuple[float, float]) -> CauseCost:
    gained = Difference(known(*reams), 2 * reams[1], 3)
    return CauseCost(name, known(*minutes), known(0, 0), known(5, 1), gained)


def misleading(*causes: CauseCost) -> str:
    found = RankedStops(known(300_000, 1000), causes, (), 20, 2.0)
    words = stops_words(check_mapping({}), found)
    return next((each for each in words if each.startswith("Minutes can mislead")), "")


amounts = st.tuples(st.floats(0, 1000), st.floats(0, 300).map(lambda half: round(half, 3)))
FEW = st.lists(st.tuples(amounts, amounts), min_size=2, max_size=5)


@given(FEW)
def test_the_longer_cause_is_shown_to_take_longer_and_to_cost_less(rows: Any) -> None:
    causes = {f"no{n}": cause(f"no{n}", *row) for n, row in enumerate(rows)}
    said = misleading(*causes.values())
    named = re.findall(r"no\d", said)
    if named:
        longer, dearer = (causes[name] for name in named[:2])
        assert longer.minutes.low > dearer.minutes.high
        assert longer.reams_gained.interval.high < dearer.reams_gained.interval.low
    else:
        assert not any(
            a.minutes.low > b.minutes.high
            and max(0.0, a.reams_gained.interval.high) < b.reams_gained.interval.low
            for a in causes.values()
            for b in causes.values()
        )


def test_a_cause_that_costs_more_for_more_minutes_misleads_nobody() -> None:
    long_and_dear = cause("long", (600, 20), (900, 50))
    short = cause("short", (60, 5), (500, 50))
    assert misleading(long_and_dear, short) == ""
    free = cause("free", (600, 20), (100, 50))
    assert misleading(free, short) == (
        "Minutes can mislead: free takes 600 minutes a week, more than short (60.0), but costs at"
        " most 150 reams, where short costs at least 450."
    )


def test_a_cause_not_shown_to_take_time_is_said_to_cost_and_no_more() -> None:
    """Webs slowed less for it than for what comes in its place take minutes below nothing."""
    for minutes, told in (((600.0, 20.0), True), ((-3.0, 12.0), False)):
        found = RankedStops(known(300_000, 1000), (cause("dear", minutes, (900, 50)),), (), 20, 2.0)
        first = stops_words(check_mapping({}), found)[0]
        assert "900 ± 50 good reams a week more" in first
        assert ("minutes a week in 5.0 ± 1.0 stops" in first) is told
        assert ("minutes" in first) is told


def test_a_cause_is_the_costliest_of_those_that_the_runs_show() -> None:
    unsure, dear = cause("unsure", (60, 5), (900, 950)), cause("dear", (60, 5), (500, 50))
    for causes, head in (
        ((unsure, dear), "The costliest cause that the runs show is dear: "),
        ((dear, unsure), "The costliest cause is dear: "),
    ):
        found = RankedStops(known(300_000, 1000), causes, (), 20, 2.0)
        assert stops_words(check_mapping({}), found)[0].startswith(head)
