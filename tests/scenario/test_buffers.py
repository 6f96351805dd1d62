"""Every buffer of a line: places, metres and room, by hand."""

import pytest

from linesim.scenario import Scenario, ScenarioFaults, check_mapping
from linesim.scenario.buffers import buffers_of
from linesim.studies.changes import with_buffers
from linesim.studies.worth import purchase_of


def line(**tables: object) -> Scenario:
    return check_mapping(
        {
            "slitter": {"lanes": 5},
            "bridge": {"places": 41, "ream_pitch_mm": 300, "tracks": 2},
            "carton_packer": {"conveyor_reams": 20},
            "palletiser": {"belt_cartons": 11, "tracks": 2, "longest_m": 9},
        }
        | tables
    )


def test_each_buffer_with_its_places_and_metres() -> None:
    found = buffers_of(line())
    assert list(found) == ["bridge", "carton_packer", "palletiser"]
    bridge, conveyor, belt = found.values()
    # 41 reams on two tracks are 21 rows of 300 mm; 60 m hold 200 rows.
    assert (bridge.least, bridge.places, bridge.length_m) == (5, 41, 6.3)
    assert (bridge.most, bridge.metres(43)) == (400, pytest.approx(6.6))
    # A ream takes as much before the packer as on the bridge, on one track: 20 x 0.3 m.
    assert (conveyor.least, conveyor.places, conveyor.length_m) == (0, 20, 6.0)
    assert conveyor.most == 200
    # 11 cartons on two tracks are 6 rows of 450 mm; 9 m hold 20 rows.
    assert (belt.piece, belt.reams_per_piece, belt.length_m) == ("cartons", 5, 2.7)
    assert belt.most == 40


def test_pitches_of_their_own() -> None:
    packer = {"conveyor_reams": 20, "ream_pitch_mm": 450}
    found = buffers_of(line(carton_packer=packer, palletiser={"carton_pitch_mm": 600}))
    assert found["carton_packer"].length_m == 9.0
    assert found["palletiser"].length_m == 6.0


def test_a_buffer_is_no_longer_than_there_is_room_for() -> None:
    with pytest.raises(ScenarioFaults, match=r"the belt before the palletiser itself is 4.5 m"):
        line(palletiser={"belt_cartons": 10, "longest_m": 4})
    with pytest.raises(ScenarioFaults, match="the conveyor before the carton packer itself is 6 m"):
        line(carton_packer={"conveyor_reams": 20, "longest_m": 5.9})


def test_what_more_places_cost() -> None:
    prices = {"ream_place_cost": 1500, "conveyor_place_cost": 400, "buffer_fixed_cost": 10_000}
    priced = line(money=prices)
    one = purchase_of(priced, 10, carton_packer=20)
    both = purchase_of(priced, 10, carton_packer=20, bridge=10)
    none = purchase_of(priced, 10, carton_packer=0)
    assert one is not None
    assert both is not None
    assert none is not None
    assert one.capital == 20 * 400 + 10_000
    assert both.capital == 20 * 400 + 10 * 1500 + 2 * 10_000
    assert none.capital == 0
    assert purchase_of(priced, 10, palletiser=1) is None


def test_two_buffers_made_longer_together() -> None:
    longer = with_buffers(line(), {"bridge": 60, "palletiser": 30})
    sizes = {name: each.places for name, each in buffers_of(longer).items()}
    assert sizes == {"bridge": 60, "carton_packer": 20, "palletiser": 30}


def test_carton_packers_share_one_conveyor_that_each_adds_to() -> None:
    packers = [{"name": "A", "conveyor_reams": 12}, {"name": "B", "conveyor_reams": 8}]
    two = line(carton_packer=packers)
    shared = buffers_of(two)["carton_packer"]
    assert (shared.places, shared.length_m, shared.reams_per_piece) == (20, 6.0, 1)
    shorter = with_buffers(two, {"carton_packer": 5})
    assert [packer.conveyor_reams for packer in shorter.carton_packer] == [5, 0]
    assert buffers_of(shorter)["carton_packer"].places == 5
