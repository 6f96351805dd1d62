"""Carton packers in studies: one more of them, each and all changed, and what one more is worth."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.fast import simulate
from linesim.scenario import Scenario, check_mapping
from linesim.studies import changes
from linesim.studies.add_wrapper import ONE_MORE_PACKER, add_wrapper
from linesim.studies.field_names import paths_of
from linesim.studies.runner import Runner, Settings
from linesim.studies.what_holds import what_holds
from linesim.studies.worth import purchase_of

JAM = {
    "cause": "blank jam",
    "station": "carton_packer",
    "every_reams": {"law": "exponential", "mean": 400},
    "restore_min": {"law": "exponential", "mean": 1.5},
    "people": 0,
}


def held_by_its_packer(**more: Any) -> Scenario:
    """A carton a minute of five reams, of a sheeter that makes 25 reams and more."""
    packer = {"rate_cartons_per_min": 1, "conveyor_reams": 15, "spoiled_per_10000": 100}
    packer |= {"magazine_blanks": 80, "refill_people": 0}
    wrapper = [{"rate_reams_per_min": 60}]
    return check_mapping({"wrapper": wrapper, "carton_packer": packer, "stop": [JAM]} | more)


def test_with_a_name_for_others_beside_it_it_keeps_its_luck() -> None:
    line = held_by_its_packer()
    named = changes.ready_for_more(line, "carton_packer")
    assert named.carton_packer[0].name == "carton packer 1"
    assert changes.ready_for_more(named, "carton_packer") == named
    one, other = (simulate(each, hours=6, seed=4) for each in (line, named))
    assert one.sums == other.sums
    assert one.books == other.books


def test_one_more_is_like_the_last_and_adds_no_room() -> None:
    own = JAM | {"cause": "tape", "station": "carton packer 1"}
    line = changes.ready_for_more(held_by_its_packer(), "carton_packer")
    line = line.varied(stop=[JAM, own])
    more = changes.with_another(line, "carton_packer")
    assert more.end_places["carton_packer"] == ("carton packer 1", "carton packer 2")
    first, second = more.carton_packer
    assert second == first.model_copy(update={"name": "carton packer 2", "conveyor_reams": 0})
    assert [stop.station for stop in more.stop] == [
        "carton_packer",
        "carton packer 1",
        "carton packer 2",
    ]
    three = changes.with_another(more, "carton_packer")
    assert len(three.carton_packer) == 3


def test_changes_of_the_packers_are_changes_of_each() -> None:
    more = changes.with_another(
        changes.ready_for_more(held_by_its_packer(), "carton_packer"), "carton_packer"
    )
    assert changes.stations_of(more)[-1] == "carton_packer"
    faster = changes.faster(more, "carton_packer", 1.5).carton_packer
    assert [packer.rate_cartons_per_min for packer in faster] == [1.5, 1.5]
    assert "no blanks" in changes.causes_of(more)
    always = changes.without_cause(more, "no blanks")
    assert [packer.magazine_blanks for packer in always.carton_packer] == [None, None]
    rarer = changes.fewer_stops(more, "carton_packer", 0.5).stop[0].every_reams
    assert rarer is not None
    assert rarer.average() == 800
    data = changes.data_of(more)
    one = paths_of(data, "carton_packer.carton packer 2.rate_cartons_per_min")
    assert one == (("carton_packer", 1, "rate_cartons_per_min"),)


def test_a_second_packer_doubles_what_its_packer_holds() -> None:
    """5 reams a minute, less jams: twice as many with two, and 90,000 at 0.4 a ream."""
    money = {"contribution_per_ream": 0.4, "carton_packer_price": 90_000.0}
    line = held_by_its_packer(money=money | {"carton_packer_cost_per_year": 5_000})
    with Runner(Settings(replications=3, hours=8, processes=1)) as runner:
        held, found = what_holds(line, runner), add_wrapper(line, runner)
    assert held.by_net_rate == held.by_pattern == "carton_packer"
    assert found.held_now_by == "carton_packer"
    option = next(option for option in found.options if option.name == ONE_MORE_PACKER)
    assert 1.8 < option.reams_per_week.mean / found.now.mean < 2.1
    assert option.worth is not None
    more_a_year = option.gain.interval.mean * 6000 / 168
    assert option.worth.yearly.mean == pytest.approx(more_a_year * 0.4 - 5_000)


def test_what_one_more_costs() -> None:
    line = held_by_its_packer(money={"carton_packer_price": 90_000})
    two = purchase_of(line, 10, packers=2)
    assert two is not None
    assert (two.capital, two.running_cost) == (180_000, 0)
    assert purchase_of(held_by_its_packer(), 10, packers=1) is None
