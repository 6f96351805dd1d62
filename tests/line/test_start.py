"""The state a run starts in: as the line is met on any day, as somebody says, or new."""

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.line import Interpreted
from linesim.line.assembly import assemble, site_of
from linesim.line.causes import new_causes
from linesim.line.chance import Chance
from linesim.line.clock import RANK_WEB
from linesim.line.counting import begin_as_said
from linesim.record import State
from linesim.scenario import ForcedStop, ScenarioFaults
from tests.line.calm_line import REEL_M, calm, one_web, seconds_in, stop, stops_of

FOUND = {"state": "as_found", "run_in_h": 0}
HOUR_NS = 3600 * 10**9


def line_of(scenario, luck=0):
    """A line before its first moment."""
    site = site_of(scenario, Chance(1, luck))
    return assemble(site, end_ns=site.run_in_ns + HOUR_NS, keeps=False, forced=())


def causes(start, lucks, **cause):
    """The cause of the cutter in each luck."""
    scenario = calm(start=start, stop=[stop("cutter", **cause)])
    for luck in range(lucks):
        site = site_of(scenario, Chance(1, luck))
        yield from new_causes(site, site.stations.index("cutter"), RANK_WEB)


def dues(start, lucks, **cause):
    """When a cause of the cutter first falls due in each luck, h of running."""
    return np.array([each.due / HOUR_NS for each in causes(start, lucks, **cause)])


def test_a_cause_is_met_somewhere_in_its_interval():
    # Of a fixed interval any part is left; of the wear of shape 4, 0.53935 of the mean (Cox 1962).
    anywhere = dues(FOUND, 400, every_running_h=10)
    assert anywhere.max() < 10
    assert anywhere.mean() == pytest.approx(5, abs=3 * 2.9 / 20)
    worn = dues(FOUND, 400, every_running_h={"law": "weibull", "mean": 10, "shape": 4})
    assert worn.mean() == pytest.approx(5.3935, abs=3 * 3.2 / 20)


def test_new_means_a_whole_interval():
    assert set(dues({"state": "new"}, 3, every_running_h=10)) == {10}


def test_the_first_interval_uses_the_draw_it_always_used():
    law = {"law": "exponential", "mean": 10}
    # Nothing wears without memory: what is left of it is like a whole one, draw by draw.
    assert dues(FOUND, 20, every_running_h=law) == pytest.approx(
        dues({"state": "new"}, 20, every_running_h=law), abs=1e-9
    )


@pytest.mark.parametrize(
    "law",
    [
        2,
        {"law": "weibull", "mean": 2, "shape": 4},
        {"law": "weibull", "mean": 2, "shape": 0.7},
        {"law": "lognormal", "mean": 2, "sd": 1},
        {"law": "gamma", "mean": 2, "sd": 1},
        {"law": "uniform", "low": 1, "high": 3},
        {"law": "triangular", "low": 1, "mode": 1.5, "high": 3.5},
        {"law": "empirical", "values": [1, 1, 4]},
    ],
)
def test_as_many_stops_fall_due_in_the_first_hour_as_in_any(law):
    # Every 2 h: 0.5 stops in each hour of the meter, from the first on. New, hardly any at first.
    lucks, hours = 1200, 4
    by_hour = np.zeros(hours)
    for cause in causes(FOUND, lucks, every_running_h=law):
        gaps = iter(cause.interval.source.more(100).array.tolist()[1:])
        at = cause.due
        while at < hours * HOUR_NS:
            by_hour[at // HOUR_NS] += 1
            at += max(1, next(gaps))
    # The count of an hour has a spread of less than one stop.
    assert by_hour / lucks == pytest.approx([0.5] * hours, abs=3.5 / lucks**0.5)


def test_the_line_stops_as_often_in_its_first_hour_as_in_any():
    wear = {"law": "weibull", "mean": 0.5, "shape": 4}
    scenario = calm(
        start=FOUND, stop=[stop("cutter", every_running_h=wear, restore_min=0)], unwind=LONG_REELS
    )
    counts = [
        stops_of(simulate(scenario, replication=n, hours=0.25, history=False), *CAUSE)[0]
        for n in range(100)
    ]
    assert np.mean(counts) == pytest.approx(0.5, abs=3 * 0.5 / 10)


CAUSE = ("cutter", "fault")
LONG_REELS = {"change_min": 0}


@pytest.mark.parametrize("run_in", [0, 2])
def test_a_cause_is_as_old_as_the_scenario_says_when_counting_begins(run_in):
    scenario = calm(
        start={"state": "as_found", "run_in_h": run_in},
        stop=[stop("cutter", every_running_h=1, since_last=0.75, restore_min=6)],
        unwind=LONG_REELS,
    )
    record = simulate(scenario, hours=0.3)
    assert stops_of(record, *CAUSE) == (1, 180)


def test_machines_have_their_age_too():
    ages = {"every_running_h": 1, "since_last": 0.9, "restore_min": 1}
    causes = [stop(station, **ages) for station in ("bridge", "outfeed")]
    causes.append(stop("wrapper", every_reams=1000, since_last=900, restore_min=1))
    causes.append(stop("transfer", every_clock_h=1, since_last=0.9, restore_min=1))
    scenario = calm(
        start={"state": "as_found", "run_in_h": 1},
        stop=causes,
        outfeed={"rate_reams_per_min": 100, "buffer_reams": 20},
        unwind=LONG_REELS,
    )
    record = simulate(scenario, hours=0.4)
    for station in ("bridge", "wrapper", "transfer", "outfeed"):
        assert stops_of(record, station, "fault")[0] == 1, station
    # The belt always moves and the clock always goes: six minutes are left of their hour.
    for station in ("bridge", "transfer"):
        early = simulate(scenario, hours=0.0999)
        assert stops_of(early, station, "fault")[0] == 0
        assert stops_of(simulate(scenario, hours=0.1001), station, "fault")[0] == 1


def test_an_age_beyond_every_interval_is_a_fault():
    with pytest.raises(ScenarioFaults, match="no interval of this cause lasts so long"):
        calm(stop=[stop("cutter", every_running_h=1, since_last=1)])
    calm(stop=[stop("cutter", every_running_h={"law": "exponential", "mean": 1}, since_last=9)])


def test_a_roll_is_part_used():
    roll = {"rate_reams_per_min": 60, "roll_length_m": 100, "roll_change_min": 1}
    scenario = calm(start=FOUND, wrapper=[roll])
    parts = []
    for luck in range(300):
        (wrapper,) = line_of(scenario, luck).wrappers
        assert 1 <= wrapper.roll_due <= wrapper.roll_reams[0]
        parts.append(wrapper.roll_due / wrapper.roll_reams[0])
    assert np.mean(parts) == pytest.approx(0.5, abs=3 * 0.29 / 300**0.5)
    assert min(parts) < 0.05
    assert max(parts) > 0.95


@pytest.mark.parametrize("at_start", ["fresh", "staggered", None])
def test_reels_when_counting_begins(at_start):
    start = {"state": "as_found", "run_in_h": 1.01}
    scenario = calm(start=start, reels={"at_start": at_start}, unwind=LONG_REELS)
    record = simulate(scenario, hours=0.01)
    books = record.books.paper
    stands = books.at_start / 1e6 / REEL_M
    if at_start == "fresh":
        assert stands == pytest.approx(5, abs=0.001)
    elif at_start == "staggered":
        assert stands == pytest.approx(3, abs=0.001)
    else:
        assert 0 < stands < 5


def test_the_run_in_is_not_counted_and_its_time_is_before_the_run():
    slow = [{"rate_reams_per_min": 32}]
    start = {"state": "as_found", "run_in_h": 0.5}
    scenario = one_web(start=start, unwind=LONG_REELS, wrapper=slow)
    record = simulate(scenario, hours=1, history=True)
    assert (record.start_ns, record.end_ns, record.begun_ns) == (0, HOUR_NS, -HOUR_NS // 2)
    assert seconds_in(record, "cutter", State.RUNNING) == pytest.approx(3600, abs=1)
    # 4 m of web a second, and no ream is made before the run or lost at its ends.
    assert record.books.web_um == pytest.approx(4 * 3600 * 1e6, rel=1e-3)
    assert record.books.reams.at_start > 0
    assert record.history.spans.start_ns.min() == 0


def test_calendar_and_forced_stops_keep_their_times():
    scenario = one_web(
        start={"state": "as_found", "run_in_h": 0.5},
        line={"shift_hours": 1},
        break_=[{"start_h": 0.25, "minutes": 6}],
        unwind=LONG_REELS,
    )
    forced = ForcedStop(station="cutter", at_h=0.5, minutes=3)
    record = simulate(scenario, hours=1, forced=[forced])
    spans = record.history.spans.of(record.station("cutter"))
    begins = {
        state: spans.start_ns[spans.state == state] / HOUR_NS
        for state in (State.PLANNED, State.DOWN)
    }
    assert begins[State.PLANNED][0] == pytest.approx(0.25, abs=1e-6)
    assert begins[State.DOWN][0] == pytest.approx(0.5, abs=1e-6)


def test_the_run_in_is_shifts_with_their_breaks():
    scenario = one_web(
        start={"state": "as_found", "run_in_h": 1.5},
        line={"shift_hours": 1},
        break_=[{"start_h": 0.25, "minutes": 6}],
    )
    starts = [pause.start / HOUR_NS for pause in line_of(scenario).calendar.pauses]
    assert starts == pytest.approx([0.75, 1.75])


def test_orders_begin_on_an_empty_line():
    scenario = calm(start={"state": "as_found"}, order=[{"name": "one", "reams": 40}])
    record = simulate(scenario, hours=1)
    assert record.begun_ns == 0
    assert record.books.reams.at_start == 0


def test_a_standing_station_is_given_its_age_all_the_same():
    scenario = calm(
        start={"state": "as_found", "run_in_h": 1},
        stop=[
            stop("wrapper", "long", every_reams=1, restore_min=600),
            stop("wrapper", "other", every_reams=100, since_last=40),
        ],
    )
    line = line_of(scenario)
    run = Interpreted(site_of(scenario, Chance(1, 0)), line)
    run.run_to(HOUR_NS)
    (wrapper,) = line.wrappers
    assert wrapper.stands
    run.do(begin_as_said)
    number = line.accounts.names.index("other")
    (other,) = [cause for cause in wrapper.causes if cause.number == number]
    assert other.due == wrapper.done + 60
