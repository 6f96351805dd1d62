"""Stop causes on their meters, and the people who end them."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.record import State
from linesim.scenario import ForcedStop
from tests.line.calm_line import calm, seconds_in, spans_of, stop, stops_of


def begins(record, station: str, state: State = State.DOWN) -> list[float]:
    """Seconds at which the station's spans in ``state`` begin."""
    return [s[0] for s in spans_of(record, station) if s[2] == state]


@pytest.mark.parametrize(
    ("meter", "every", "seconds"),
    [
        ("every_running_h", 0.1, 360.0),
        ("every_clock_h", 0.1, 360.0),
        ("every_web_km", 1.2, 300.0),  # at 4 m/s
        ("every_cuts", 4000, 300.0),  # at 800 a minute
        ("every_reams", 40, 75.0),  # ten sets
    ],
)
def test_a_cause_falls_due_on_its_meter(meter: str, every: float, seconds: float) -> None:
    record = simulate(calm(stop=[stop("cutter", **{meter: every})]), hours=0.2)
    assert begins(record, "cutter")[0] == pytest.approx(seconds, abs=1e-6)


@pytest.mark.parametrize(
    ("station", "meter", "moment"),
    [
        # The line stands from 180 s to 1380 s.
        ("cutter", "every_running_h", 1800 + 1200.0),
        ("cutter", "every_clock_h", 1800.0),
        ("unwind", "every_running_h", 1800 + 1200.0),
        ("wrapper", "every_clock_h", 1800.0),
    ],
)
def test_meters_of_a_standing_station_stand_and_the_clock_does_not(
    station: str, meter: str, moment: float
) -> None:
    forced = [ForcedStop(station="slitter", at_h=0.05, minutes=20)]
    record = simulate(calm(stop=[stop(station, **{meter: 0.5})]), hours=0.85, forced=forced)
    assert begins(record, station)[0] == pytest.approx(moment, abs=1e-6)


def test_a_clock_stop_happens_to_a_standing_line_too() -> None:
    """It stands from 1800 s for 40 min for one thing; at 2700 s the other begins, for 30 min."""
    forced = [ForcedStop(station="slitter", at_h=0.5, minutes=40)]
    dip = stop("cutter", every_clock_h=0.75, restore_min=30)
    record = simulate(calm(stop=[dip]), hours=1.4, forced=forced)
    assert begins(record, "cutter") == [2700.0]
    assert stops_of(record, "cutter", "fault") == (1, 1800.0)
    running = [s for s in spans_of(record, "unwind") if s[2] == State.RUNNING]
    assert running[1][0] == 4500.0


@pytest.mark.parametrize("station", ["cutter", "transfer", "bridge", "wrapper"])
def test_a_clock_cause_that_is_being_mended_does_not_fall_due_again(station: str) -> None:
    """Every 6 min by the clock, 10 min to mend: 360 to 960 s, 1320 to 1920 s, 2280 to 2880 s."""
    record = simulate(calm(stop=[stop(station, every_clock_h=0.1, restore_min=10)]), hours=0.9)
    assert begins(record, station) == [360.0, 1320.0, 2280.0]
    assert stops_of(record, station, "fault") == (3, 1800.0)


def test_a_clock_cause_that_waits_for_the_morning_does_not_fall_due_again() -> None:
    """Eight hours a day. Due at 3 h, at 6.1 h, and at 9.2 h when nobody is there: mended from 24 h
    to 24.1 h, so next at 27.1 h."""
    controls = stop("cutter", "controls", every_clock_h=3, restore_min=6, people=1)
    scenario = calm(calendar={"shifts_per_day": 1}, stop=[controls])
    record = simulate(scenario, hours=29)
    assert stops_of(record, "cutter", "controls")[0] == 4
    hours = [round(start / 3600, 6) for start in begins(record, "cutter")]
    assert hours == [3.0, 6.1, 24.0, 27.1]


def test_webs_that_run_down_do_not_bring_the_same_stop_again() -> None:
    """At 4 m/s and 2 m/s2 they run 4 m down, 13 cuts of 0.3 m, and the cause comes every 10 cuts:
    each stop is over before the next begins, as soon as the webs move."""
    ramps = {"run_up_m_per_min_per_s": 0, "run_down_m_per_min_per_s": 120}
    scenario = calm(cutter=ramps, stop=[stop("cutter", every_cuts=10, restore_min=1)])
    record = simulate(scenario, hours=0.2)
    spans = [span for span in spans_of(record, "cutter") if span[3] == "fault"]
    standing = [end - start for start, end, state, *_ in spans if state == State.DOWN]
    # Ten cuts take 0.75 s, to stand 2 s, to mend 60 s: from one stop to the next it is 62 s.
    assert len(standing) == int((720 - 2.75) / 62) + 1
    assert stops_of(record, "cutter", "fault")[0] == len(standing)
    assert standing[:-1] == pytest.approx([60.0] * (len(standing) - 1))


@pytest.mark.parametrize(
    ("meter", "expected"),
    [
        ({"every_reams": 12}, [(27.5, 87.5), (115, 175)]),
        ({"every_cuts": 300}, [(27.5, 87.5), (115, 175)]),
    ],
)
def test_a_stop_due_with_a_full_set_comes_though_the_webs_stand_for_the_set(
    meter: dict[str, float], expected: list[tuple[float, float]]
) -> None:
    """The transfer takes 10 s, a set 7.5 s: the webs stand 2.5 s at every set, from 7.5 s on.

    Every third set a stop of 60 s is due, by its reams as by its last cut: the third is full at
    27.5 s, the webs run again at 87.5 s, and fill three more by 115 s.
    """
    slow = {f"{part}_s": 2.5 for part in ("pick", "carry", "place", "return")}
    slow["paces_webs"] = False
    scenario = calm(
        transfer=slow,
        pockets={"interim_fingers": False},
        stop=[stop("cutter", "knife", **meter)],
    )
    record = simulate(scenario, hours=0.05)
    stops = [span[:2] for span in spans_of(record, "cutter") if span[3] == "knife"]
    assert stops == expected


def test_the_wrapper_meter_stands_while_the_wrapper_has_no_reams() -> None:
    """Reams of 1 s come four in 7.5 s: of 0.01 h = 36 s running, the ninth set is the last."""
    record = simulate(calm(stop=[stop("wrapper", every_running_h=0.01)]), hours=0.1)
    # The 36th running second ends with the ninth set, which is at the wrapper 3 s after it is
    # full; the stop begins as the next ream does.
    assert begins(record, "wrapper")[0] == pytest.approx(10 * 7.5 + 3, abs=1e-6)


def test_a_cause_that_never_falls_due_changes_nothing() -> None:
    jam = stop("wrapper", "jam", every_reams={"law": "exponential", "mean": 80}, restore_min=1)
    never = stop("cutter", "never", every_clock_h=1e6)
    plain = simulate(calm(stop=[jam]), hours=2, seed=4)
    more = simulate(calm(stop=[never, jam]), hours=2, seed=4)
    assert more.books == plain.books
    assert more.losses == plain.losses
    assert spans_of(more, "wrapper") == spans_of(plain, "wrapper")


def test_the_order_in_which_causes_are_written_changes_nothing() -> None:
    causes = [
        stop("wrapper", "jam", every_reams={"law": "exponential", "mean": 80}),
        stop("cutter", "overload", every_running_h={"law": "weibull", "mean": 0.2, "shape": 2}),
        stop("pockets", "jogging", every_clock_h={"law": "exponential", "mean": 0.3}),
        stop("unwind", "brake", every_web_km=1.7, per_web=True),
    ]
    one = simulate(calm(stop=causes), hours=2, seed=9)
    other = simulate(calm(stop=causes[::-1]), hours=2, seed=9)
    assert one.sums == other.sums
    assert one.books == other.books
    assert one.stops == other.stops


def test_every_web_has_a_cause_of_its_own() -> None:
    brake = stop("unwind", "brake", every_running_h=0.1, per_web=True, restore_min=2)
    record = simulate(calm(stop=[brake]), hours=0.2)
    for web in range(1, 6):  # all at the same moment, side by side
        assert stops_of(record, "unwind", f"brake (web {web})")[0] == 1
    assert seconds_in(record, "unwind", State.DOWN) == 120.0


def test_one_person_goes_where_the_priority_is() -> None:
    """He is busy from 1440 s to 2040 s; cutter and wrapper have asked for him at 1800 s.

    The line first: the cutter is down 2040 to 2640 s, the wrapper from then on. Or the other way.
    """
    causes = [
        stop("pockets", "busy", every_clock_h=0.4, restore_min=10, people=1),
        stop("cutter", "cutter", every_clock_h=0.5, restore_min=10, people=1),
        stop("wrapper", "wrapper", every_clock_h=0.5, restore_min=10, people=1),
    ]
    line_first = simulate(calm(stop=causes, crew={"size": 1}), hours=0.78)
    assert begins(line_first, "cutter") == [2040.0]
    assert begins(line_first, "wrapper") == [2640.0]
    assert seconds_in(line_first, "wrapper", State.WAITING_PEOPLE) == 840.0
    priorities = {"size": 1, "priority_standing_line": 3, "priority_standing_wrapper": 2}
    wrapper_first = simulate(calm(stop=causes, crew=priorities), hours=0.78)
    assert begins(wrapper_first, "wrapper") == [2040.0]
    assert begins(wrapper_first, "cutter") == [2640.0]
    both = simulate(calm(stop=causes, crew={"size": 3}), hours=0.78)
    assert begins(both, "wrapper") == begins(both, "cutter") == [1800.0]


def test_preparing_a_reel_waits_for_whoever_mends_the_line() -> None:
    """One person: the reel runs out at 1943.86 s while he mends from 1900 s to 2500 s."""
    unwind = {
        "webs": 1,
        "change": "standstill_splice",
        "stands_per_web": 2,
        "splice_min": 1,
        "splice_people": 1,
        "prepare_people": 1,
        "prepare_min": 5,
    }
    fault = stop("wrapper", every_clock_h=1900 / 3600, restore_min=10, people=1)
    scenario = calm(unwind=unwind, product={"sheets_per_ream": 100}, stop=[fault], crew={"size": 1})
    record = simulate(scenario, hours=0.9)
    assert begins(record, "unwind", State.WAITING_PEOPLE)[0] == pytest.approx(1943.86, abs=0.01)
    assert begins(record, "unwind", State.CHANGEOVER)[0] == 2500.0


def test_a_stop_at_no_known_station_is_refused() -> None:
    with pytest.raises(ValueError, match="no station called 'oven'"):
        simulate(calm(), hours=1, forced=[ForcedStop(station="oven", at_h=0, minutes=1)])


@pytest.mark.parametrize(("hours", "warm_up"), [(0, 0), (-1, 0), (1, -2)])
def test_a_run_must_have_a_length(hours: float, warm_up: float) -> None:
    with pytest.raises(ValueError, match="a run of"):
        simulate(calm(), hours=hours, warm_up_h=warm_up)
