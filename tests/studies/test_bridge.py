"""The bridge study against theory, and where it says that a place stops paying."""

import pytest
from scipy import stats

from linesim.statistics import Interval
from linesim.studies.best_size import SizeRule
from linesim.studies.bridge_levels import best_levels, levels_to_try
from linesim.studies.bridge_theory import two_station_estimate
from linesim.studies.buffer_places import places_to_try
from linesim.studies.runner import Runner, Settings
from linesim.studies.size_bridge import size_bridge
from tests.line.calm_line import calm
from tests.studies.lines import quick_line, textbook_line, with_outfeed
from tests.theory.formulas import bufferless_throughput, unlimited_buffer_throughput

# Zimmern 1956, Sevast'yanov 1962 and Gershwin 1994 for the ends: Buzacott's line without a
# buffer, and the slower station alone.
WEEK_MIN = 168 * 60


def agrees(found: Interval, truth: float) -> bool:
    """Within 4 standard errors."""
    error = found.half_width / float(stats.t.ppf((1 + found.level) / 2, found.n - 1))
    return abs(found.mean - truth) <= 4 * error


def test_the_ends_of_the_curve_meet_theory() -> None:
    line = textbook_line(1)
    estimate = two_station_estimate(line)
    assert estimate.reservations == ()
    assert estimate.first is not None
    assert estimate.second is not None
    with Runner(Settings(replications=6, hours=20, warm_up_h=8, processes=1)) as runner:
        found = size_bridge(line, runner, [1, 60, 20_000])
    none, some, endless = found.points
    stations = (estimate.first, estimate.second)
    assert agrees(none.reams_per_week, bufferless_throughput(stations) * WEEK_MIN)
    assert some.theory_reams_per_week is not None
    assert agrees(some.reams_per_week, some.theory_reams_per_week)
    assert agrees(endless.reams_per_week, unlimited_buffer_throughput(stations) * WEEK_MIN)
    assert none.reams_per_week.relative_half_width < 0.04
    # Up, and by less and less for each place.
    gains = [step.gain_per_place.interval.mean for step in found.steps]
    assert gains[0] > gains[1] > 0


@pytest.mark.parametrize(("rate", "buffer"), [(9, 10), (7.5, 10)])
def test_the_estimate_takes_in_an_outfeed_that_matters(rate: float, buffer: int) -> None:
    """Faster and slower than the wrapper of 8.4 reams a minute, and out of order as often."""
    plain = textbook_line(60)
    line = with_outfeed(plain, rate, buffer)
    estimate = two_station_estimate(line)
    assert any("outfeed" in reason for reason in estimate.reservations)
    with Runner(Settings(replications=8, hours=100, warm_up_h=8, processes=1)) as runner:
        found = size_bridge(line, runner, [20, 60])
    for point in found.points:
        assert point.theory_reams_per_week is not None
        assert agrees(point.reams_per_week, point.theory_reams_per_week)
        assert point.reams_per_week.relative_half_width < 0.02
        # As if there were no outfeed it would be far off.
        without = two_station_estimate(plain).reams_per_week(point.places)
        assert without is not None
        assert not agrees(point.reams_per_week, without)
        assert without > 1.05 * point.reams_per_week.mean


def test_where_nothing_stops_there_are_no_two_unreliable_stations() -> None:
    """The webs stand for their reels, and nothing behind the bridge ever does."""
    (said,) = two_station_estimate(calm()).reservations
    assert said == "nothing behind the bridge ever stops: there are no two unreliable stations"


def test_a_dear_place_never_pays_and_a_cheap_one_does() -> None:
    answers = []
    for cost in (1e7, 0.01):
        line = quick_line(contribution_per_ream=0.5, ream_place_cost=cost)
        with Runner(Settings(replications=4, hours=8, processes=1)) as runner:
            answers.append(size_bridge(line, runner, [6, 20, 60]))
    dear, cheap = answers
    assert (dear.fails_beyond, dear.pays_up_to) == (6, None)
    assert cheap.pays_up_to is not None
    assert cheap.pays_up_to >= 20
    # Money decides what pays, not what the line makes.
    assert [p.reams_per_week for p in dear.points] == [p.reams_per_week for p in cheap.points]


def test_reams_nobody_buys_make_no_place_pay() -> None:
    line = quick_line(contribution_per_ream=0.5, ream_place_cost=0.01, demand_reams_per_year=1000.0)
    with Runner(Settings(replications=3, hours=4, processes=1)) as runner:
        found = size_bridge(line, runner, [6, 20, 60])
    assert found.fails_beyond == 6
    assert all(
        step.worth_per_place is not None and step.worth_per_place.mean == 0 for step in found.steps
    )


def test_without_money_a_share_of_the_output_decides() -> None:
    with Runner(Settings(replications=3, hours=4, processes=1)) as runner:
        found = size_bridge(quick_line(), runner, [6, 20, 60], SizeRule(asked_fraction=0.5))
    assert found.yearly_cost_per_place is None
    assert found.fails_beyond == 6


def test_places_to_try_hold_the_present_size_and_rise() -> None:
    places = places_to_try(quick_line(), 15)
    assert 20 in places
    assert len(places) == 15
    assert list(places) == sorted(set(places))
    assert places[0] == quick_line().set_reams
    # Sixteen standstills of the wrapper, and never a bridge that the hall does not hold.
    assert places[-1] == int(60 / 0.33)
    assert places_to_try(quick_line().varied(bridge={"longest_m": 13.2}), 15)[-1] == 40
    assert places_to_try(quick_line().varied(bridge={"longest_m": 6.6, "places": 20}))[-1] == 20
    assert places_to_try(quick_line().varied(bridge={"places": 300}))[-1] == 300
    with pytest.raises(ValueError, match="3 or more"):
        places_to_try(quick_line(), 2)


def test_the_best_levels_are_judged_on_fresh_luck() -> None:
    line = quick_line()
    tried = levels_to_try(line)
    assert tried[0] == (16, 8, None)
    assert all(r is None or s is None or r < s for s, r, _ in tried)
    with Runner(Settings(replications=2, hours=2, processes=1)) as runner:
        found = best_levels(line, runner)
        made = runner.made
    assert len(found.rows) == len(tried)
    means = [row.reams_per_week.mean for row in found.rows]
    assert means == sorted(means, reverse=True)
    fresh = 0 if found.best == found.present else 4
    assert made == 2 * len(tried) + fresh
