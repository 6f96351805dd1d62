"""Counts of an invented plant held against its own model, and against a wrong one."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterator

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.plant.production import ProductionCount
from linesim.plant.shifts_alike import PlannedTime, Stretch, minutes_needed, step_of
from linesim.plant.stops_compared import LoggedStop, compare_stops
from linesim.plant.validate import ValidationError, validate
from linesim.report.answers.validate import validate_answer
from linesim.scenario import Scenario, doubted, drawn
from linesim.scenario.units import MINUTE
from linesim.studies.outcome import outcome_of
from linesim.studies.runner import Runner, Settings
from tests.line.calm_line import calm
from tests.studies.lines import textbook_line

MONDAY = dt.datetime(2026, 3, 2, 6)


def hour(n: float) -> dt.datetime:
    return MONDAY + dt.timedelta(hours=n)


def plant(scenario: Scenario, hours: int, *, seed: int = 77):
    """Counts of every hour, and the record, of a run with luck of its own."""
    record = simulate(scenario, seed=seed, hours=hours, buckets=hours)
    counts = tuple(
        ProductionCount(hour(n), hour(n + 1), reams, None, n + 2)
        for n, reams in enumerate(record.good_per_bucket)
    )
    return counts, record


def line(wrapper_mean_min: float = 2.0, *, calendar_starts: str | None = None) -> Scenario:
    """Two unreliable stations with shifts of an hour, so that runs are short."""
    scenario = textbook_line(20)
    stops = [stop.model_dump(exclude_none=True) for stop in scenario.stop]
    stops[1]["restore_min"] = {"law": "exponential", "mean": wrapper_mean_min}
    return scenario.varied(
        line={"shift_hours": 1}, stop=stops, calendar={"starts": calendar_starts}
    )


@pytest.fixture(scope="module")
def runs() -> Iterator[Runner]:
    """Runs of the model, made once: 8 of 10 h."""
    with Runner(Settings(replications=8, hours=10, processes=1)) as runner:
        yield runner


def test_the_plant_s_own_model_is_not_spoken_against(runs: Runner) -> None:
    counts, _ = plant(line(), 24)
    found = validate(line(), runs, counts[:20])
    assert found.matches
    assert found.totals is not None
    assert found.totals.actual == sum(count.good_reams for count in counts[:20])
    assert found.inside is not None
    assert found.inside.n == 20
    assert found.inside.count >= 17
    assert [day.counts for day in found.days] == [18, 2]
    assert sum(day.actual for day in found.days) == found.totals.actual
    assert found.stops is None
    # The band is for a single hour, much wider than that of the mean. All hours are alike, and
    # the first of each of the 8 runs is left out; the day of 18 h has made the runs longer.
    band = found.counts[0].band
    assert band is not None
    assert band.high - band.low > 4 * found.totals.predicted.half_width / 20
    assert found.hours == 19
    assert band.n == 8 * 18
    # A digit that was left out is asked about, and a count that is only low is not.
    fifth = counts[5].good_reams
    for written, asked in ((fifth // 10, True), (fifth * 3 // 4, False)):
        other = dataclasses.replace(counts[5], good_reams=written)
        found = validate(line(), runs, (*counts[:5], other, *counts[6:20]))
        words = validate_answer(line(), found).words
        assert any(each.startswith("Look at these first, which weigh") for each in words) is asked


def test_a_model_that_is_wrong_does_not_match_and_the_station_is_found(runs: Runner) -> None:
    """The plant's wrapper stands three times as long as the model has it."""
    counts, record = plant(line(6.0), 24)
    found = validate(line(), runs, counts[:20], log=stops_of(record))
    assert not found.matches
    assert not found.totals_agree
    assert found.totals is not None
    assert found.totals.actual < found.totals.predicted.low
    assert found.stops is not None
    first = found.stops.first_off
    assert first is not None
    assert (first.station, first.cause) == ("wrapper", "wrapper fails")
    assert first.length_off
    assert first.predicted_min is not None
    assert first.actual_min > 1.5 * first.predicted_min.mean
    sheeter = next(each for each in found.stops.causes if each.cause == "sheeter fails")
    assert not sheeter.off


def stops_of(record) -> list[LoggedStop]:
    """The run's own stops of the two causes, as a log would have them."""
    spans = record.history.spans
    found = []
    for station, cause in (("cutter", "sheeter fails"), ("wrapper", "wrapper fails")):
        rows = spans.of(record.station(station))
        number = record.causes.index(cause)
        for i in range(len(rows.start_ns)):
            if rows.cause[i] == number and rows.root_station[i] < 0:
                minutes = (rows.end_ns[i] - rows.start_ns[i]) / MINUTE
                found.append(
                    LoggedStop(hour(rows.start_ns[i] / MINUTE / 60), float(minutes), station, cause)
                )
    return found


def test_a_right_model_is_refused_about_as_often_as_stated(runs: Runner) -> None:
    """24 plants with luck of their own: 5 % is 1.2; 6 or more would be 1 in 700."""
    wrong = 0
    for seed in range(200, 224):
        counts, _ = plant(line(), 5, seed=seed)
        wrong += not validate(line(), runs, counts).matches
    assert wrong < 6


def test_only_the_counts_kept_back_are_used(runs: Runner) -> None:
    counts, _ = plant(line(), 10)
    found = validate(line(), runs, counts, since=hour(4), until=hour(7))
    assert [each.start for each in found.counts] == [hour(4), hour(5), hour(6)]
    assert found.left_out == 7
    assert found.first_counted == hour(4)


@pytest.mark.parametrize(
    ("scenario", "counts", "more", "said"),
    [
        (
            calm(order=[{"name": "a", "reams": 40}]),
            [ProductionCount(hour(0), hour(2), 5, None, 2)],
            {},
            "has orders",
        ),
        (
            line(calendar_starts="2026-03-03 06:00"),
            [ProductionCount(hour(0), hour(2), 5, None, 2)],
            {},
            "1 counts begin before 2026-03-03 06:00",
        ),
        (
            line(),
            [ProductionCount(hour(0), hour(2), 5, None, 2)],
            {"since": hour(900)},
            "counts go from 2026-03-02 06:00",
        ),
    ],
)
def test_what_cannot_be_compared_is_said(runs: Runner, scenario, counts, more, said) -> None:
    with pytest.raises(ValidationError, match=said):
        validate(scenario, runs, counts, **more)


def two_shifts() -> Scenario:
    """Two shifts of 8 h a day, a break in each, a cleaning every second day in the late one."""
    return calm(
        line={"shift_hours": 8},
        calendar={"shifts_per_day": 2},
        break_=[{"start_h": 4, "minutes": 30}],
        planned_work=[{"name": "cleaning", "start_h": 14, "every_h": 48, "minutes": 60}],
    )


def test_shifts_are_alike_by_their_pauses() -> None:
    calendar = PlannedTime(two_shifts(), 5 * 24 * 60)
    early, late, free = Stretch(0, 480), Stretch(480, 960), Stretch(960, 1440)
    next_late = Stretch(24 * 60 + 480, 24 * 60 + 960)
    assert calendar.pattern(early) == (480, ((240, 270, "break", 0),))
    assert calendar.pattern(early) == calendar.pattern(next_late) != calendar.pattern(late)
    assert calendar.worked_min(early) == 450
    assert calendar.worked_min(late) == 390
    assert calendar.worked_min(free) == 0
    whole = Stretch(0, 4 * 24 * 60)
    alike = calendar.like(calendar.pattern(early), whole, 480)
    # Early on days 1 to 4, late on days 2 and 4.
    assert [each.start / 60 for each in alike] == [0, 24, 32, 48, 72, 80]


def test_a_run_is_as_long_as_the_rarest_shift_needs() -> None:
    calendar = PlannedTime(two_shifts(), 10 * 24 * 60)
    places = [Stretch(n * 480, n * 480 + 480) for n in range(30)]
    assert step_of(places) == 480
    # Skipping the first shift: the late shift with cleaning is there at once, 8 to 16 h, the
    # early kind from 24 h on, and the night from 16 h.
    assert minutes_needed(calendar, places, 480, 480) == 32 * 60
    assert step_of([Stretch(360, 480), Stretch(480, 1440)]) == 120


def test_stops_are_counted_in_planned_hours_and_unknown_ones_listed() -> None:
    """Ten stops an hour of planned time predicted; the plant has 5 in 2 h, each of 1 min."""
    scenario = calm(
        stop=[
            {
                "cause": "jam",
                "station": "wrapper",
                "every_clock_h": 0.1,
                "restore_min": 1,
                "people": 0,
            },
            {
                "cause": "never logged",
                "station": "gate",
                "every_clock_h": 0.3,
                "restore_min": 0.1,
                "people": 0,
            },
            {
                "cause": "too rare for the runs",
                "station": "cutter",
                "every_clock_h": 500,
                "restore_min": 9,
                "people": 0,
            },
        ]
    )
    rows = [
        outcome_of(simulate(scenario, seed=1, replication=n, hours=4, history=False))
        for n in range(3)
    ]
    log = [LoggedStop(hour(n / 3), 1.0 + n / 10, "wrapper", "jam") for n in range(5)]
    log.append(LoggedStop(hour(1), 3.0, "outfeed", "no pallet"))
    log.append(LoggedStop(hour(1), 9.0, "cutter", "too rare for the runs"))
    found = compare_stops(scenario, rows, log, plant_h=2, run_h=4, level=0.95)
    rare, jam = found.causes
    assert (rare.actual, rare.predicted.mean) == (1, 0)
    # One stop in 2 h against none in 12 h: 1 in 7, not odd enough.
    assert rare.count_p == pytest.approx(1 / 7)
    assert not rare.off
    # A clock of 0.1 h and a minute of standing: 39 in 4 h, 34 where the meter waits meanwhile.
    assert 16 <= jam.predicted.mean <= 20
    assert jam.count_off
    assert jam.actual == 5
    assert jam.actual_min == pytest.approx(1.2)
    assert jam.predicted_min is not None
    assert jam.predicted_min.mean == pytest.approx(1.0, abs=0.05)
    assert found.only_logged == (("outfeed", "no pallet", 1),)
    assert ("gate", "never logged") in [each[:2] for each in found.only_predicted]


def test_causes_stand_in_the_order_of_the_paper() -> None:
    """Several wrappers are one to a log, and stand where the first of them does."""
    stop = {"every_clock_h": 0.1, "restore_min": 1, "people": 0}
    scenario = calm(
        wrapper=[{"name": "left"}, {"name": "right"}],
        outfeed={},
        stop=[
            {"cause": "full", "station": "outfeed", **stop},
            {"cause": "jam", "station": "wrapper", **stop},
            {"cause": "gripper", "station": "transfer", **stop},
        ],
    )
    rows = [outcome_of(simulate(scenario, seed=1, replication=0, hours=1, history=False))] * 2
    places = ("outfeed", "full"), ("right", "jam"), ("transfer", "gripper")
    log = [LoggedStop(hour(0), 1.0, *each) for each in places]
    found = compare_stops(scenario, rows, log, plant_h=1, run_h=1, level=0.95)
    assert [each.station for each in found.causes] == ["transfer", "wrapper", "outfeed"]


def doubted_line(interval: float = 1.0) -> Scenario:
    """The line as 90 stops of a log know each of its causes; the wrapper's interval by a factor."""
    stops = []
    for stop in line().stop:
        factor = interval if stop.station == "wrapper" else 1.0
        mean = factor * stop.interval.average()
        doubt = {"of": stop.meter, "between": [mean / 1.23, mean * 1.23], "stops": 90}
        data = stop.model_dump(exclude_none=True)
        stops.append(data | {stop.meter: {"law": "exponential", "mean": mean}, "doubt": [doubt]})
    return line().varied(stop=stops)


@pytest.fixture(scope="module")
def doubting() -> Iterator[Runner]:
    """Runs of plants that agree with what is known, made once: two squares more than asked."""
    with Runner(Settings(replications=14, hours=10, processes=1)) as runner:
        yield runner


def test_bands_and_totals_take_in_what_is_not_known(runs: Runner, doubting: Runner) -> None:
    counts, record = plant(line(), 20)
    sure = validate(line(), runs, counts)
    (stated,) = doubting.as_stated({"": doubted_line()}).values()
    found = validate(stated, doubting, counts, log=stops_of(record))
    assert found.crossed
    assert not sure.crossed
    assert found.matches
    assert found.totals is not None
    assert sure.totals is not None
    assert found.totals.predicted.doubt > 0.5 * sure.totals.predicted.half_width
    assert found.totals.predicted.half_width == pytest.approx(
        sure.totals.predicted.half_width, rel=0.5
    )
    band, narrow = found.counts[0].band, sure.counts[0].band
    assert band is not None
    assert narrow is not None
    assert band.high - band.low > 0.95 * (narrow.high - narrow.low)
    assert found.stops is not None
    assert found.stops.first_off is None
    assert all(each.predicted.doubt > 0 for each in found.stops.causes)


def test_a_right_model_in_doubt_is_refused_about_as_often_as_stated(doubting: Runner) -> None:
    """Plants drawn from what is known: 30 give 1.5 by counts, 1.5 by stops; 7 of either is rare."""
    model = doubted_line()
    (stated,) = doubting.as_stated({"": model}).values()
    by_counts = by_stops = 0
    rng = np.random.default_rng(4)
    figures = doubted(model)
    for seed in range(30):
        drawn_scores = {each.name: float(rng.normal()) for each in figures}
        counts, record = plant(drawn(line(), figures, drawn_scores), 12, seed=300 + seed)
        found = validate(stated, doubting, counts, log=stops_of(record))
        by_counts += not found.matches
        assert found.stops is not None
        by_stops += found.stops.first_off is not None
    assert by_counts < 7
    assert by_stops < 7


def test_an_interval_far_from_what_is_known_is_named(doubting: Runner) -> None:
    counts, record = plant(line(), 60)
    (stated,) = doubting.as_stated({"": doubted_line(2.0)}).values()
    found = validate(stated, doubting, counts, log=stops_of(record))
    assert found.stops is not None
    assert [each.cause for each in found.stops.causes if each.off] == ["wrapper fails"]
