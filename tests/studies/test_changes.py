"""A line with one thing changed, and nothing else."""

import pytest

from linesim.fast import simulate
from linesim.scenario import check_text, load, shipped_scenarios, update
from linesim.studies import changes
from linesim.studies.outcome import outcome_of
from linesim.studies.run_spec import scenario_digest
from tests.studies.lines import quick_line

LINE = quick_line()


def test_levels_follow_a_longer_bridge() -> None:
    longer = changes.with_bridge(LINE, 40)
    assert (longer.bridge_places, longer.bridge.stop_at_reams) == (40, 36)
    assert longer.bridge.restart_at_reams == 18


def test_a_bridge_given_by_length_grows_in_length() -> None:
    line = LINE.varied(bridge={"places": None, "length_m": 6.6, "tracks": 2})
    longer = changes.with_bridge(line, 51)
    assert longer.bridge_places == 51
    assert longer.bridge.length_m == pytest.approx(26 * 0.33)


def test_the_same_bridge_is_the_same_line() -> None:
    assert scenario_digest(changes.with_bridge(LINE, 20)) == scenario_digest(LINE)


@pytest.mark.parametrize("name", sorted(shipped_scenarios()))
def test_every_demo_can_be_changed_in_every_way(name: str) -> None:
    line = load(shipped_scenarios()[name])
    for cause in changes.causes_of(line):
        assert scenario_digest(changes.without_cause(line, cause)) != scenario_digest(line)
    for station in changes.stations_of(line):
        assert scenario_digest(changes.faster(line, station, 1.1)) != scenario_digest(line)
        changes.fewer_stops(line, station, 0.9)
        changes.shorter_stops(line, station, 0.9)
    more = changes.with_another(changes.ready_for_more(line))
    assert len(more.wrapper) == len(line.wrapper) + 1
    least = max([line.set_reams, *(order.lanes or 1 for order in line.order)])
    for places in (least, 30, 500):
        assert changes.with_bridge(line, places).bridge_places == places


def test_a_cause_taken_away_never_happens_and_the_others_meet_the_same_luck() -> None:
    base = outcome_of(simulate(LINE, hours=12, history=False))
    without = outcome_of(
        simulate(changes.without_cause(LINE, "wrapper jam"), hours=12, history=False)
    )
    assert any(stop.cause == "wrapper jam" and stop.count for stop in base.stops)
    assert not any(stop.cause == "wrapper jam" for stop in without.stops)
    by_clock = [
        [stop.count for stop in each.stops if stop.cause == "long free stop"]
        for each in (base, without)
    ]
    assert by_clock[0] == by_clock[1]


def test_taking_reel_changes_away_leaves_no_standstill_for_reels() -> None:
    without = outcome_of(
        simulate(changes.without_cause(LINE, changes.REEL_CHANGES), hours=12, history=False)
    )
    minutes = sum(stop.ns for stop in without.stops if stop.cause == "reel change") / 60e9
    assert minutes < 1


@pytest.mark.parametrize(
    ("taken", "named"),
    [
        (changes.PALLET_CHANGES, "pallet change"),
        (changes.FULL_PALLETS, "full pallets wait"),
        (changes.NO_BLANKS, "no blanks"),
    ],
)
def test_what_holds_pallets_up_can_be_taken_away(taken: str, named: str) -> None:
    line = load(shipped_scenarios()["full-pallets"]).varied(
        carton_packer={"magazine_blanks": 40, "refill_at_blanks": 1},
        palletiser={"full_pallet_places": 1},
    )
    for scenario, happens in ((line, True), (changes.without_cause(line, taken), False)):
        record = simulate(scenario, hours=6, history=False)
        found = [stop for stop in record.stops if record.causes[stop.cause] == named]
        assert (sum(stop.count for stop in found) > 3) == happens == bool(found)
        assert all(stop.ns > 0 for stop in found)


@pytest.mark.parametrize("places", [{}, {"places": 1, "chuck_min": 3, "order_below_m": 0}])
def test_a_reel_truck_taken_away_leaves_the_time_to_prepare_a_stand(places: dict[str, int]) -> None:
    """Reels are at hand then; stands that were filled from a place still are, in the same time."""
    line = LINE.varied(
        unwind={"stands_per_web": 2, "change": "standstill_splice", "prepare_min": 8},
        reel_truck={"reel_min": 40} | places,
    )
    assert changes.REEL_TRUCK in changes.causes_of(line)
    without = changes.without_cause(line, changes.REEL_TRUCK)
    assert without.reel_truck is None
    assert without.unwind.prepare_min.average() == (3 if places else 8)
    for scenario, waits in ((line, True), (without, False)):
        record = simulate(scenario, hours=12, history=False)
        found = [stop for stop in record.stops if record.causes[stop.cause] == "reel truck"]
        assert (sum(stop.ns for stop in found) > 0) == waits


def test_there_is_no_such_cause() -> None:
    with pytest.raises(KeyError, match="no stop cause 'gremlins'"):
        changes.without_cause(LINE, "gremlins")


@pytest.mark.parametrize("name", sorted(shipped_scenarios()))
def test_what_a_longer_bridge_sets_written_into_the_file_is_that_line(name: str) -> None:
    text = shipped_scenarios()[name].read_text(encoding="utf-8")
    line = check_text(text)
    assert changes.bridge_fields(line, line.bridge_places) == {}
    for places in (line.bridge_places + 7, 2 * line.set_reams):
        written = check_text(update(text, changes.bridge_fields(line, places)))
        assert written == changes.with_bridge(line, places)
        assert written.bridge_places == places
