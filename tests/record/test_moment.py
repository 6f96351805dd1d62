"""A moment of a run: by hand on calm lines, and against the line itself stopped at that moment."""

from __future__ import annotations

import random

import pytest

import linesim
from linesim.fast import simulate
from linesim.line import Interpreted, transfer
from linesim.line.assembly import assemble, site_of
from linesim.line.chance import Chance
from linesim.line.events import settle
from linesim.paper import reel_diameter_mm
from linesim.record import State
from linesim.record.moment import SetPlace, StationNow
from linesim.record.moments import Moments, moment_at
from linesim.scenario import ForcedStop
from tests.line.calm_line import REEL_M, SECOND, SPEED_M_PER_S, calm, stop

HOUR_S = 3600
PHASES = {
    transfer.HOME: None,
    transfer.RETURN: None,
    transfer.PICK: SetPlace.LIFTED,
    transfer.CARRY: SetPlace.CARRIED,
    transfer.AT_BRIDGE: SetPlace.AT_BRIDGE,
    transfer.PLACE: SetPlace.PUT_DOWN,
}


def at(seconds, *, forced=(), **tables):
    """The calm line, with changes, at a second; forced: (station, from second, seconds)."""
    stops = [
        ForcedStop(station=where, at_h=start / HOUR_S, minutes=length / 60)
        for where, start, length in forced
    ]
    record = simulate(calm(**tables), hours=0.25, forced=stops)
    return moment_at(record, round(seconds * SECOND))


def test_reels_shrink_by_the_web_that_ran():
    now = at(100)
    left = REEL_M - 100 * SPEED_M_PER_S
    assert [reel.web for reel in now.reels] == [1, 2, 3, 4, 5]
    for reel in now.reels:
        assert reel.left_m == pytest.approx(left, abs=1e-5)
        assert reel.diameter_mm == pytest.approx(reel_diameter_mm(left, 100, 100))
    assert now.web_m == pytest.approx(400)
    assert now.web_speed_m_per_min == now.rated_speed_m_per_min == 240


def test_a_fresh_reel_is_on_after_the_change():
    # The reels run out after 1943.86 s and 10 min later fresh ones are on.
    record = simulate(calm(), hours=1)
    moments = Moments(record)
    stands = moments.at(2000 * SECOND)
    assert stands.web_speed_m_per_min == 0
    assert stands.reels[0].left_m == pytest.approx(0, abs=1e-5)
    assert stands.reels[0].diameter_mm == pytest.approx(100, abs=1e-3)
    assert stands.station("unwind").state is State.CHANGEOVER
    assert stands.station("cutter").words == "starved by unwind: reel change"
    runs = moments.at(round((REEL_M / SPEED_M_PER_S + 600 + 50) * SECOND))
    assert runs.reels[0].left_m == pytest.approx(REEL_M - 200, abs=1e-3)


def test_speed_and_place_in_a_run_up():
    # 240 m/min at 24 m/min a second: after 5 s half the speed, and v t / 2 = 5 m.
    now = at(5, cutter={"run_up_m_per_min_per_s": 24})
    assert now.web_speed_m_per_min == pytest.approx(120)
    assert now.web_m == pytest.approx(5)
    assert now.station("cutter").words == "slowed: run-up"


@pytest.mark.parametrize(
    ("second", "cuts", "places"),
    [
        (3.0, 40, []),
        (7.4, 98 + 2 / 3, []),
        (8.0, 6 + 2 / 3, [(SetPlace.LIFTED, 0.5)]),
        (9.0, 20, [(SetPlace.CARRIED, 0.5)]),
        (10.25, 36 + 2 / 3, [(SetPlace.PUT_DOWN, 0.75)]),
        (10.5, 40, []),
        (11.0, 46 + 2 / 3, []),
        (15.5, 6 + 2 / 3, [(SetPlace.LIFTED, 0.5)]),
    ],
)
def test_pockets_fill_and_a_set_crosses(second, cuts, places):
    now = at(second)
    assert now.pocket_cuts == pytest.approx(cuts)
    assert [(each.place, pytest.approx(each.part)) for each in now.sets] == places
    assert not now.full_set_waits
    assert now.belt_cuts == 0


def test_a_full_set_stays_in_the_pockets_until_lifted_where_there_are_no_fingers():
    # The belt holds 20 cuts: enough for the second that the pick takes (13.3 cuts).
    tables = {"pockets": {"interim_fingers": False}, "overlap_belt": {"hold_cuts": 20}}
    now = at(8, **tables)
    assert now.full_set_waits
    assert now.pocket_cuts == 100
    assert now.belt_cuts == pytest.approx(6 + 2 / 3)
    later = at(9, **tables)
    assert not later.full_set_waits
    assert later.pocket_cuts == pytest.approx(20)


def test_reams_stand_on_the_bridge_and_a_wrapper_works():
    # A set of 4 stands on the bridge from 10.5 s on; the wrapper takes 2 s for each.
    now = at(13.5, wrapper=[{"rate_reams_per_min": 30}])
    assert now.bridge_level == 2
    assert now.bridge_rows == (0, 1)
    assert now.wrappers[0].part == pytest.approx(0.5)
    assert now.wrappers[0].finished == now.wrapped == 1
    assert now.station("wrapper").since_ns == round(10.5 * SECOND)


def test_reams_travel_along_the_bridge():
    # 20 m at 60 m/min: 20 s. 50 places of 0.4 m; the set is as long as four of them.
    bridge = {"places": None, "length_m": 20, "ream_pitch_mm": 400, "belt_speed_m_per_min": 60}
    assert at(10.5, bridge=bridge).bridge_rows == (46, 47, 48, 49)
    assert at(15.5, bridge=bridge).bridge_rows == pytest.approx((34.5, 35.5, 36.5, 37.5))
    stood = at(15.5, bridge=bridge, forced=[("bridge", 12, 3)])
    assert stood.bridge_rows == pytest.approx((41.4, 42.4, 43.4, 44.4))


def test_two_tracks_hold_two_reams_in_a_row_of_places():
    now = at(13.5, wrapper=[{"rate_reams_per_min": 30}], bridge={"tracks": 2})
    assert now.bridge_rows == (0, 0)


def test_the_transfer_waits_at_a_full_bridge():
    # Room for six: with the wrapper standing the second set finds none.
    now = at(60, bridge={"places": 6}, forced=[("wrapper", 5, 300)])
    assert now.bridge_level == 4
    assert [each.place for each in now.sets] == [SetPlace.AT_BRIDGE, SetPlace.IN_POCKETS]
    assert now.full_set_waits
    assert now.station("transfer").words == "blocked by wrapper: forced stop"
    assert now.station("cutter").words == "blocked by wrapper: forced stop"
    assert now.web_speed_m_per_min == 0


def test_the_ream_in_a_standing_wrapper_waits():
    # The wrapper takes 4 s a ream: taken at 10.5 s, it stands from 12 s to 72 s.
    tables = {"wrapper": [{"rate_reams_per_min": 15}], "forced": [("wrapper", 12, 60)]}
    for second in (12, 40, 71):
        now = at(second, **tables)
        assert now.wrappers[0].part == pytest.approx(0.375)
        assert now.station("wrapper").words == "down: forced stop"
    assert at(73.5, **tables).wrappers[0].part == pytest.approx(0.75)


def test_waiting_for_people_is_named():
    first = stop("transfer", every_clock_h=8 / HOUR_S, people=1, restore_min=10)
    second = stop("wrapper", every_clock_h=12 / HOUR_S, people=1)
    now = at(100, crew={"size": 1}, stop=[first, second])
    assert [s.name for s in now.stations if s.state is State.WAITING_PEOPLE] == ["wrapper"]


def test_an_order_sets_lanes_and_reels():
    thick = {"thickness_um": 200, "grammage_g_per_m2": 160}
    tables = {
        "order": [{"name": "a", "reams": 4}, {"name": "b", "reams": 400, "lanes": 2} | thick],
        "changeover": {"size_min": 1, "people": 0},
    }
    record = simulate(calm(**tables), hours=0.25)
    moments = Moments(record)
    assert (moments.at(5 * SECOND).order, moments.at(5 * SECOND).lanes) == ("a", 4)
    later = moments.at(200 * SECOND)
    assert (later.order, later.lanes) == ("b", 2)
    assert later.reels[0].diameter_mm == pytest.approx(
        reel_diameter_mm(later.reels[0].left_m, 100, 200)
    )
    assert later.reels[0].left_m < REEL_M / 2


def test_words_of_a_station():
    waits = StationNow("bridge", State.STARVED, "", "web_path", "", 0, 1)
    assert waits.words == "starved by web path: its pace"
    assert StationNow("bridge", State.STARVED, "", None, "", 0, 1).words == "starved"
    assert StationNow("bridge", State.RUNNING, "", None, "", 0, 1).words == "running"


def test_a_record_without_history_is_refused():
    with pytest.raises(ValueError, match="no history"):
        Moments(simulate(calm(), hours=0.1, history=False))


def test_a_moment_outside_the_run_is_refused():
    with pytest.raises(ValueError, match="the record covers 0 to"):
        at(1e6)
    with pytest.raises(KeyError):
        at(1).station("press")


@pytest.mark.parametrize("name", linesim.scenario.shipped_scenarios())
def test_moments_agree_with_the_line_stopped_there(name):
    scenario = linesim.scenario.load(linesim.scenario.find_scenario(name))
    record = simulate(scenario, seed=3, hours=4)
    moments = Moments(record)
    site = site_of(scenario, Chance(3, 0))
    run_in = site.run_in_ns
    line = assemble(site, end_ns=record.end_ns + run_in, keeps=True, forced=())
    run = Interpreted(site, line)
    run.run_to(run_in)
    settle(line)
    moves = (line.transfer.pick, line.transfer.carry, line.transfer.place, line.transfer.back)
    x, done = line.webs.motion.place_um, [wrapper.done for wrapper in line.wrappers]
    choose = random.Random(name)
    times = sorted(choose.randrange(record.end_ns) for _ in range(150))
    near = 0
    for t in times:
        run.run_to(run_in + t)
        settle(line)
        now, webs, pockets = moments.at(t), line.webs, line.webs.pockets
        assert now.web_m * 1e6 == pytest.approx(webs.motion.place_um - x, abs=4)
        for reel, stand in zip(now.reels, webs.unwind.stands, strict=True):
            assert reel.left_m * 1e6 == pytest.approx(
                max(0, stand.end_um - webs.motion.place_um), abs=5
            )
        assert now.full_set_waits == pockets.full
        crossing = [s.place for s in now.sets if s.place is not SetPlace.IN_POCKETS]
        place = PHASES[line.transfer.phase]
        if place is None:
            assert crossing == []
        else:
            # With fingers the line makes pick and carry one move; where a move's time varies,
            # where it ends is only known from the mean.
            alike = {place, SetPlace.LIFTED} if place is SetPlace.CARRIED else {place}
            varies = {SetPlace.LIFTED, SetPlace.CARRIED, SetPlace.PUT_DOWN}
            constant = all(each.constant >= 0 for each in moves)
            assert len(crossing) == 1
            assert crossing[0] in (alike if constant else alike | varies)
        assert now.bridge_level == len(now.bridge_rows) == line.bridge.level
        for wrapper, true, before in zip(now.wrappers, line.wrappers, done, strict=True):
            assert (wrapper.part is not None) == true.busy
            assert wrapper.finished <= true.done - before
        # Which cuts were rejected is not recorded, so the fill may be a few cuts off.
        true_cuts = pockets.on_belt if pockets.full else pockets.cuts
        near += abs((now.belt_cuts if pockets.full else now.pocket_cuts) - true_cuts) <= 1.01
    assert near >= 0.9 * len(times)


@pytest.mark.parametrize("name", ["short-bridge", "two-wrappers"])
def test_the_end_agrees_with_the_books(name):
    record = simulate(
        linesim.scenario.load(linesim.scenario.find_scenario(name)), seed=2, hours=2, warm_up_h=1
    )
    now = moment_at(record, record.end_ns)
    webs = record.scenario.unwind.webs
    sheets = now.belt_cuts if now.full_set_waits else now.pocket_cuts
    assert sheets * webs * now.lanes == pytest.approx(record.books.sheets.at_end)
    in_wrappers = sum(wrapper.part is not None for wrapper in now.wrappers)
    reams = now.bridge_level + sum(each.reams for each in now.sets) + in_wrappers
    on_table = record.books.reams.at_end - reams
    assert 0 <= on_table <= record.scenario.rework.places
