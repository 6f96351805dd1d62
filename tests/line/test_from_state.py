"""A line put up from a state: what follows at once is worked out on paper."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import scipy.stats

from linesim.fast import simulate
from linesim.fast.engine import state_after
from linesim.line.assembly import assemble, site_of
from linesim.line.chance import Chance
from linesim.record import Record, State
from linesim.scenario import LineState, Scenario, check_state_text, dump_state, find_scenario, load
from tests.line.calm_line import SECOND, calm, one_web, spans_of, stop

MOMENT = "2026-03-02 14:20"


def state(**said: Any) -> LineState:
    """At ten minutes to half past two, nothing on the bridge unless said."""
    return LineState.model_validate({"moment": MOMENT, "bridge": {"reams": 0}} | said)


def run(scenario: Scenario, hours: float = 0.5, seed: int = 1, **said: Any) -> Record:
    """Either way of running gives the same."""
    made = state(**said)
    records = [
        simulate(scenario, seed=seed, hours=hours, state=made, engine=engine)
        for engine in ("interpreted", "compiled")
    ]
    assert records[0].books == records[1].books
    assert records[0].sums == records[1].sums
    assert records[0].books.faults() == []
    return records[1]


def ends_s(record: Record) -> np.ndarray:
    assert record.history is not None
    return record.history.ream_end_ns / SECOND


def test_reams_on_the_bridge_are_wrapped_first() -> None:
    """40 there, one a second: the first 40 end at 1, 2, ..., 40 s."""
    record = run(calm(), bridge={"reams": 40})
    assert ends_s(record)[:40].tolist() == list(range(1, 41))
    assert record.books.reams.at_start == 40


def test_reams_that_still_travel_come_later() -> None:
    """10 m at 20 m/min are 30 s of travel. Sets of 4 are put down every 7.5 s: of six sets the
    last has all of it to go, the four before it 22.5, 15, 7.5 and 0 s, and the first is there."""
    line = calm(bridge={"length_m": 10, "belt_speed_m_per_min": 20, "places": 30})
    first = ends_s(run(line, bridge={"reams": 24}))
    assert first[[0, 7, 8, 12, 16, 20]].tolist() == [1, 8, 9, 16, 23.5, 31]


def test_what_is_down_has_only_its_rest_to_come() -> None:
    """Ten minutes to mend, down for four: the first ream is begun after six."""
    line = calm(stop=[stop("wrapper", every_running_h=1000, restore_min=10)])
    down = {"cause": "fault", "since": "14:16"}
    record = run(line, bridge={"reams": 40}, down=[down])
    assert ends_s(record)[0] == 361
    awaited = run(line, bridge={"reams": 40}, down=[down | {"people": "awaited"}])
    assert ends_s(awaited)[0] == 601
    said = run(line, bridge={"reams": 40}, down=[down | {"remaining_min": 2.5}])
    assert ends_s(said)[0] == 151


def test_webs_that_stand_run_again_with_the_first_cuts_rejected() -> None:
    """Mended after 3 min; 100 cuts of 75 ms make a set, 20 after a stop are rejected."""
    line = calm(
        gate={"cuts_after_stop": 20},
        stop=[stop("cutter", every_running_h=1000, restore_min=5)],
    )
    reels = [{"web": web + 1, "left_m": 5000} for web in range(5)]
    record = run(line, down=[{"cause": "fault", "since": "14:18"}], reel=reels)
    begun, ended, standing, cause, _ = spans_of(record, "cutter")[0]
    assert (begun, ended, standing, cause) == (0, 180, State.DOWN, "fault")
    assert record.books.paper.rejected["after_stop"] == 20 * 5 * 300_000


def test_a_station_that_stands_for_something_else() -> None:
    record = run(calm(), down=[{"station": "bridge", "remaining_min": 4}])
    assert spans_of(record, "bridge")[0][:3] == (0, 240, State.DOWN)


def test_a_web_break_and_a_roll_are_ended() -> None:
    line = calm(
        web_path={"rethread_held_min": 6, "rethread_lost_min": 6},
        wrapper=[
            {
                "rate_reams_per_min": 60,
                "roll_length_m": 1000,
                "roll_change": "stop",
                "roll_change_min": 8,
            }
        ],
    )
    downs = [{"cause": "web break", "since": "14:16"}, {"cause": "wrapping roll", "since": "14:17"}]
    record = run(line, bridge={"reams": 5}, down=downs)
    assert spans_of(record, "web_path")[0][:3] == (0, 120, State.DOWN)
    assert spans_of(record, "wrapper")[0][:3] == (0, 300, State.CHANGEOVER)


def test_a_web_that_is_torn_now_is_brought_up_by_hand() -> None:
    """Threaded in two minutes more, then a minute at a quarter of the speed."""
    line = one_web(
        cutter={"hand_ramp_fractions": [0.25], "hand_ramp_min": [1]},
        web_path={"rethread_held_min": 6, "rethread_lost_min": 6, "rethread_people": 0},
    )
    spans = spans_of(run(line, down=[{"cause": "web break", "since": "14:16"}]), "cutter")
    assert [(s[1], s[3]) for s in spans[:2]] == [(120, "web break"), (180, "ramp by hand")]


def test_a_reel_lasts_as_long_as_its_paper() -> None:
    """400 m at 4 m/s are 100 s; a change takes ten minutes."""
    line = one_web()
    spans = spans_of(run(line, reel=[{"web": 1, "left_m": 400}]), "unwind")
    changed = next(span for span in spans if span[2] == State.CHANGEOVER)
    assert changed[:2] == pytest.approx((100, 700), abs=1e-3)


def test_a_diameter_stands_for_its_metres() -> None:
    """A reel of 400 mm: pi (400^2 - 100^2) / 4 / 0.1 mm = 1178.1 m, 294.52 s."""
    record = run(one_web(), reel=[{"web": 1, "diameter_mm": 400}])
    spans = spans_of(record, "unwind")
    changed = next(span for span in spans if span[2] == State.CHANGEOVER)
    assert changed[0] == pytest.approx(294.52, abs=0.01)


def test_a_reel_is_being_changed() -> None:
    line = one_web()
    down = {"cause": "reel change", "web": 1, "since": "14:13"}
    record = run(line, down=[down], reel=[{"web": 1, "left_m": 0}])
    assert spans_of(record, "unwind")[0][:3] == (0, 180, State.CHANGEOVER)


@pytest.mark.parametrize("stands", [{"stands_per_web": 2}, {"spare_stands": 1}])
def test_a_splice_takes_the_time_of_a_splice_whoever_has_the_next_reel(
    stands: dict[str, int],
) -> None:
    """Of 3 min two have passed; a standing change would take 10 of them."""
    unwind = {"change": "standstill_splice", "splice_min": 3, "splice_people": 0, "change_min": 10}
    line = one_web(unwind=unwind | stands)
    down = {"cause": "splice", "web": 1, "since": "14:18"}
    record = run(line, down=[down], reel=[{"web": 1, "left_m": 0}])
    assert spans_of(record, "unwind")[0][:3] == (0, 60, State.CHANGEOVER)


def test_a_partner_that_is_not_ready_is_waited_for() -> None:
    """Ten minutes in all to prepare: how much of it is done nobody says, so any part may be."""
    line = one_web(
        unwind={
            "stands_per_web": 2,
            "change": "standstill_splice",
            "splice_min": 1,
            "prepare_min": 10,
            "splice_people": 0,
            "prepare_people": 0,
        }
    )
    reel = {"web": 1, "left_m": 4, "partner_ready": False}
    waits = [
        next(s for s in spans_of(run(line, seed=seed, reel=[reel]), "unwind") if s[1] - s[0] > 1)
        for seed in range(8)
    ]
    assert all(span[2] == State.WAITING_REEL and span[1] < 600 for span in waits)
    assert len({span[1] for span in waits}) == 8


def test_a_roll_lasts_for_what_is_left() -> None:
    line = calm(
        wrapper=[
            {
                "rate_reams_per_min": 60,
                "roll_length_m": 1000,
                "roll_change": "stop",
                "roll_change_min": 3,
            }
        ]
    )
    record = run(line, bridge={"reams": 40}, roll=[{"wrapper": "wrapper", "reams_left": 25}])
    first = next(s for s in spans_of(record, "wrapper") if s[2] == State.CHANGEOVER)
    assert first[:2] == (25, 205)


def test_what_is_left_of_a_wearing_part() -> None:
    """1,000 cuts between changes, 900 made: the hundredth falls due, 75 ms each."""
    knife = stop("cutter", every_cuts=1000, restore_min=1)
    record = run(calm(stop=[knife]), wear=[{"cause": "fault", "used": 900}])
    first = next(s for s in spans_of(record, "cutter") if s[2] == State.DOWN)
    assert first[0] == pytest.approx(7.5)


def test_each_web_has_its_own_age() -> None:
    """Of five webs the third has run 995 m of 1,000 m: it is first, and the others 300 m later."""
    line = calm(stop=[stop("unwind", every_web_km=1, per_web=True)])
    ages = [{"cause": "fault", "used": 0.7}, {"cause": "fault", "web": 3, "used": 0.995}]
    record = run(line, wear=ages)
    downs = [s for s in spans_of(record, "unwind") if s[2] == State.DOWN]
    assert downs[0][3] == "fault (web 3)"
    assert downs[0][0] == pytest.approx(1.25)
    assert downs[1][0] == pytest.approx(75 + 60)


def test_the_calendar_goes_on() -> None:
    """A break from 10:00 to 10:30; at 10:10 twenty minutes of it are left."""
    line = calm(calendar={"starts": "2026-03-02 06:00"}, break_=[{"start_h": 4, "minutes": 30}])
    record = run(line, moment="2026-03-02 10:10")
    assert record.start_ns == (4 * 60 + 10) * 60 * SECOND
    at = record.start_ns / SECOND
    assert spans_of(record, "wrapper")[0][:3] == (at, at + 1200, State.PLANNED)


def test_hours_into_the_shift_where_no_date_is_given() -> None:
    line = calm(break_=[{"start_h": 4, "minutes": 30}])
    record = run(line, into_shift_h=3.9)
    first = next(s for s in spans_of(record, "wrapper") if s[2] == State.PLANNED)
    assert first[0] == 4 * 3600


def test_orders_before_are_done_and_the_one_in_hand_goes_on() -> None:
    """Of 100 reams 60 are made and 20 on the bridge; 5 more sets of 4 are wanted, or so."""
    line = calm(
        order=[{"name": "a", "reams": 50}, {"name": "b", "reams": 100}, {"name": "c", "reams": 9}],
        start={"state": "as_found"},
    )
    record = run(line, bridge={"reams": 20}, order={"name": "b", "reams_made": 60}, reel=[])
    first, second, third = record.orders
    assert first.wrapped_ns == record.start_ns
    assert second.wrapped_ns is not None
    assert third.wrapped_ns is not None
    # 40 are missing: the last of them is the 20th that is cut from now on, in the fifth set.
    assert ends_s(record)[39] * SECOND == second.wrapped_ns
    assert ends_s(record)[48] * SECOND == third.wrapped_ns


def test_another_order_with_other_paper() -> None:
    thick = {"name": "b", "reams": 1000, "thickness_um": 200}
    line = calm(order=[{"name": "a", "reams": 5}, thick])
    record = run(line, hours=0.1, order={"name": "b"})
    left = [move for move in record.supplies.reels if not move.back]
    assert all(move.thickness_um == 200 for move in left)


def test_what_is_behind_the_wrappers() -> None:
    """Five reams a carton, 12 a minute; two cartons from what waits, then the pallet is full."""
    line = calm(
        wrapper=[{"rate_reams_per_min": 30}],
        carton_packer={
            "rate_cartons_per_min": 12,
            "reams_per_carton": 5,
            "conveyor_reams": 20,
            "magazine_blanks": 100,
            "refill_at_blanks": 10,
            "refill_people": 0,
            "refill_min": 1,
        },
        palletiser={"rate_cartons_per_min": 20, "cartons_per_layer": 4, "layers_per_pallet": 5},
    )
    behind = {"reams_at_packer": 10, "cartons_on_pallet": 18, "blanks": 50}
    behind["cartons_at_palletiser"] = 0
    record = run(line, hours=0.25, behind=behind)
    assert record.books.cartons is not None
    assert record.books.cartons.at_start == 10 + 18 * 5
    assert record.books.cartons.pallets >= 1


def test_people_who_are_away_are_missed() -> None:
    """One of one: nobody mends it."""
    line = calm(crew={"size": 1}, stop=[stop("wrapper", every_running_h=1e6, people=1)])
    down = {"cause": "fault", "since": "14:19"}
    record = run(line, down=[down], people={"away": 1})
    assert spans_of(record, "wrapper")[0][2] == State.WAITING_PEOPLE
    assert len(ends_s(record)) == 0


def test_the_rest_of_a_stop_is_the_law_given_its_age() -> None:
    """Lognormal, mean 10, sd 8, down for 12 min: against scipy's own, conditioned here."""
    line = calm(
        stop=[
            stop(
                "wrapper",
                every_running_h=1e6,
                restore_min={"law": "lognormal", "mean": 10, "sd": 8},
            )
        ]
    )
    made = state(bridge={"reams": 1}, down=[{"cause": "fault", "since": "14:08"}])
    shape = np.log(1 + 0.64) ** 0.5
    law = scipy.stats.lognorm(shape, scale=10 / (1 + 0.64) ** 0.5)
    rests = []
    for replication in range(80):
        site = site_of(line, Chance(1, replication), made)
        begun = assemble(site, end_ns=1, keeps=False, forced=())
        rests.append(begun.wrappers[0].stops[0].restore_ns / 60e9)
    test = scipy.stats.kstest(rests, lambda x: 1 - law.sf(12 + x) / law.sf(12))
    assert test.pvalue > 0.001


def test_what_is_not_told_is_as_found_and_the_same_each_time() -> None:
    line = load(find_scenario("short-bridge"))
    bare = LineState(moment=MOMENT)
    found = [simulate(line, replication=n, hours=0.05, state=bare) for n in (1, 2, 3, 1)]
    starts = [record.books.reams.at_start for record in found]
    assert len(set(starts)) > 1
    assert starts[0] == starts[3]


@pytest.mark.parametrize("demo", ["short-bridge", "full-pallets", "orders", "two-wrappers"])
def test_the_state_of_a_run_can_be_written_and_read(demo: str) -> None:
    line = load(find_scenario(demo))
    found = state_after(line, MOMENT, hours=2.7, seed=4)
    assert check_state_text(dump_state(found), line) == found
    record = simulate(line, hours=1, state=found)
    assert record.books.faults() == []
    assert record.books.reams.at_start >= (found.bridge.reams or 0)


def test_a_run_goes_on_from_its_written_state_as_it_would_have() -> None:
    """Mean and spread of the next hour, over lines stopped at a moment and let run on."""
    line = load(find_scenario("short-bridge"))
    on, again = [], []
    for n in range(24):
        record = simulate(line, seed=5, replication=n, warm_up_h=2, hours=1, history=False)
        on.append(record.books.reams.good)
        met = state_after(line, MOMENT, seed=5, replication=n, hours=2)
        record = simulate(line, seed=6, replication=n, hours=1, state=met, history=False)
        again.append(record.books.reams.good)
    off = np.array(again) - on
    assert abs(off.mean()) < 4 * off.std(ddof=1) / len(off) ** 0.5
