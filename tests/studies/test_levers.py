"""Levers: which there are, how far they go, what they cost."""

from __future__ import annotations

from pathlib import Path

import pytest

from linesim.money import Purchase
from linesim.scenario import Scenario, ScenarioFaults, check_mapping, find_scenario, load
from linesim.scenario.levers_table import LEVERS
from linesim.studies.changes import with_bridge
from linesim.studies.lever import Lever
from linesim.studies.levers import levers_of
from tests.studies.lines import PRICED, quick_line


def lever(line: Scenario, key: str) -> Lever:
    return next(each for each in levers_of(line) if each.key == key)


def test_a_bridge_grows_by_whole_sets_to_the_longest_there_is_room_for() -> None:
    line = quick_line(**PRICED).varied(bridge={"longest_m": 20})
    steps = lever(line, "longer_bridge").steps
    places = [step.change(line).bridge_places for step in steps]
    # 25, 30, 40 and 60 of 20 places, and 90 cut off at what 20 m hold: 20 / 0.33 = 60.6.
    assert places == [25, 30, 40, 60]
    assert [step.cost(line, 10.0) for step in steps] == [
        Purchase((each - 20) * 1000.0, 0.0, 0.0, 10.0) for each in places
    ]
    assert steps[0].words.endswith("25 reams (now 6.6 m, 20)")
    # What a hall usually has holds 60 / 0.33 = 181: much more than 4.5 times as many as now.
    far = lever(quick_line(**PRICED), "longer_bridge").steps[-1]
    assert far.change(quick_line(**PRICED)).bridge_places == 181


def test_one_more_wrapper_has_its_price_and_what_it_costs_a_year() -> None:
    line = quick_line(**PRICED).varied(levers={"more_wrappers": 2})
    one, two = lever(line, "more_wrappers").steps
    assert one.words == "1 more wrapper, 2 in all"
    assert len(two.change(line).wrapper) == 3
    assert two.cost(line, 8.0) == Purchase(800_000.0, 60_000.0, 0.0, 8.0)


def test_wages_by_the_hour_and_building_at_all_are_in_the_cost() -> None:
    """20 an hour in 6,000 hours; a bridge costs its places and 20,000 besides."""
    line = quick_line(**PRICED, wage_per_h=20.0, buffer_fixed_cost=20_000.0)
    (person,) = lever(line, "more_people").steps
    assert person.cost(line, 10.0) == Purchase(0.0, 0.0, 120_000.0, 10.0)
    assert lever(line, "longer_bridge").steps[0].cost(line, 10.0) == Purchase(
        5 * 1000.0 + 20_000.0, 0.0, 0.0, 10.0
    )


def test_what_has_no_price_is_known_to_have_none() -> None:
    line = quick_line(contribution_per_ream=0.5)
    for key in ("more_wrappers", "longer_bridge", "more_people", "faster_wrapper"):
        assert all(step.cost(line, 10.0) is None for step in lever(line, key).steps)
    told = line.varied(levers={"faster_wrapper_price": 90_000, "faster_wrapper_cost_per_year": 500})
    (step,) = lever(told, "faster_wrapper").steps
    assert step.cost(told, 10.0) == Purchase(90_000.0, 500.0, 0.0, 10.0)
    assert step.change(told).wrapper[0].rate_reams_per_min == pytest.approx(45 * 1.1)


def test_levels_are_shares_of_the_stop_level_of_whatever_bridge_there_is() -> None:
    line = quick_line()
    step = next(each for each in lever(line, "bridge_levels").steps if "75 %" in each.words)
    assert step.words == "sheeter restarted at 75 % of its stop level, never slowed"
    without = load(find_scenario("short-bridge"))
    assert (
        "sheeter stopped one set below the full bridge, restarted at that level, never slowed"
        in [each.words for each in lever(without, "bridge_levels").steps]
    )
    for places, stop in ((20, 16), (60, 56)):
        bridge = step.change(with_bridge(line, places)).bridge
        assert (bridge.stop_at_reams, bridge.restart_at_reams) == (stop, round(0.75 * stop))


def test_what_is_not_to_be_touched_is_no_lever() -> None:
    line = quick_line()
    keys = {each.key for each in levers_of(line)}
    assert {"longer_bridge", "bridge_levels", "web_speed", "change_together"} <= keys
    left = {each.key for each in levers_of(line.varied(levers={"off": "web_speed"}))}
    assert left == keys - {"web_speed"}
    with pytest.raises(ScenarioFaults, match=r'no lever .web_sped.; right would be: "web_speed"'):
        check_mapping({"levers": {"off": "longer_bridge, web_sped"}})
    assert all(f"`{each}`" in Path("linesim/manual/09-studies.md").read_text() for each in LEVERS)
    # A station that is not there, reels no larger than now, a part that is not changed by plan.
    assert not keys & {"faster_palletiser", "larger_reels", "planned_changes", "rarer_stops"}


def _steps(line: Scenario, key: str) -> list[tuple[str, Scenario, Purchase | None]]:
    found = lever(line, key).steps
    return [(each.words, each.change(line), each.cost(line, 10.0)) for each in found]


def test_stands_are_spare_ones_up_to_a_second_for_each_web() -> None:
    """Two webs with one stand each: one spare, or two, which are a pair for each web."""
    line = load(find_scenario("small-crew")).varied(levers={"stand_price": 30_000})
    (one, spare, price), (two, pairs, prices) = _steps(line, "more_stands")
    assert one == "splices at standstill, from 1 spare stand"
    assert (spare.unwind.change, spare.unwind.spare_stands) == ("standstill_splice", 1)
    assert two == "splices at standstill, from a second stand for each web"
    assert (pairs.unwind.stands_per_web, pairs.unwind.spare_stands) == (2, None)
    assert (price, prices) == (Purchase(30_000, 0, 0, 10.0), Purchase(60_000, 0, 0, 10.0))
    flying = lever(line, "flying_splice").steps[0].change
    # From whichever stands there are by then.
    assert flying(spare).unwind.spare_stands == 1
    assert flying(line).unwind.stands_per_web == flying(pairs).unwind.stands_per_web == 2
    more = [words for words, _, _ in _steps(spare, "more_stands")]
    assert more == ["2 spare stands (now 1)", "3 spare stands (now 1)"]
    none = spare.varied(levers={"more_stands": 0})
    assert "more_stands" not in {each.key for each in levers_of(none)}


def test_splices_that_fly_are_made_faster_up_to_the_speed_of_the_webs() -> None:
    line = load(find_scenario("full-pallets"))
    ((words, faster, price),) = _steps(line, "faster_splice")
    assert words == "flying splices at 156 m/min (now 120)"
    assert faster.unwind.splice_speed_m_per_min == 156
    assert price is None
    at_most = line.varied(levers={"faster_splice_percent": 90}, cutter={"web_speed_m_per_min": 200})
    assert lever(at_most, "faster_splice").steps[0].words.startswith("flying splices at 200 m/min")
    keys = {each.key for each in levers_of(line)}
    assert not keys & {"flying_splice", "faster_reel_change", "more_stands", "change_together"}


def test_the_palletiser_changes_pallets_sooner_and_has_room_for_more() -> None:
    priced = {"faster_pallet_change_price": 40_000, "pallet_place_price": 3000}
    line = load(find_scenario("full-pallets")).varied(levers=priced)
    ((words, sooner, price),) = _steps(line, "faster_pallet_change")
    assert words == "shorter changes of pallets, by 30 %"
    assert line.palletiser is not None
    assert sooner.palletiser is not None
    assert sooner.palletiser.change_s.average() == pytest.approx(35)
    assert price == Purchase(40_000, 0, 0, 10.0)
    more = _steps(line, "more_pallet_places")
    assert [words for words, _, _ in more] == [
        "places for 3 full pallets (now 2)",
        "places for 4 full pallets (now 2)",
    ]
    assert more[1][2] == Purchase(6000, 0, 0, 10.0)


def test_trucks_people_of_a_group_and_what_they_can_do() -> None:
    """At 31 an hour by day alone: two of three shifts of 8,400 manned hours."""
    line = load(Path("tests/scenario/whole_lines/six-lanes.toml"))
    data = {"name": "day", "number": 1, "first_shift": 1, "last_shift": 2, "can": "reels, rolls"}
    priced = {"truck_price": 60_000, "truck_cost_per_year": 90_000, "skills_price": 5000}
    line = line.varied(crew_group=[data], levers=priced)
    ((words, truck, price),) = _steps(line, "more_trucks")
    assert words == "1 more reel truck, 2 in all"
    assert truck.reel_truck is not None
    assert truck.reel_truck.trucks == 2
    assert price == Purchase(60_000, 90_000, 0, 10.0)
    everybody, by_day = (each for each in levers_of(line) if each.key == "more_people")
    assert everybody.steps[0].words == "1 more person on every shift, 3 in all"
    assert everybody.steps[0].cost(line, 10.0) == Purchase(0, 0, 8400 * 31, 10.0)
    assert by_day.steps[0].words == "1 more person in day, 2 in all"
    assert by_day.steps[0].change(line).crew_group[0].number == 2
    assert by_day.steps[0].cost(line, 10.0) == Purchase(0, 0, pytest.approx(5600 * 31), 10.0)
    ((words, able, price),) = _steps(line, "more_skills")
    assert words == "day can do everything (now reels, rolls)"
    assert able.crew_group[0].can is None
    assert price == Purchase(5000, 0, 0, 10.0)


def test_change_overs_are_shorter_in_both_directions_and_web_breaks_fewer() -> None:
    line = load(Path("tests/scenario/whole_lines/four-orders.toml"))
    ((_, sooner, _),) = _steps(line, "faster_changeover")
    pairs = zip(sooner.changeover_pair, line.changeover_pair, strict=True)
    assert all(a.time_min.average() == pytest.approx(0.7 * b.time_min.average()) for a, b in pairs)
    assert sooner.changeover.grade_min.average() == pytest.approx(0.7 * 15)
    ((_, fewer, _),) = _steps(line, "fewer_breaks")
    assert [each.breaks_per_100_reels for each in fewer.grade] == [
        pytest.approx(0.7 * 4),
        pytest.approx(0.7 * 9),
    ]


def test_the_speed_of_the_webs_says_what_becomes_of_breaks() -> None:
    """1.1 to the power of 1.5 is 1.154."""
    line = load(find_scenario("slow-wrapper")).varied(levers={"most_web_speed_m_per_min": 264})
    words = [each.words for each in lever(line, "web_speed").steps]
    assert words[-1] == "webs at 264 m/min (now 240), 15 % more breaks a reel"
    flat = line.varied(web_path={"speed_exponent": 0})
    assert all(each.words.endswith("as now") for each in lever(flat, "web_speed").steps)


def test_a_part_is_changed_by_plan_at_what_is_best_in_time_or_in_money() -> None:
    part = {
        "cause": "blade",
        "station": "cutter",
        "every_running_h": {"law": "weibull", "mean": 100, "shape": 4},
        "restore_min": 90,
        "change_min": 20,
    }
    line = quick_line(contribution_per_ream=0.5).varied(stop=[part])
    (time,) = _steps(line, "planned_changes")
    every = time[1].stop[0].changed_every
    assert every is not None
    assert time[0] == f"blade at cutter: changed by plan every {every:g} h"
    dear = line.varied(stop=[part | {"change_price": 200, "changed_every": every}])
    (money, never) = _steps(dear, "planned_changes")
    later = money[1].stop[0].changed_every
    assert later is not None
    assert later > every
    assert never[1].stop[0].changed_every is None


def test_stops_are_rarer_and_sooner_mended_by_their_prices() -> None:
    line = quick_line()
    stops = [stop.model_dump(exclude_unset=True) for stop in line.stop]
    stops[2] |= {"rarer_price": 7000}
    line = line.varied(stop=stops)
    rarer, shorter = (
        each for each in levers_of(line, ["long free stop"]) if each.key.endswith("_stops")
    )
    (step,) = rarer.steps
    assert step.cost(line, 10.0) == Purchase(7000, 0.0, 0.0, 10.0)
    assert step.change(line).stop[2].interval.average() == pytest.approx(2 / 0.7)
    (step,) = shorter.steps
    assert step.cost(line, 10.0) is None
    assert step.change(line).stop[2].restore_min.average() == pytest.approx(2 * 0.7)


# Lines whose output is said by a formula
